package model

import "math"

// Slip is a unit that was mistaken in a whole log: with the values times Factor, the
// coil would be an ordinary one.
type Slip struct {
	Added      bool // of the capacitances added; else of the frequencies
	Factor     float64
	Inductance float64 // H, then
	Impedance  float64 // Ω, then
}

// usual tells whether an inductance [H] and a capacitance [F] are those of a coil
// wound by hand, from a few turns in the air to thousands of turns (common
// practice).
func usual(l, c float64) bool {
	z := math.Sqrt(l / c)
	return l > 50e-9 && l < 3 && c > 0.2e-12 && c < 1e-9 && z > 50 && z < 1e6
}

// conceivable tells whether there may be such a coil, however odd: a straight piece of
// wire of 2 cm has 20 nH, a ball of 1 mm alone 0.06 pF.
func conceivable(l, c float64) bool {
	z := math.Sqrt(l / c)
	return l > 20e-9 && l < 20 && c > 0.06e-12 && z < 3e6 && (z > 25 || c < 2e-9)
}

// implausible judges what the fit found as a whole: a log in a wrong unit fits as
// well as any. To judge by, a factor of two will do.
func (r *Result) implausible() []Finding {
	if r.relative(atL) > math.Ln2 {
		return nil
	}
	l, c := r.roughly(Inductance), r.roughly(EffectiveCapacitance)
	if !(l > 0) || !(c > 0) || conceivable(l, c) {
		return nil
	}
	f := Finding{Kind: Implausible, Value: l, Other: r.roughly(Impedance)}
	for _, k := range []float64{1e-3, 1e3, 1e-6, 1e6} {
		for _, added := range []bool{false, true} {
			// ω² L C = 1, with C anchored to the parts added
			henry, farad := l/(k*k), c
			if added {
				henry, farad = l/k, c*k
			}
			if f.Slip == nil && usual(henry, farad) {
				f.Slip = &Slip{Added: added, Factor: k, Inductance: henry, Impedance: f.Other / k}
			}
		}
	}
	return []Finding{f}
}

// roughly returns the value of a quantity of the bare coil, however uncertain; NaN
// when the fit has none.
func (r *Result) roughly(name string) float64 {
	parameters, derived := quantities(r.problem.forward)
	for _, q := range append(parameters, derived...) {
		if q.name == name {
			return q.value(r.problem.forward, r.fit.X, make([]float64, r.problem.n))
		}
	}
	return math.NaN()
}
