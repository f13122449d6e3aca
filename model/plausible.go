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
// well as any.
func (r *Result) implausible() []Finding {
	l, c, z := r.Find(Inductance, "", "", 0), r.Find(EffectiveCapacitance, "", "", 0), r.Find(Impedance, "", "", 0)
	if l == nil || c == nil || z == nil || !l.Determined || !c.Determined || !z.Determined || conceivable(l.Value, c.Value) {
		return nil
	}
	f := Finding{Kind: Implausible, Value: l.Value, Other: z.Value}
	for _, k := range []float64{1e-3, 1e3, 1e-6, 1e6} {
		for _, added := range []bool{false, true} {
			// ω² L C = 1, with C anchored to the parts added
			l, c := l.Value/(k*k), c.Value
			if added {
				l, c = l*k, c*k
			}
			if f.Slip == nil && usual(l, c) {
				f.Slip = &Slip{Added: added, Factor: k, Inductance: l, Impedance: math.Sqrt(l / c)}
			}
		}
	}
	return []Finding{f}
}
