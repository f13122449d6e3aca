package forward

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/field"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// With the winding's shape known the resonator sees ends and gaps itself: a core has no unknown of
// its ends, its gain counts as it is, what it polarises as drawn is told beside what the unknown
// adds; a frequency is uncertain by 0.03 % with the core drawn and 1 % with another partly in, and
// by where its end stands, half a gap of beads either way besides.
func TestModelOfALadder(t *testing.T) {
	coil := field.Coil{Turns: 400, Diameter: 30e-3, Length: 280e-3, Wire: 0.3e-3, Ball: 18e-3, Height: 50e-3,
		Beads: field.Beads{Count: 10, Length: 24e-3, Diameter: 10e-3, Spacing: 4e-3, Permeability: 120}}
	ladder := must.Get(field.NewLadder(coil.Shape())).In(t)
	log := everything()
	log.Readings = log.Readings[7:12] // those with a core
	f := New(log, resonator.NewLadder(ladder, &resonator.DrawnCore{Name: "rod", Length: 276e-3, Gap: 4.0 / 280}), false, nil, Earlier{}, nil)
	x := make([]float64, f.N)
	x[AtL], x[AtC], x[f.Share] = math.Log(1.3e-3), math.Log(6e-12), 0.1
	for _, c := range f.Cores {
		if x[c.At], x[c.At+1] = math.Log(1.6), 0.05; c.Ends != -1 {
			t.Errorf("ends at %d", c.Ends)
		}
	}
	if f.Line || f.DrawnPrimary() {
		t.Error("a ladder is a line, or knows a primary")
	}
	for i := range log.Readings {
		s := &log.Readings[i].State
		gap, model := 0.0, 0.01
		if s.Core == "rod" {
			gap, model = 4.0/280/2/math.Sqrt(3), 0.0003
		}
		if got, want := f.EndRead(s), math.Hypot(0.0029, gap); !(math.Abs(got/want-1) <= 1e-12) {
			t.Errorf("end of %s: %v, want %v", s.Core, got, want)
		}
		got := f.ModelUncertainty(x, s)
		if want := math.Hypot(model, f.CoverSlope(x, s)*math.Hypot(0.0029, gap)); s.Partly() && !(math.Abs(got/want-1) <= 1e-12) || !s.Partly() && got != 0 {
			t.Errorf("%s from %v to %v: %v, want %v", s.Core, s.From, s.To, got, want)
		}
		gain, per, ends := f.apparent(x, f.Core(s.Core), s)
		if !(math.Abs(gain-1.6) <= 1e-12) || !(math.Abs(per-1.6) <= 1e-12) || ends != 0 {
			t.Errorf("gain %v, %v, %v", gain, per, ends)
		}
		grad := make([]float64, f.N)
		f.Ideal(x, s, grad)
		for j := range x {
			const h = 1e-4
			up, down := append([]float64(nil), x...), append([]float64(nil), x...)
			up[j] += h
			down[j] -= h
			if want := math.Log(f.Ideal(up, s, nil)/f.Ideal(down, s, nil)) / 2 / h; !(math.Abs(grad[j]-want) <= 1e-5*math.Abs(want)+1e-8) {
				t.Errorf("%s from %v to %v, unknown %d: %v, want %v", s.Core, s.From, s.To, j, grad[j], want)
			}
		}
	}
	lower, upper := f.Bounds()
	for j := range x {
		want := [2]float64{-30, 30}
		switch j {
		case AtL:
			want = [2]float64{math.Log(1e-16), math.Log(1e10)}
		case AtC:
			want = [2]float64{math.Log(1e-16), math.Log(1e-3)}
		case f.Share:
			want = [2]float64{0, 1}
		case f.Lead:
			want = [2]float64{-1e4, 1e4}
		case f.Drift:
			want = [2]float64{-1e3, 1e3}
		}
		for _, c := range f.Cores {
			switch j {
			case c.At:
				want = [2]float64{math.Log(1e-2), math.Log(1e5)}
			case c.At + 1:
				want = [2]float64{math.Log(1e-2), math.Log(1e2)}
			}
		}
		if got := [2]float64{lower[j], upper[j]}; got != want {
			t.Errorf("unknown %d is from %v, want %v", j, got, want)
		}
	}
	parameters, _ := Quantities(f)
	for _, q := range parameters {
		if want := 0.9*6e-12*math.Expm1(0.05) + ladder.CoreCapacitance(); q.Name == "core_capacitance" {
			if got := q.Value(f, x, make([]float64, f.N)); !(math.Abs(got/want-1) <= 1e-12) || !(ladder.CoreCapacitance() > 0) {
				t.Errorf("core adds %v, want %v", got, want)
			}
		}
		if q.Name == "winding_capacitance" && q.Core != "" {
			t.Error("a core has a winding")
		}
	}
}

// A weakening core can't take more than all: of a gain below one, whose share of the effect would
// leave less than half of the gain, all counts.
func TestWeakeningCore(t *testing.T) {
	f, x := modelOf(false)
	c := f.Core("bead")
	all := 0
	for _, s := range []readings.State{{Core: "bead", From: 0.3, To: 0.5}, {Core: "bead", From: 0.1, To: 0.9}, {Core: "bead", From: 0.2, To: 0.95}} {
		k, perE := resonator.Covered(s.From, s.To, x[c.Ends])
		for _, g := range []float64{0.9, 0.2, 0.05, 0.01} {
			x[c.At] = math.Log(g)
			want, per, ends := 1+(g-1)*k, g*k, (g-1)*perE
			if want < g/2 {
				want, per, ends = g, g, 0
				all++
			}
			if gain, perGain, perEnds := f.apparent(x, c, &s); !(math.Abs(gain/want-1) <= 1e-12) || !(math.Abs(perGain/per-1) <= 1e-12) || !(math.Abs(perEnds-ends) <= 1e-12) {
				t.Errorf("gain %v appears as %v, %v, %v, want %v, %v, %v (share %v)", g, gain, perGain, perEnds, want, per, ends, k)
			}
		}
	}
	if all == 0 {
		t.Error("no core weakens so much")
	}
}
