package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Both peaks of a split pair with a core in, and no reading of it with the primary open: they
// tell no coupling, since nothing tells the coil's own frequency there.
func TestPeaksAloneTellNoCoupling(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(3, 5)), 3e-4, 0, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(),
		simulated.Added().Rod(1), simulated.Added().Rod(1))
	for i := range 2 {
		o := &log.Readings[4+i]
		o.Frequency *= []float64{0.97, 1.04}[i]
		o.Primary = readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 4.7e-9, Upper: i == 1}
	}
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	for _, name := range []string{quantities.CouplingAtResonance, quantities.CouplingOfWindings} {
		if e := r.Find(quantities.Key{Name: name, Core: "rod"}); e == nil || e.Determined {
			t.Errorf("%s: %+v", name, e)
		}
	}
}

// beadedSession is a session of a drawn coil with beads of a permeability, which cover the
// winding from its grounded end.
func beadedSession(t *testing.T, permeability float64) (*Result, *drawing.Drawn) {
	t.Helper()
	d := drawing.Drawing{Core: "rod", Coil: field.Coil{Turns: 560, Diameter: 24e-3, Length: 220e-3, Wire: 0.3e-3, Ball: 16e-3, Slices: 24,
		Beads: field.Beads{Diameter: 12e-3, Length: 16e-3, Spacing: 6e-3, Count: 10, Start: 3e-3, Permeability: permeability}}}
	drawn := mustDraw(t, d)
	s := asDrawn(t, drawn, 0.5e-12, 1, simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added().Rod(1),
		simulated.Added(4.7).Rod(1), simulated.Added(22).Rod(1), simulated.Added())
	r := must.Get(Fit(s)).In(t)
	return r, drawn
}

// A core of manganese-zinc ferrite that is read from below a megahertz into its dispersion is
// told of; one of nickel-zinc ferrite never is.
func TestDispersionIsTold(t *testing.T) {
	for permeability, want := range map[float64]bool{60: false, 120: false, 300: false, 3000: true, 5000: true} {
		r, _ := beadedSession(t, permeability)
		told := false
		for _, f := range r.Findings {
			told = told || f.Kind == findings.CoreDisperses
		}
		if told != want {
			t.Errorf("μi %g: told %v", permeability, told)
		}
	}
}

// The voltages of a prediction are those of the fitted mode: beads slid in halfway stand in
// the lower half, or below the winding, and carry what it has there.
func TestStressOfPrediction(t *testing.T) {
	r, drawn := beadedSession(t, 120)
	full, half := readings.Bare(), readings.Bare()
	full.Core, full.To = "rod", 1
	half.Core, half.To = "rod", 0.5
	f, h := decisions.Predict(r.Result, full, nil).Stress, decisions.Predict(r.Result, half, nil).Stress
	if f == nil || h == nil || len(f.Beads) != 10 || len(h.Beads) != 10 {
		t.Fatalf("%+v, %+v", f, h)
	}
	if f.Beads[9] < 0.95 || h.Beads[0] != 0 || h.Beads[9] < 0.3 || h.Beads[9] > 0.7 {
		t.Errorf("beads at %.3f all in, %.3f halfway", f.Beads, h.Beads)
	}
	bare := decisions.Predict(r.Result, readings.Bare(), nil).Stress
	// Against the drawing's own mode, which has 0.5 pF less at its top.
	n := len(drawn.Bare.Voltage) - 1
	steep := 0.0
	for k := range n {
		steep = math.Max(steep, (drawn.Bare.Voltage[k+1]-drawn.Bare.Voltage[k])/drawn.Drawing.Coil.Length*float64(n))
	}
	if bare == nil || len(bare.Beads) != 0 || !(math.Abs(bare.Gradient/steep-1) <= 0.1) || !(bare.Current > 0) {
		t.Errorf("bare %+v, steepest as drawn %g", bare, steep)
	}
}
