package findings

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
)

// addedDiffers tells whether two used readings differ by known capacitance on
// the top and nothing else.
func addedDiffers(r *estimation.Result) bool {
	known := map[string]float64{} // capacitance of the first reading, by all else
	for _, i := range r.Problem.Rows {
		s := &r.Session.Log.Readings[i].State
		c := s.Exact
		var unknown []int
		for _, p := range s.Parts {
			if part := r.Problem.Parts[p]; part.Known {
				c += part.Capacitance
			} else {
				unknown = append(unknown, p)
			}
		}
		slices.Sort(unknown)
		rest := fmt.Sprint(s.Condition(), unknown)
		if first, ok := known[rest]; ok && first != c {
			return true
		}
		known[rest] = c
	}
	return false
}

// readPlain tells whether any used reading has neither an unknown part nor a
// hand.
func readPlain(r *estimation.Result) bool {
	return slices.ContainsFunc(r.Problem.Rows, func(i int) bool { return r.Problem.Plain(&r.Session.Log.Readings[i].State) })
}

// readInAir tells whether any used reading has no core.
func readInAir(r *estimation.Result) bool {
	return slices.ContainsFunc(r.Problem.Rows, func(i int) bool { return r.Session.Log.Readings[i].Core == "" })
}

// handWithCoreOnly tells whether each reading with a hand has a core in that no
// reading without a hand has: what either does can't be told then.
func handWithCoreOnly(r *estimation.Result) bool {
	alone := map[string]bool{"": true} // cores read with nobody near
	for _, i := range r.Problem.Rows {
		if s := &r.Session.Log.Readings[i].State; math.IsInf(s.Hand, 1) {
			alone[s.Core] = true
		}
	}
	for _, i := range r.Problem.Rows {
		if s := &r.Session.Log.Readings[i].State; !math.IsInf(s.Hand, 1) && alone[s.Core] {
			return false
		}
	}
	return true
}

// plainEnd is a used reading with nothing but parts of known value on the top, in
// air, nobody near: what was added [F], 1/ω² [s²], and their standard uncertainties.
type plainEnd struct{ added, addedU, lc, lcU float64 }

// plainEnds returns the plain readings with the least and the most added; ok is
// false where no two differ.
func plainEnds(r *estimation.Result) (least, most plainEnd, ok bool) {
	first := true
	for _, i := range r.Problem.Rows {
		o := &r.Session.Log.Readings[i]
		if o.Core != "" || !r.Problem.Plain(&o.State) {
			continue
		}
		omega := 2 * math.Pi * o.Frequency
		p := plainEnd{added: o.Exact, lc: 1 / (omega * omega)}
		p.lcU = 2 * p.lc * o.Uncertainty / o.Frequency
		for _, k := range o.Parts {
			part := r.Problem.Parts[k]
			p.added += part.Capacitance
			p.addedU = math.Hypot(p.addedU, part.Uncertainty)
		}
		if p.added > 0 {
			p.addedU = math.Hypot(p.addedU, forward.LeadSigma)
		}
		if first || p.added < least.added {
			least = p
		}
		if first || p.added > most.added {
			most = p
		}
		first = false
	}
	return least, most, most.added > least.added
}

// significant is how many of its standard uncertainties a difference has to be before
// it is called wrong: as chance does with one pair of like parts in 370 (normal errors).
const significant = 3

// belowZero returns the capacitance of the coil that the plain readings call for [F], its
// standard uncertainty, and whether it is below zero by more than their uncertainties and
// the parts' allow. The capacitance is −Inf where a larger part raises the frequency. Of the straight line of
// 1/ω² against what was added, which meets zero where as much is taken away as the coil
// has: with a the 1/ω² and b what was added, at its ends,
//
//	C = a₁ (b₂ − b₁)/(a₂ − a₁) − b₁.
//
// A coil's line bends, but by far less.
func belowZero(r *estimation.Result) (c, u float64, below bool) {
	least, most, ok := plainEnds(r)
	if !ok {
		return 0, 0, false
	}
	span, spanU := most.added-least.added, math.Hypot(most.addedU, least.addedU)
	rise, riseU := most.lc-least.lc, math.Hypot(most.lcU, least.lcU)
	switch {
	case span < significant*spanU: // the parts may well be alike
		return 0, 0, false
	case rise <= 0:
		return math.Inf(-1), math.NaN(), -rise > significant*riseU
	}
	c = least.lc*span/rise - least.added
	u = math.Hypot(least.addedU, least.lc*span/rise*math.Hypot(spanU/span, riseU/rise))
	return c, u, c < -significant*u
}

// addsMuch tells whether the plain readings differ so much that the added capacitance
// alone makes them what they are: a larger one would add nothing.
func addsMuch(r *estimation.Result) bool {
	least, most, ok := plainEnds(r)
	const much = 1.5 // a plain choice, of which remedy is named: the larger part then lowers the frequency by a fifth
	return ok && least.added > 0 && most.lc > much*least.lc
}
