package decisions

import (
	"cmp"
	"math"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

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
