package model

import (
	"iter"
	"math"

	"gonum.org/v1/gonum/stat"
)

// unknowns says where each thing to be found stands in the vector x of a fit.
// Whatever must be positive is there as its logarithm:
//
//	x[0] = ln(L/H)    inductance of the whole winding in air
//	x[1] = ln(C/F)    winding and top capacitance together
//	x[share]          top capacitance over C, in [0, 1]; absent when all is at the top
//	x[core]           ln g, as the resonator sees it; x[core+1] = ln of the factor on the capacitance
//	                  along the stretch covered
//	x[ends]           of the core, for a line: ln of how far ends reach, and
//	x[ends+1]         what coupling adds to the line's g − 1, both from what is
//	                  believed and in units of that belief's standard deviation
//	x[hand]           ln of the hand's capacitance at handScale;
//	                  then ln(d0/m) and the exponent
//	x[part]           ln of the part's capacitance over its nominal value,
//	                  in units of its relative uncertainty, as far as it is
//	                  the part's own; for a part without
//	                  a value, ln of its capacitance in F
//	x[place]          by how much the resonator errs with a core where it is,
//	                  partly in, in units of its uncertainty there
//	x[lot]            the error that the parts of a lot have in common, likewise
//	x[lead]           what each state with something added has on the top
//	                  besides, in units of leadSigma
//	x[drift]          relative change of all frequencies from the first reading
//	                  to the last, in units of driftSigma
//
// Of a log with many parts, those that share no reading with each other come last:
// owned of them, which the fit eliminates.
type unknowns struct {
	n, owned  int
	share     int // −1: absent
	cores     []coreUnknown
	hand      int       // −1: nobody near in any reading
	handScale float64   // m, geometric mean of the distances read
	distances []float64 // m, those read, in order
	partAt    []int     // by index in Log.Parts; −1: exact, or in no reading
	places    []place
	lots      []lot
	lotAt     []int // by index in Log.Parts: where its lot's error stands; −1: it has none in common
	lead      int   // −1: nothing added in any reading
	drift     int   // −1: readings take no time
	line      bool  // the resonator knows nothing of ends
}

// coreUnknown is one core and the deepest coverage read with it.
type coreUnknown struct {
	name     string
	at       int
	ends     int // −1: the resonator knows of ends itself
	from, to float64
}

const (
	atL = 0
	atC = 1
)

// newUnknowns lists what the used readings of log depend on, and after that what the
// further states do, of a coil that r resonates for: with all capacitance at the top where
// it is lumped, and no unknown of the bench that is known to be nothing.
func newUnknowns(log *Log, r Resonator, lumped bool, known []Known, further []State) unknowns {
	u := unknowns{n: 2, share: -1, hand: -1, lead: -1, drift: -1, partAt: make([]int, len(log.Parts)), lotAt: make([]int, len(log.Parts))}
	_, u.line = r.(*Line)
	if !lumped {
		u.share = u.take(1)
	}
	for i := range u.partAt {
		u.partAt[i], u.lotAt[i] = -1, -1
	}
	used := log.used()
	o := newOwnParts(log)
	for s := range used {
		u.include(log.Parts, s, o)
	}
	u.addPlaces(used, nil)
	u.addLots(log.Parts, used)
	if !rulesOut(known, LeadCapacitance) {
		u.addLead(used, known)
	}
	if !rulesOut(known, Drift) {
		u.addDrift(log)
	}
	o.read = true
	for i := range further {
		u.include(log.Parts, &further[i], o)
	}
	u.addPlaces(used, further)
	u.addLots(log.Parts, each(further))
	if !rulesOut(known, LeadCapacitance) {
		u.addLead(each(further), nil)
	}
	u.owned = len(o.taken)
	for _, p := range o.taken {
		u.partAt[p] = u.take(1)
	}
	if u.hand >= 0 {
		u.scaleHand(used, further)
	}
	return u
}

// scaleHand fixes the distance at which the hand's capacitance is an unknown: in
// the middle of those read, or of those to come if none was.
func (u *unknowns) scaleHand(used iter.Seq[*State], further []State) {
	u.distances = distances(used)
	if len(u.distances) == 0 {
		u.distances = distances(each(further))
	}
	u.handScale = stat.GeometricMean(u.distances, nil)
}

// each goes through states.
func each(states []State) iter.Seq[*State] {
	return func(yield func(*State) bool) {
		for i := range states {
			if !yield(&states[i]) {
				return
			}
		}
	}
}

// include makes room for what s depends on, but for parts of their own.
func (u *unknowns) include(parts []Part, s *State, o *ownParts) {
	if s.Core != "" {
		u.addCore(s)
	}
	for _, p := range s.Parts {
		if u.partAt[p] < 0 && parts[p].open() && !o.take(p) {
			u.partAt[p] = u.take(1)
		}
	}
	if math.IsInf(s.Hand, 1) {
		return
	}
	if u.hand < 0 {
		u.hand = u.take(3)
	}
}

// common is the number of unknowns that are not parts of their own.
func (u *unknowns) common() int { return u.n - u.owned }

// width is the number of derivatives in a row of the fit (see fit.Rows).
func (u *unknowns) width() int {
	if u.owned > 0 {
		return u.common() + 1
	}
	return u.n
}

// slot is where the derivative by unknown k stands in a gradient of that length.
func (u *unknowns) slot(k, length int) int {
	if length < u.n {
		return min(k, u.common())
	}
	return k
}

// ownPart returns which of the parts of their own s has, −1 for none.
func (u *unknowns) ownPart(s *State) int {
	for _, p := range s.Parts {
		if k := u.partAt[p] - u.common(); k >= 0 {
			return k
		}
	}
	return -1
}

func (u *unknowns) take(n int) int {
	u.n += n
	return u.n - n
}

// addCore makes room for the core of s, or notes a deeper insertion of it.
func (u *unknowns) addCore(s *State) {
	for i := range u.cores {
		if c := &u.cores[i]; c.name == s.Core {
			if s.To-s.From > c.to-c.from {
				c.from, c.to = s.From, s.To
			}
			return
		}
	}
	c := coreUnknown{s.Core, u.take(2), -1, s.From, s.To}
	if u.line {
		c.ends = u.take(2)
	}
	u.cores = append(u.cores, c)
}

// core returns the named core; nil for none, or one that x doesn't hold.
func (u *unknowns) core(name string) *coreUnknown {
	for i := range u.cores {
		if c := &u.cores[i]; c.name == name {
			return c
		}
	}
	return nil
}

// spreadOut returns row i of some rows, of which own lists the parts of their own, by all
// unknowns.
func (u *unknowns) spreadOut(row []float64, own []int, i int) []float64 {
	if u.owned == 0 {
		return row
	}
	grad := make([]float64, u.n)
	copy(grad, row[:u.common()])
	if own != nil && own[i] >= 0 {
		grad[u.common()+own[i]] = row[u.common()]
	}
	return grad
}
