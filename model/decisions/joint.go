package decisions

import (
	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Joint is a plan for several measurands at once.
type Joint struct {
	Steps      []Candidate           // what does most first
	Now, After []quantities.Estimate // of each measurand, before and behind all steps
}

// PlanJointly plans howMany candidates that make the product of the variances of all measurands
// small. ok is false where one of them has nothing to do with the log.
func PlanJointly(r *estimation.Result, wants []Measurand, candidates []Candidate, extra []readings.Part, howMany int) (out Joint, ok bool) {
	if len(wants) == 0 || len(candidates) == 0 || howMany < 1 {
		return out, false
	}
	p, err := newPlan(r, wants[0], candidates, extra)
	if err != nil {
		return out, false
	}
	gradients, once := make([][]float64, len(wants)), make([]bool, len(candidates))
	for i, w := range wants {
		if !p.aim(w, extra) {
			return out, false
		}
		gradients[i] = p.gradient
	}
	for i := range candidates {
		once[i] = candidates[i].Kind.measures()
	}
	var done []evidence
	for _, g := range fit.Must(p.after.Covariance.PlanRows(gradients, p.alone(), once, howMany)).Exchanged {
		out.Steps, done = append(out.Steps, candidates[g.Candidate]), append(done, p.rows[g.Candidate])
	}
	for _, w := range wants {
		p.aim(w, extra)
		out.Now, out.After = append(out.Now, p.now), append(out.After, p.expect(done...))
	}
	return out, true
}
