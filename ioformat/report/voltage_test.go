package report

import (
	"math"
	"testing"

	"fitcoil/model/field"
	"fitcoil/model/voltage"
)

// JSON has what stands in a coil for one kilovolt at the top, and cautions for the voltage
// asked for.
func TestVoltagesJSON(t *testing.T) {
	s := voltage.Stress{Profile: field.Profile{Height: []float64{0, 0.1}, Voltage: []float64{0, 1}, Current: []float64{1, 0.25}, Base: 5e-5}, Gradient: 5, GradientAt: 0.01, Turns: 0.002, Beads: []float64{0.1, 0.3}, Current: 5e-5, Density: 700,
		Gaps: []voltage.Gap{{Kind: voltage.BetweenTurns, Height: 0.01, Share: 0.002, Distance: 5e-5},
			{Kind: voltage.BetweenBeads, Lower: 1, Height: 0.03, Share: 0.2, Distance: 0.002},
			{Kind: voltage.CoreToWinding, Height: 0.02, Share: 0.05, Distance: 0.006}}}
	if voltagesJSON([]stressed{{name: "bare", Stress: &s}}, 0) != nil {
		t.Error("figures without a voltage at the top")
	}
	out := voltagesJSON([]stressed{{name: "bare", Stress: &s}}, 20e3)
	if len(out) != 1 {
		t.Fatalf("%d states", len(out))
	}
	j := out[0]
	for what, pair := range map[string][2]float64{"named": {j.Top, 20e3}, "gradient": {j.Gradient, 5e3}, "its height": {j.At, 0.01}, "turns": {j.Turns, 2},
		"current": {j.Current, 0.05}, "density": {*j.Density, 7e5}, "second bead": {j.Beads[1], 300}, "bead gap": {j.Gaps[1].Voltage, 200},
		"lower bead": {float64(j.Gaps[1].LowerBead), 1}, "distance": {j.Gaps[2].Distance, 0.006}, "height": {j.Gaps[2].Height, 0.02},
		"reach": {j.SparkFrom, voltage.Reach(20e3)}, "top": {j.Profile[1].Voltage, 1000}, "top's current": {j.Profile[1].Current, 0.0125}, "top's height": {j.Profile[1].Height, 0.1}} {
		if !(math.Abs(pair[0]-pair[1]) <= 1e-9*math.Abs(pair[1])) {
			t.Errorf("%s: %g, want %g", what, pair[0], pair[1])
		}
	}
	// 4 kV over 2 mm, where needles take 2.4, less a quarter; 40 V between turns, 1 kV over 6 mm.
	if len(j.MaySpark) != 1 || j.MaySpark[0] != "4.00 kV between beads 1 and 2: 2.0 mm of air has been seen to spark from 1.8 kV" {
		t.Errorf("cautions %q", j.MaySpark)
	}
}
