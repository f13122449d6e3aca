package findings

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/model/estimation"
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
