package voltage

import (
	"math"
	"testing"

	"fitcoil/model/field"
)

// A voltage of straight pieces: between its points straight, outside the ends that of the ends; its
// mean is the area of trapezia.
func TestStraightPieces(t *testing.T) {
	p := field.Profile{Height: []float64{0.1, 0.2, 0.4, 0.5}, Voltage: []float64{0.05, 0.2, 0.3, 0.8}}
	if got := at(field.Profile{Height: []float64{0.1, 0.2}, Voltage: []float64{0.3, 0.5}}, 0.15); !(math.Abs(got-0.4) <= 1e-12) {
		t.Errorf("in the middle of one piece: %v", got)
	}
	for _, c := range [][2]float64{{0, 0.05}, {0.1, 0.05}, {0.15, 0.125}, {0.2, 0.2}, {0.3, 0.25}, {0.4, 0.3}, {0.45, 0.55}, {0.5, 0.8}, {0.6, 0.8}} {
		if got := at(p, c[0]); !(math.Abs(got-c[1]) <= 1e-12) {
			t.Errorf("at %v: %v, want %v", c[0], got, c[1])
		}
		if got := (&Stress{Profile: p}).At(c[0]); got != at(p, c[0]) {
			t.Errorf("at %v: %v", c[0], got)
		}
	}
	for _, c := range [][3]float64{{0.2, 0.4, 0.25}, {0.15, 0.3, (0.05*0.1625 + 0.1*0.225) / 0.15}, {0, 0.1, 0.05}, {0, 0.15, (0.1*0.05 + 0.05*0.0875) / 0.15}, {0.4, 0.7, (0.1*0.55 + 0.2*0.8) / 0.3}} {
		if got := mean(p, c[0], c[1]); !(math.Abs(got-c[2]) <= 1e-12) {
			t.Errorf("from %v to %v: mean %v, want %v", c[0], c[1], got, c[2])
		}
	}
}

// The steepest place: of a parabola V = z² it is an end, 2z there; of one that bends both ways it lies
// in the middle of the two points between which most voltage stands; of two pieces, the steeper.
func TestSteepestPlace(t *testing.T) {
	profile := func(v func(z float64) float64) (p field.Profile) {
		for i := range 11 {
			z := 0.1 * float64(i)
			p.Height, p.Voltage = append(p.Height, z), append(p.Voltage, v(z))
		}
		return p
	}
	for what, c := range map[string]struct {
		p         field.Profile
		g, height float64
	}{
		"steep at the top":    {profile(func(z float64) float64 { return z * z }), 2, 1},
		"steep at the foot":   {profile(func(z float64) float64 { return z * (2 - z) }), 2, 0},
		"a cube":              {profile(func(z float64) float64 { return z * z * z }), 3 - 0.01/4, 1}, // the differences are 3z² + h²/4
		"steep in the middle": {profile(func(z float64) float64 { return 0.5 + 0.5*math.Tanh(20*(z-0.45)) }), 10 * math.Tanh(1), 0.45},
		"falling":             {profile(func(z float64) float64 { return -z * z }), 2, 1},
		"three pieces":        {field.Profile{Height: []float64{0, 1, 2, 3}, Voltage: []float64{0, 1. / 9, 4. / 9, 1}}, 2. / 3, 3}, // (z/3)²
		"two alike":           {field.Profile{Height: []float64{0, 1, 2}, Voltage: []float64{0, 0.5, 1}}, 0.5, 0.5},
		"two pieces":          {field.Profile{Height: []float64{0, 1, 2}, Voltage: []float64{0, 0.3, 1}}, 0.7, 1.5},
	} {
		g, height := steepest(c.p)
		if !(math.Abs(g-c.g) <= 0.006) || !(math.Abs(height-c.height) <= 1e-9) {
			t.Errorf("%s: %v at %v, want %v at %v", what, g, height, c.g, c.height)
		}
	}
}

// Everything told of a winding with two beads and a straight voltage, by hand: 100 turns on 0.2 m;
// what stands between the beads, and between each and the winding.
func TestStressByHand(t *testing.T) {
	p := field.Profile{Base: 0.3}
	for i := range 11 {
		p.Height, p.Voltage = append(p.Height, 0.02*float64(i)), append(p.Voltage, 0.1*float64(i))
	}
	c := field.Coil{Turns: 100, Diameter: 0.03, Length: 0.2, Wire: 1e-3, Beads: field.Beads{Count: 2, Length: 0.08, Spacing: 0.02, Diameter: 0.009, Start: 0.01}}
	s := Of(c, p, true)
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-9*math.Max(1, math.Abs(want))) {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	near("gradient", s.Gradient, 5)
	near("of a turn", s.Turns, 0.01)
	near("current", s.Current, 0.3)
	near("density", s.Density, 0.3/(math.Pi/4*1e-6))
	near("first bead", s.Beads[0], 0.25) // from 0.01 to 0.09
	near("second bead", s.Beads[1], 0.75)
	turns, _ := s.Widest(BetweenTurns)
	near("between turns", turns.Share, 0.01)
	near("their distance", turns.Distance, 1e-3)
	beads, ok := s.Widest(BetweenBeads)
	if !ok || beads.Lower != 1 {
		t.Errorf("%+v", beads)
	}
	near("between beads", beads.Share, 0.5)
	near("where", beads.Height, 0.1)
	near("how far", beads.Distance, 0.02)
	core, ok := s.Widest(CoreToWinding)
	if !ok {
		t.Fatal("no gap between core and winding")
	}
	near("core to winding", core.Share, 0.2) // half a bead
	near("its distance", core.Distance, (0.03-1e-3-0.009)/2)
	if len(s.Gaps) != 3 || len(s.Beads) != 2 {
		t.Errorf("%d gaps, %d beads", len(s.Gaps), len(s.Beads))
	}
	if without := Of(c, p, false); len(without.Gaps) != 1 || without.Beads != nil {
		t.Errorf("without the core %+v", without)
	}
	c.Wire = 0
	if s := Of(c, p, false); s.Density != 0 || s.Current != 0.3 {
		t.Errorf("of an unknown wire %+v", s)
	}
}
