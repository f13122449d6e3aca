package model

import (
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
)

// Result is what the readings of a session say, and how far to believe it.
type Result struct {
	*estimation.Result
	Checks       []estimation.Check      // the drawing against the readings alone; nil without one
	Pairs        estimation.Pairs        // the effective pair, by the readings and by a drawing
	Alternative  *estimation.Alternative // the same readings with the other resonator, from Compare; nil if it has no solution
	Undetermined []findings.Undetermined
	Findings     []findings.Finding

	strict   *estimation.Result // with the tolerances as stated, by which it is judged
	pattern  *findings.Finding  // in what neighbours have in common
	isJudged bool
	compared bool
}

// Fit finds the coil that explains the readings of s best, and judges how far to
// believe it.
//
// It fails with estimation.ErrNoReadings, quantities.UnknownQuantityError or
// estimation.NotConvergedError. That
// some quantities stay undetermined is no failure: see Result.Undetermined.
func Fit(s estimation.Session) (*Result, error) {
	r, err := Estimate(s)
	if err == nil {
		r.Judge()
	}
	return r, err
}

// Estimate is Fit without the judgement, which takes longer where readings contradict each
// other; Judge makes up for it.
func Estimate(s estimation.Session) (*Result, error) {
	r, err := estimation.Fit(s)
	if err != nil {
		return nil, err
	}
	out := &Result{strict: r}
	if pattern, found := findings.CheckNeighbours(r); found {
		s.Alike, out.pattern = pattern.Value, &pattern
		if out.strict, err = estimation.Fit(s); err != nil {
			return nil, err
		}
	}
	out.Result = out.strict.Widen()
	return out, nil
}

// Judge finds out what contradicts the readings of r or each other and what they leave
// open, unless that has been done.
func (r *Result) Judge() {
	if r.isJudged {
		return
	}
	r.isJudged = true
	contradicted := findings.Contradictions(r.strict)
	findings.FlagSuspects(r.strict, contradicted)
	r.TakeFlags(r.strict)
	r.Findings = findings.All(r.strict, r.Result, contradicted)
	if r.pattern != nil {
		r.Findings = append(r.Findings, *r.pattern)
	}
	r.Undetermined = findings.Gaps(r.Result)
	r.Checks, r.Pairs = r.CompareWithDrawing()
}

// Compare fits the readings with the other resonator, unless that has been done.
func (r *Result) Compare() {
	if !r.compared && r.Alternative == nil {
		r.Alternative = r.strict.NewAlternative()
	}
	r.compared = true
}
