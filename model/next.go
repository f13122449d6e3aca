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

// Suggestion tells what a candidate would do for a wish.
type Suggestion struct {
	Candidate          // New may be a range, all of which does as much
	Before    Estimate // of the wish as the fit has it
	After     Estimate // once the candidate is done: its value as now, its uncertainty as expected
	// Gain is the drop of the relative standard uncertainty, Before − After;
	// +Inf when the candidate makes the wish determined.
	Gain   float64
	Reason Reason
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
	ReasonNothing                   // it leaves the wish about as it is
	ReasonMissing                   // it brings in what the wish needs and no reading has
	ReasonTolerance                 // it replaces a tolerance that the wish's variance comes from
	ReasonMeasured                  // it is another measurement of what the wish depends on
	ReasonClip                      // it has what clips and leads bring beside the parts, alone
)

// Planned is the answer to which readings to take.
type Planned struct {
	Wish    Wish
	Now     Estimate     // of the wish, the same as the fit reports
	Ranked  []Suggestion // candidates alone, best first, new capacitors as ranges; not the least of very many
	Tried   int          // how many candidates there were
	Greedy  []Suggestion // one after the other; each Before is the After of the one before it
	Better  []Suggestion // the best exchange of them, if it is better
	Unmet   bool         // no candidate makes an undetermined wish determined
	Unknown bool         // the wish names nothing that this log knows
}

// Next ranks candidates by what each would do for wish, and plans howMany of
// them. The parts of candidates may go beyond those of the log: extra lists the
// further ones.
//
// A reading counts with the typical uncertainty of the readings used.
func (r *Result) Next(wish Wish, candidates []Candidate, extra []Part, howMany int) Planned {
	out := Planned{Wish: wish}
	p, err := r.newPlan(wish, candidates, extra)
	if err != nil {
		out.Unknown = true
		return out
	}
	out.Now, out.Tried = p.now, len(candidates)
	gains := p.after.cov.RankRows(p.gradient, p.alone())
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
	once := make([]bool, len(p.candidates))
	for i := range p.candidates {
		once[i] = p.candidates[i].Kind.measures()
	}
	plan := p.after.cov.PlanRows([][]float64{p.gradient}, p.alone(), once, howMany)
	out.Greedy = p.follow(plan.Greedy)
	better := p.follow(plan.Exchanged)
	if last := len(better) - 1; better[last].After.Stated < 0.999*out.Greedy[last].After.Stated {
		out.Better = better
	}
	return out
}

// Joint is a plan for several wishes at once.
type Joint struct {
	Steps      []Candidate // what does most first
	Now, After []Estimate  // of each wish, before and behind all steps
}

// Together plans howMany candidates that make the product of the variances of all wishes
// small. ok is false where one of them has nothing to do with the log.
func (r *Result) Together(wishes []Wish, candidates []Candidate, extra []Part, howMany int) (out Joint, ok bool) {
	if len(wishes) == 0 || len(candidates) == 0 || howMany < 1 {
		return out, false
	}
	p, err := r.newPlan(wishes[0], candidates, extra)
	if err != nil {
		return out, false
	}
	gradients, once := make([][]float64, len(wishes)), make([]bool, len(candidates))
	for i, w := range wishes {
		if !p.aim(w, extra) {
			return out, false
		}
		gradients[i] = p.gradient
	}
	for i := range candidates {
		once[i] = candidates[i].Kind.measures()
	}
	var done []evidence
	for _, g := range p.after.cov.PlanRows(gradients, p.alone(), once, howMany).Exchanged {
		out.Steps, done = append(out.Steps, candidates[g.Candidate]), append(done, p.rows[g.Candidate])
	}
	for _, w := range wishes {
		p.aim(w, extra)
		out.Now, out.After = append(out.Now, p.now), append(out.After, p.expect(done...))
	}
	return out, true
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

// suggest tells what a candidate does for the wish.
func (p *plan) suggest(c *Candidate, before, after Estimate) Suggestion {
	return Suggestion{Candidate: *c, Before: before, After: after, Gain: gain(before, after), Reason: p.reason(c, before, after)}
}

const (
	// alike is how much larger an expected uncertainty may be and still count as
	// equal: nobody sets up a second capacitor for that.
	alike = 0.02
	// alikeRange is the same for capacitors that may be chosen from a range.
	alikeRange = 0.1
	// helps is the least relative drop of the uncertainty that is worth the work.
	helps = 0.05
)

// Helps tells whether s is worth proposing.
func (s *Suggestion) Helps() bool { return s.After.Determined && s.Reason != ReasonNothing }

// ranges joins suggestions that differ by a new capacitor alone: around the best, all
// that do nearly as well make one, with what the worst of them does. A capacitor known
// better is left out where it does no better.
func ranges(list []Suggestion) (out []Suggestion) {
	groups := map[Condition]map[float64][]Suggestion{}
	var conditions []Condition
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
		slices.SortFunc(known, func(a, b float64) int { return cmp.Compare(b, a) }) // the worst known first
		for _, u := range known {
			s, ok := joined(groups[c][u])
			if last == nil || ok && s.worth() < (1-helps)*last.worth() {
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
	slices.SortFunc(list, func(a, b Suggestion) int { return cmp.Compare(a.New[0], b.New[0]) })
	best := 0
	for i := range list {
		if list[i].worth() < list[best].worth() {
			best = i
		}
	}
	if !list[best].After.Determined {
		return list[len(list)/2], false
	}
	enough := (1 + alikeRange) * list[best].worth()
	from, to, worst := best, best, best
	for from > 0 && list[from-1].worth() <= enough {
		from--
	}
	for to < len(list)-1 && list[to+1].worth() <= enough {
		to++
	}
	for i := from; i <= to; i++ {
		if list[i].worth() > list[worst].worth() {
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
	slices.SortStableFunc(list, func(a, b Suggestion) int {
		return cmp.Compare(a.worth(), b.worth())
	})
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].worth() <= (1+alike)*list[0].worth() {
			n++
		}
		slices.SortStableFunc(list[:n], func(a, b Suggestion) int {
			return cmp.Compare(a.effort(), b.effort())
		})
		list = list[n:]
	}
}

// worth is the expected uncertainty, as a fraction of the value, +Inf while undetermined.
func (s *Suggestion) worth() float64 {
	if !s.After.Determined {
		return math.Inf(1)
	}
	return s.After.Uncertainty / math.Abs(s.After.Value)
}

func gain(before, after Estimate) float64 {
	switch {
	case before.Determined && after.Determined:
		return (before.Uncertainty - after.Uncertainty) / math.Abs(before.Value)
	case after.Determined:
		return math.Inf(1)
	}
	return 0
}

// reason says why a candidate helps with the wish, or doesn't.
func (p *plan) reason(c *Candidate, before, after Estimate) Reason {
	s, e := &c.State, p.after.problem
	g := gain(before, after)
	switch {
	case math.IsInf(g, 1) && s.Core == "" && (len(s.Parts) > 0 || c.Kind == ReadNew):
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
	case p.wish.Name == "frequency" && same(s, &p.wish.State):
		return ReasonDirect
	case p.seen.state(s):
		return ReasonRepeat
	case e.added(p.after.fit.X, s) > p.seen.most:
		return ReasonRange
	case slices.ContainsFunc(s.Parts, func(part int) bool { return !p.seen.parts[part] }):
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
	if len(a.Parts) != len(b.Parts) || a.Clip != b.Clip || a.Core != b.Core || a.From != b.From || a.To != b.To || a.Hand != b.Hand {
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
