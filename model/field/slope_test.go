package field

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// A long thin rod in a long coil: g = 1 + (μ − 1)(d/D)², so that p = μ (d/D)²/g; and the
// shift of the frequency that a change of μ makes is −p/2 of it, by the coil drawn twice.
func TestGainSlope(t *testing.T) {
	c := Coil{Turns: 1000, Diameter: 0.01, Length: 0.2, Beads: Beads{Diameter: 0.006, Length: 0.2, Count: 1, Permeability: 2}}
	p := must.Get(c.GainSlope()).In(t)
	near.Times(t, "long rod", p, 2*0.36/1.36, 0.04)

	c = lighthouse()
	p = must.Get(c.GainSlope()).In(t)
	before := predict(t, c).Core.Frequency.Value
	c.Beads.Permeability *= 1.1
	shift := math.Log(predict(t, c).Core.Frequency.Value / before)
	near.Times(t, "shift of the frequency", shift, -p/2*math.Log(1.1), 0.15) // p falls with μ
	if !(p > 0.005 && p < 0.3) {
		t.Errorf("beads: p = %g", p)
	}
	if _, err := (Coil{Turns: 10, Diameter: 0.02, Length: 0.1}).GainSlope(); err == nil {
		t.Error("a coil without a core has a slope")
	}
}
