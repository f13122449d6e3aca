package model

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
)

// Wish is the quantity that further readings should make better known.
type Wish struct {
	Name  string // of a quantity, or "frequency" of State
	Core  string
	Part  string
	State State // for Name "frequency"
}

// Candidate is a state that could be read next.
type Candidate struct {
	State State
}

// Suggestion tells what reading a candidate would do.
type Suggestion struct {
	State  State
	Before Estimate // of the wish, without the reading
	After  Estimate // with it: its value as now, its uncertainty as expected
	// Gain is the drop of the relative standard uncertainty, Before − After;
	// +Inf when the reading makes the wish determined.
	Gain   float64
	Reason Reason
}

// Reason says why a reading helps.
type Reason int

// Reasons.
const (
	ReasonSplits      Reason = iota // it tells inductance from capacitance
	ReasonRange                     // it has more on the top than any reading
	ReasonNewPart                   // its part is in no reading yet, so its error is independent
	ReasonCombination               // it is a combination not read yet
	ReasonRepeat                    // it averages the scatter of a state already read
	ReasonDirect                    // it is the state that was asked for
	ReasonNothing                   // it tells nothing new on the wish
	ReasonMissing                   // it brings in what the wish needs and no reading has
)

// Planned is the answer to which readings to take.
type Planned struct {
	Wish    Wish
	Ranked  []Suggestion // every candidate alone, best first
	Greedy  []Suggestion // one after the other; each Before is the After of the one before it
	Better  []Suggestion // the best exchange of them, if it is better
	Unmet   bool         // no candidate makes an undetermined wish determined
	Unknown bool         // the wish names nothing that this log knows
}

// Next ranks candidate readings by what each would do for wish, and plans
// howMany of them. The parts of candidates may go beyond those of the log:
// extra lists the further ones.
//
// A candidate counts with the typical uncertainty of the readings used.
func (r *Result) Next(wish Wish, candidates []Candidate, extra []Part, howMany int) Planned {
	out := Planned{Wish: wish}
	e, err := r.extend(extra, candidates)
	if err != nil {
		out.Unknown = true
		return out
	}
	q, ok := e.wish(wish)
	if !ok {
		out.Unknown = true
		return out
	}
	grad := make([]float64, e.n)
	value := q.value(e.forward, e.x, grad)
	if !finite(value) || !finite(grad...) {
		out.Unknown = true
		return out
	}
	rows := make([][]float64, len(candidates))
	for i := range candidates {
		rows[i] = e.row(&candidates[i].State)
	}
	before := e.expect(q, value, grad, nil)
	for _, g := range e.cov.RankRows(grad, rows) {
		var after Estimate
		if before.Determined { // and so it stays: the variance alone changes
			after = e.known(q, value, g.Variance)
		} else {
			after = e.expect(q, value, grad, [][]float64{rows[g.Candidate]})
		}
		out.Ranked = append(out.Ranked, e.suggest(wish, &candidates[g.Candidate].State, before, after))
	}
	rank(out.Ranked)
	out.Unmet = !before.Determined && (len(out.Ranked) == 0 || !out.Ranked[0].After.Determined)
	if howMany < 2 || len(candidates) == 0 {
		return out
	}
	follow := func(plan []fit.Gain) []Suggestion {
		return e.follow(wish, q, value, grad, before, candidates, plan, rows)
	}
	plan := e.cov.PlanRows(grad, rows, howMany)
	out.Greedy = follow(plan.Greedy)
	if better := follow(plan.Exchanged); better[howMany-1].After.Stated < 0.999*out.Greedy[howMany-1].After.Stated {
		out.Better = better
	}
	return out
}

// suggest tells what a reading of s does for wish.
func (e *extended) suggest(wish Wish, s *State, before, after Estimate) Suggestion {
	return Suggestion{State: *s, Before: before, After: after, Gain: gain(before, after), Reason: e.reason(s, wish, before, after)}
}

// follow tells what candidates read as planned do for wish, q, which has a value and a
// gradient here.
func (e *extended) follow(wish Wish, q quantity, value float64, grad []float64, before Estimate, candidates []Candidate, plan []fit.Gain, rows [][]float64) (list []Suggestion) {
	var further [][]float64
	for _, g := range plan {
		further = append(further, rows[g.Candidate])
		after := e.expect(q, value, grad, further)
		list = append(list, e.suggest(wish, &candidates[g.Candidate].State, before, after))
		before = after
	}
	return list
}

// alike is how much larger an expected uncertainty may be and still count as
// equal: nobody sets up a second capacitor for that.
const alike = 0.02

// rank orders suggestions, the smallest expected uncertainty first; among those
// of equal worth the simplest to set up.
func rank(list []Suggestion) {
	slices.SortStableFunc(list, func(a, b Suggestion) int {
		return cmp.Compare(a.worth(), b.worth())
	})
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].worth() <= (1+alike)*list[0].worth() {
			n++
		}
		slices.SortStableFunc(list[:n], func(a, b Suggestion) int {
			return cmp.Compare(effort(&a.State), effort(&b.State))
		})
		list = list[n:]
	}
}

// worth is the expected relative uncertainty, +Inf while undetermined.
func (s *Suggestion) worth() float64 {
	if !s.After.Determined {
		return math.Inf(1)
	}
	return s.After.Uncertainty / math.Abs(s.After.Value)
}

// effort counts what has to be set up for a state.
func effort(s *State) int {
	n := len(s.Parts)
	if s.Core != "" {
		n++
	}
	if !math.IsInf(s.Hand, 1) {
		n++
	}
	return n
}

func gain(before, after Estimate) float64 {
	switch {
	case before.Determined:
		return (before.Uncertainty - after.Uncertainty) / math.Abs(before.Value)
	case after.Determined:
		return math.Inf(1)
	}
	return 0
}

// reason says why reading s helps with the wish, or doesn't.
func (e *extended) reason(s *State, wish Wish, before, after Estimate) Reason {
	switch g := gain(before, after); {
	case math.IsInf(g, 1) && s.Core == "" && len(s.Parts) > 0:
		return ReasonSplits
	case math.IsInf(g, 1):
		return ReasonMissing
	case !(g > 1e-3*before.Uncertainty/math.Abs(before.Value)):
		return ReasonNothing
	case wish.Name == "frequency" && same(s, &wish.State):
		return ReasonDirect
	case e.seen.state(s):
		return ReasonRepeat
	case e.added(e.x, s) > e.seen.most:
		return ReasonRange
	case slices.ContainsFunc(s.Parts, func(p int) bool { return !e.seen.parts[p] }):
		return ReasonNewPart
	}
	return ReasonCombination
}

// stateKey is alike for states that are one, and mostly not for others.
type stateKey struct {
	Condition
	parts, sum int
}

func (s *State) key() stateKey {
	k := stateKey{Condition: s.Condition(), parts: len(s.Parts)}
	for _, p := range s.Parts {
		k.sum += p
	}
	return k
}

// same tells whether two states are one.
func same(a, b *State) bool {
	if len(a.Parts) != len(b.Parts) || a.Core != b.Core || a.From != b.From || a.To != b.To || a.Hand != b.Hand {
		return false
	}
	if slices.Equal(a.Parts, b.Parts) {
		return true
	}
	x, y := slices.Clone(a.Parts), slices.Clone(b.Parts)
	slices.Sort(x)
	slices.Sort(y)
	return slices.Equal(x, y)
}
