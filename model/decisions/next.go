package decisions

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// Planned is the answer to which readings to take.
type Planned struct {
	Measurand Measurand
	Now       quantities.Estimate // of the measurand, the same as the fit reports
	Ranked    []Suggestion        // candidates alone, best first, new capacitors as ranges; not the least of very many
	Tried     int                 // how many candidates there were
	Greedy    []Suggestion        // one after the other; each Before is the After of the one before it
	Better    []Suggestion        // the best exchange of them, if it is better
	Unmet     bool                // no candidate makes an undetermined measurand determined
	Unknown   bool                // the measurand names nothing that this log knows
}

// Next ranks candidates by what each would do for want, and plans howMany of
// them. The parts of candidates may go beyond those of the log: extra lists the
// further ones.
//
// A reading counts with the typical uncertainty of the readings used.
func Next(r *estimation.Result, want Measurand, candidates []Candidate, extra []readings.Part, howMany int) Planned {
	out := Planned{Measurand: want}
	p, err := newPlan(r, want, candidates, extra)
	if err != nil {
		out.Unknown = true
		return out
	}
	out.Now, out.Tried = p.now, len(candidates)
	gains := fit.Must(p.after.Covariance.RankRows(p.gradient, p.alone()))
	for _, g := range gains[:min(len(gains), mostRanked)] {
		i := g.Candidate
		out.Ranked = append(out.Ranked, p.suggest(&candidates[i], p.now, p.expect(p.rows[i])))
	}
	out.Ranked = ranges(out.Ranked)
	rank(out.Ranked)
	out.Unmet = !p.now.Determined && (len(out.Ranked) == 0 || !out.Ranked[0].After.Determined)
	if howMany < 2 || len(candidates) == 0 {
		return out
	}
	p.of(out.Ranked)
	plan := p.best([][]float64{p.gradient}, howMany)
	out.Greedy = p.follow(plan.Greedy)
	better := p.follow(plan.Exchanged)
	if last := len(better) - 1; better[last].After.Stated < 0.999*out.Greedy[last].After.Stated {
		out.Better = better
	}
	return out
}

// of leaves only the candidates of list.
func (p *plan) of(list []Suggestion) {
	p.candidates, p.rows = nil, nil
	for i := range list {
		p.add(list[i].Candidate)
	}
}

// mostRanked is how many of the best candidates are worked out in full.
const mostRanked = 200

// alone returns the row of each candidate.
func (p *plan) alone() [][]float64 {
	rows := make([][]float64, len(p.rows))
	for i := range p.rows {
		rows[i] = p.rows[i].now
	}
	return rows
}

// best plans howMany candidates, each measurement once.
func (p *plan) best(gradients [][]float64, howMany int) fit.Plan {
	once := make([]bool, len(p.candidates))
	for i := range p.candidates {
		once[i] = p.candidates[i].Kind.measures()
	}
	return fit.Must(p.after.Covariance.PlanRows(gradients, p.alone(), once, howMany))
}

// follow tells what candidates do as planned, as far as each helps.
func (p *plan) follow(gains []fit.Gain) (list []Suggestion) {
	before := p.now
	var done []evidence
	for _, g := range gains {
		done = append(done, p.rows[g.Candidate])
		s := p.suggest(&p.candidates[g.Candidate], before, p.expect(done...))
		list, before = append(list, s), s.After
	}
	return list
}

// suggest tells what a candidate does for the measurand.
func (p *plan) suggest(c *Candidate, before, after quantities.Estimate) Suggestion {
	return Suggestion{Candidate: *c, Before: before, After: after, Reason: p.reason(c, before, after)}
}

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
	gradients := make([][]float64, len(wants))
	for i, w := range wants {
		if !p.aim(w, extra) {
			return out, false
		}
		gradients[i] = p.gradient
	}
	var done []evidence
	for _, g := range p.best(gradients, howMany).Exchanged {
		out.Steps, done = append(out.Steps, candidates[g.Candidate]), append(done, p.rows[g.Candidate])
	}
	for _, w := range wants {
		p.aim(w, extra)
		out.Now, out.After = append(out.Now, p.now), append(out.After, p.expect(done...))
	}
	return out, true
}

// reason says why a candidate helps with the measurand, or doesn't.
func (p *plan) reason(c *Candidate, before, after quantities.Estimate) Reason {
	s, e := &c.State, p.after.Problem
	g := gain(before, after)
	switch {
	case math.IsInf(g, 1) && s.Core == "" && s.Primary.Kind == readings.PrimaryOpen && (len(s.Parts) > 0 || c.Kind == ReadNew):
		return ReasonSplits
	case math.IsInf(g, 1):
		return ReasonMissing
	case !(g > helps*before.Uncertainty/math.Abs(before.Value)):
		return ReasonNothing
	case c.Kind == MeasurePart:
		return ReasonTolerance
	case c.Kind == MeasureWinding:
		return ReasonMeasured
	case c.Kind == ReadNew:
		return ReasonNewPart
	case s.Clip && len(s.Parts) == 0 && !p.seen.state(s):
		return ReasonClip
	case p.measurand.Name == "frequency" && readings.Same(s, &p.measurand.State):
		return ReasonDirect
	case p.seen.state(s):
		return ReasonRepeat
	case e.Added(p.after.Solution.X, s) > p.seen.most:
		return ReasonRange
	case slices.ContainsFunc(s.Parts, func(part int) bool { return !p.seen.parts[part] }):
		return ReasonNewPart
	}
	return ReasonCombination
}

