package forward

import (
	"slices"

	"fitcoil/model/readings"
)

// Unknowns says where each thing to be found stands in the vector x of a fit.
// Whatever must be positive is there as its logarithm:
//
//	x[0] = ln(L/H)    inductance of the whole winding in air
//	x[1] = ln(C/F)    winding and top capacitance together
//	x[share]          top capacitance over C, in [0, 1]; absent when all is at the top
//	x[core]           ln g, as the resonator sees it; x[core+1] = ln of the factor on the capacitance
//	                  along the stretch covered
//	x[ends]           of the core, for a line: ln of how far ends reach, and
//	x[ends+1]         ln of what the core moves of the line's capacitance, both from the
//	                  prior's mean and in units of its standard deviation
//	x[hand]           ln of the hand's capacitance at handScale;
//	                  then ln(d0/m) and the exponent
//	x[part]           ln of the part's capacitance over its nominal value,
//	                  in units of its relative uncertainty, as far as it is
//	                  the part's own; for a part without
//	                  a value, ln of its capacitance in F
//	x[place]          by how much the resonator errs with a core where it is,
//	                  partly in, in units of its uncertainty there
//	x[distance]       by how much the hand's law errs at a distance, in units of
//	                  HandSpread
//	x[lot]            the error that the parts of a lot have in common, likewise
//	x[lead]           what each state with something added has on the top
//	                  besides, in units of leadSigma
//	x[coupling]       ln(f_short/f_open) of a primary in one state of the core; then
//	                  ln of its own frequency with each capacitor across it
//	x[stray]          how much more there is on the top at the bench of an earlier session, in
//	                  units of StraySigma
//	x[drift]          relative change of all frequencies from the first reading
//	                  to the last, in units of driftSigma
//
// Of a log with many parts, those that share no reading with each other come last:
// owned of them, which the fit eliminates.
type Unknowns struct {
	N, Owned  int
	Share     int // −1: absent
	Cores     []coreUnknown
	Hand      int       // −1: nobody near in any reading
	HandScale float64   // m, geometric mean of the distances read
	Distances []float64 // m, those read, in order
	PartAt    []int     // by index in Log.Parts; −1: exact, or in no reading
	Places    []place
	Near      []distance
	Couplings []CoupledUnknown
	Lots      []Lot
	LotAt     []int // by index in Log.Parts: where its lot's error stands; −1: it has none in common
	Lead      int   // −1: nothing added in any reading
	Strays    []int // of each bench of an earlier session that isn't the present one
	Drift     int   // −1: readings take no time
	Line      bool  // the resonator knows nothing of ends
}

// coreUnknown is one core and the deepest coverage read with it.
type coreUnknown struct {
	Name     string
	At       int
	Ends     int // −1: the resonator knows of ends itself
	from, to float64
}

// Deepest returns the state in which core k covers most of those read, with nothing else
// there.
func (u *Unknowns) Deepest(k int) readings.State {
	s := readings.Bare()
	s.Core, s.From, s.To = u.Cores[k].Name, u.Cores[k].from, u.Cores[k].to
	return s
}

const (
	AtL = 0
	AtC = 1
)

// Lot is the unknown error that the parts of one lot have in common.
type Lot struct {
	name string
	At   int
}

// place is a stretch that a core covers partly, with an unknown of its own: what the
// model errs there is the same for all readings with the core left where it is, so
// that these share it, as they share a capacitor's error.
type place struct {
	readings.Stretch
	At int
}

// distance is where a hand was, with an unknown of its own: what the law errs there is the
// same for all readings with it.
type distance struct {
	Hand float64 // m
	At   int
}

// nearAt returns where in x the law's error at a distance stands; −1 for nowhere.
func (u *Unknowns) nearAt(d float64) int {
	for i := range u.Near {
		if u.Near[i].Hand == d {
			return u.Near[i].At
		}
	}
	return -1
}

// Common is the number of unknowns that are not parts of their own.
func (u *Unknowns) Common() int { return u.N - u.Owned }

// Width is the number of derivatives in a row of the fit (see fit.Rows).
func (u *Unknowns) Width() int {
	if u.Owned > 0 {
		return u.Common() + 1
	}
	return u.N
}

// slot is where the derivative by unknown k stands in a gradient of that length.
func (u *Unknowns) slot(k, length int) int {
	if length < u.N {
		return min(k, u.Common())
	}
	return k
}

