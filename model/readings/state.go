package readings

import (
	"math"
	"slices"
)

// Besides tells whether anything but the core of s is there that shapes the mode.
func (s *State) Besides() bool {
	return s.Clipped() || s.Exact != 0 || !math.IsInf(s.Hand, 1)
}

// Condition is a state regardless of the parts on the top.
type Condition struct {
	Core     string
	From, To float64
	Hand     float64 // m; +Inf when nobody is near
	Primary  Primary
}

// Condition returns the condition that s is in.
func (s *State) Condition() Condition {
	return Condition{s.Core, s.From, s.To, s.Hand, s.Primary}
}

// State returns c with the capacitance exact on the top [F].
func (c Condition) State(exact float64) State {
	return State{Exact: exact, Core: c.Core, From: c.From, To: c.To, Hand: c.Hand, Primary: c.Primary}
}

// Stretch is where a core sits.
type Stretch struct {
	Core     string
	From, To float64
}

// Stretch returns where the core of s sits.
func (s *State) Stretch() Stretch { return Stretch{s.Core, s.From, s.To} }

// StateKey is alike for states that are one, and mostly not for others.
type StateKey struct {
	Condition
	parts, sum int
}

// Key returns what states that are one have in common.
func (s *State) Key() StateKey {
	k := StateKey{Condition: s.Condition(), parts: len(s.Parts)}
	for _, p := range s.Parts {
		k.sum += p
	}
	return k
}

// Same tells whether two states are one.
func Same(a, b *State) bool {
	if len(a.Parts) != len(b.Parts) || a.Clip != b.Clip || a.Core != b.Core || a.From != b.From || a.To != b.To || a.Hand != b.Hand || a.Primary != b.Primary {
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

// Repeats tells whether s is written just as o is.
func (s *State) Repeats(o *State) bool {
	return s.Exact == o.Exact && s.Clip == o.Clip && s.Core == o.Core && s.From == o.From && s.To == o.To && s.Hand == o.Hand && s.Primary == o.Primary && slices.Equal(s.Parts, o.Parts)
}

// Partly tells whether a core covers the winding partly in s.
func (s *State) Partly() bool { return s.Core != "" && s.To-s.From < 1 }

// Clipped tells whether something is clipped on the top, if only an empty clip, so that
// what clip and lead bring is there as well.
func (s *State) Clipped() bool { return s.Clip || len(s.Parts) > 0 }

// Nearness returns the distance of the hand, or 0 when nobody is near.
func (s *State) Nearness() float64 {
	if math.IsInf(s.Hand, 1) {
		return 0
	}
	return s.Hand
}

// Numbered numbers the states of the readings at rows, in the order in which they came
// first, and tells how many there are.
func Numbered(l *Log, rows []int) (of []int, n int) {
	of = make([]int, len(rows))
	first := map[StateKey][]int{} // places in rows, of states to compare with
	for k, i := range rows {
		s := &l.Readings[i].State
		list := first[s.Key()]
		at := slices.IndexFunc(list, func(j int) bool { o := &l.Readings[rows[j]].State; return Same(o, s) && o.Exact == s.Exact })
		if at >= 0 {
			of[k] = of[list[at]]
			continue
		}
		first[s.Key()] = append(list, k)
		of[k], n = n, n+1
	}
	return of, n
}
