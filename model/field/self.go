package field

import (
	"math"
)

// SelfCapacitance returns the capacitance that the winding shows at its top by
// itself, without ball and core [F]: what is left over when large capacitors are
// added and the frequency is put down to the whole inductance,
//
//	C = 1/(ω²L) − C_added  for C_added → ∞.
//
// It fails when c is impossible: see Check.
func (c Coil) SelfCapacitance() (Value, error) {
	if err := c.Check(); err != nil {
		return Value{}, err
	}
	c.Ball, c.Beads, c.Metal, c.Primary = 0, Beads{}, Metal{}, Primary{}
	n := c.Slices
	if n == 0 {
		n = 80 // as Predict
	}
	k, err := c.circuit(n, false, math.Inf(1), normal())
	if err != nil {
		return Value{}, err
	}
	return Value{k.self(c.Diameter), c.windingUncertainty()}, nil
}

// self returns the self-capacitance of a winding of the diameter given [F].
func (k circuit) self(diameter float64) float64 {
	large := 1e5 * Eps0 * diameter
	var m Mode
	k.resonate(large, &m)
	return 1/(m.Omega*m.Omega*k.inductance()) - large
}