// OwnPart returns which of the parts of their own s has, −1 for none.
func (u *Unknowns) OwnPart(s *readings.State) int {
	for _, p := range s.Parts {
		if k := u.PartAt[p] - u.Common(); k >= 0 {
			return k
		}
	}
	return -1
}

// Take makes room for n more unknowns, and returns where they begin.
func (u *Unknowns) Take(n int) int {
	u.N += n
	return u.N - n
}

// Core returns the named core; nil for none, or one that x doesn't hold.
func (u *Unknowns) Core(name string) *coreUnknown {
	for i := range u.Cores {
		if c := &u.Cores[i]; c.Name == name {
			return c
		}
	}
	return nil
}

// Place returns where in x the model's error for s stands; −1 for nowhere.
func (u *Unknowns) Place(s *readings.State) int {
	if s.Partly() {
		for i := range u.Places {
			if u.Places[i].Stretch == s.Stretch() {
				return u.Places[i].At
			}
		}
	}
	return -1
}

// SpreadOut returns row i of some rows, of which own lists the parts of their own, by all
// unknowns.
func (u *Unknowns) SpreadOut(row []float64, own []int, i int) []float64 {
	if u.Owned == 0 {
		return row
	}
	grad := make([]float64, u.N)
	copy(grad, row[:u.Common()])
	if own != nil && own[i] >= 0 {
		grad[u.Common()+own[i]] = row[u.Common()]
	}
	return grad
}

// LotOf returns where in x the error of p's lot stands; −1 for nowhere.
func (u *Unknowns) LotOf(p *readings.Part) int {
	if p.Shares() {
		if k := slices.IndexFunc(u.Lots, func(l Lot) bool { return l.name == p.Lot }); k >= 0 {
			return u.Lots[k].At
		}
	}
	return -1
}

// CoupledUnknown is a primary beside one state of the core. What stands in x is
//
//	x[at] = ln(f_short/f_open), bare with the core there
//
// in which frequencies are linear, k² = 1 − e^(−2x); and for each capacitor across the
// primary, ln of the frequency [Hz] at which that rings by itself.
type CoupledUnknown struct {
	readings.Stretch
	At    int
	Tuned []TunedUnknown
}

type TunedUnknown struct {
	Farad float64
	At    int
}

// addCoupling makes room for the coupling in s.
func (u *Unknowns) addCoupling(s *readings.State) {
	c := u.Coupled(s)
	if c == nil {
		u.Couplings = append(u.Couplings, CoupledUnknown{Stretch: s.Stretch(), At: u.Take(1)})
		c = &u.Couplings[len(u.Couplings)-1]
	}
	if s.Primary.Kind == readings.PrimaryTuned && c.TunedAt(s) < 0 {
		c.Tuned = append(c.Tuned, TunedUnknown{s.Primary.Capacitance, u.Take(1)})
	}
}

// Coupled returns the coupling that s needs; nil where x doesn't hold it.
func (u *Unknowns) Coupled(s *readings.State) *CoupledUnknown {
	for i := range u.Couplings {
		if c := &u.Couplings[i]; c.Stretch == s.Stretch() {
			return c
		}
	}
	return nil
}

// TunedAt returns where the primary's own frequency in s stands; −1 for nowhere.
func (c *CoupledUnknown) TunedAt(s *readings.State) int {
	for _, t := range c.Tuned {
		if t.Farad == s.Primary.Capacitance {
			return t.At
		}
	}
	return -1
}

// SplitPairs tells whether x holds the peaks of split pairs. Where these contradict one
// another there is no valley to walk along, however long.
func (u *Unknowns) SplitPairs() bool {
	return slices.ContainsFunc(u.Couplings, func(c CoupledUnknown) bool { return len(c.Tuned) > 0 })
}

// Reference is the state in which the coupling c is the unknown.
func (c *CoupledUnknown) Reference() readings.State {
	s := readings.Bare()
	s.Core, s.From, s.To = c.Core, c.From, c.To
	return s
}

// deepest tells whether no other coupling of the core of c has it cover more.
func (u *Unknowns) deepest(c *CoupledUnknown) bool {
	for i := range u.Couplings {
		o := &u.Couplings[i]
		if o.Core == c.Core && o.To-o.From > c.To-c.From {
			return false
		}
	}
	return true
}