func gain(before, after quantities.Estimate) float64 {
	switch {
	case before.Determined && after.Determined:
		return (before.Uncertainty - after.Uncertainty) / math.Abs(before.Value)
	case after.Determined:
		return math.Inf(1)
	}
	return 0
}

// Reason says why a candidate helps.
type Reason int

// Reasons.
const (
	ReasonSplits      Reason = iota // it separates inductance and capacitance
	ReasonRange                     // it has more on the top than any reading
	ReasonNewPart                   // its part is in no reading yet, so its error is independent
	ReasonCombination               // its combination is in no reading yet
	ReasonRepeat                    // it averages the scatter of a state already read
	ReasonDirect                    // it is the state that was asked for
	ReasonNothing                   // it leaves the measurand about as it is
	ReasonMissing                   // it brings in what the measurand needs and no reading has
	ReasonTolerance                 // it replaces a tolerance that the measurand's variance comes from
	ReasonMeasured                  // it is another measurement of what the measurand depends on
	ReasonClip                      // it has what clips and leads bring beside the parts, alone
)

// Suggestion tells what a candidate would do for a measurand.
type Suggestion struct {
	Candidate                     // New may be a range, all of which does as much
	Before    quantities.Estimate // of the measurand as the fit has it
	After     quantities.Estimate // once the candidate is done: its value as now, its uncertainty as expected
	Reason    Reason
}

// Helps tells whether s is worth proposing.
func (s *Suggestion) Helps() bool { return s.After.Determined && s.Reason != ReasonNothing }

// Worth is the expected uncertainty, as a fraction of the value, +Inf while undetermined.
func (s *Suggestion) Worth() float64 {
	if !s.After.Determined {
		return math.Inf(1)
	}
	return s.After.Uncertainty / math.Abs(s.After.Value)
}

const (
	// EqualWithin is how much larger an expected uncertainty may be and still count as
	// equal: nobody sets up a second capacitor for that.
	EqualWithin = 0.02
	// equalRange is the same for capacitors that may be chosen from a range.
	equalRange = 0.1
	// helps is the least relative drop of the uncertainty that is worth the work.
	helps = 0.05
)

// ranges joins suggestions that differ by a new capacitor alone: around the best, all
// that do nearly as well make one, with what the worst of them does. A capacitor known
// better is left out where it does no better.
func ranges(list []Suggestion) (out []Suggestion) {
	groups := map[readings.Condition]map[float64][]Suggestion{}
	var conditions []readings.Condition
	for _, s := range list {
		if s.Kind != ReadNew {
			out = append(out, s)
			continue
		}
		c := s.State.Condition()
		if groups[c] == nil {
			groups[c] = map[float64][]Suggestion{}
			conditions = append(conditions, c)
		}
		groups[c][s.Relative] = append(groups[c][s.Relative], s)
	}
	for _, c := range conditions {
		var last *Suggestion
		known := make([]float64, 0, 2)
		for u := range groups[c] {
			known = append(known, u)
		}
		stable.Sort(known, func(a, b float64) int { return cmp.Compare(b, a) }) // the worst known first
		for _, u := range known {
			s, ok := joined(groups[c][u])
			if last == nil || ok && s.Worth() < (1-helps)*last.Worth() {
				out = append(out, s)
				last = &s
			}
		}
	}
	return out
}

// joined returns the range of new capacitors around the best of list, in which each
// does nearly as well.
func joined(list []Suggestion) (Suggestion, bool) {
	stable.Sort(list, func(a, b Suggestion) int { return cmp.Compare(a.New[0], b.New[0]) })
	best := 0
	for i := range list {
		if list[i].Worth() < list[best].Worth() {
			best = i
		}
	}
	if !list[best].After.Determined {
		return list[len(list)/2], false
	}
	enough := (1 + equalRange) * list[best].Worth()
	from, to, worst := best, best, best
	for from > 0 && list[from-1].Worth() <= enough {
		from--
	}
	for to < len(list)-1 && list[to+1].Worth() <= enough {
		to++
	}
	for i := from; i <= to; i++ {
		if list[i].Worth() > list[worst].Worth() {
			worst = i
		}
	}
	s := list[worst]
	s.New = [2]float64{list[from].New[0], list[to].New[1]}
	return s, true
}

// rank orders suggestions, the smallest expected uncertainty first; among those
// of equal worth the simplest to set up.
func rank(list []Suggestion) {
	stable.Sort(list, func(a, b Suggestion) int {
		return cmp.Compare(a.Worth(), b.Worth())
	})
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].Worth() <= (1+EqualWithin)*list[0].Worth() {
			n++
		}
		stable.Sort(list[:n], func(a, b Suggestion) int {
			return cmp.Compare(a.effort(), b.effort())
		})
		list = list[n:]
	}
}
