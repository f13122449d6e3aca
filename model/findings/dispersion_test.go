package findings

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/loss"
)

// dispersingCore is the fit of a session whose core is drawn of ferrite.
func dispersingCore(t testing.TB, permeability float64) *estimation.Result {
	t.Helper()
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(6, 2)), 2e-4, 0.02, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1))
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	coil := field.Coil{Turns: 300, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Slices: 8, Beads: field.Beads{Diameter: 0.012, Length: 0.1, Count: 1, Start: 0.01, Permeability: permeability}}
	r.Session.Drawn = &drawing.Drawn{Prediction: &field.Prediction{Core: &field.CorePrediction{}}, Drawing: drawing.Drawing{Coil: coil, Core: "rod"}}
	return r
}

// A ferrite's permeability, over the frequencies read with it, goes from least to most of what data
// sheets have there, and the gain with it; a core of another name doesn't count.
func TestDispersionOverTheFrequenciesRead(t *testing.T) {
	for _, mu := range []float64{60, 800} {
		r := dispersingCore(t, mu)
		coil, log := r.Session.Drawn.Drawing.Coil, r.Session.Log
		d, ok := Disperses(r)
		low, high := log.Readings[5].Frequency, log.Readings[3].Frequency
		least, most := loss.Range(mu, low, high)
		gain := func(factor float64) float64 {
			c := coil
			c.Beads.Permeability *= factor
			return must.Get(c.FullGain()).In(t)
		}
		want := gain(most)/gain(least) - 1
		if !ok || d.Core != "rod" || d.Low != low || d.High != high || !(math.Abs(d.Permeability*least/most-1) <= 1e-12) || !(math.Abs(d.Gain/want-1) <= 1e-9) || !(want > 0) {
			t.Errorf("%+v %v, want %v to %v Hz, permeability × %v, gain + %v", d, ok, low, high, most/least, want)
		}
		if f, found := checkDispersion(r); found != (want/2 > dispersing) || found && (f.Value != d.Gain || f.Other != d.Permeability || f.Name != "rod") {
			t.Errorf("%+v %v", f, found)
		}
	}
	for _, rows := range [][]int{{3, 4, 5}, {5, 4, 3}, {4, 5, 3}} { // whichever comes first
		r := dispersingCore(t, 800)
		r.Problem.Rows = rows
		if d, ok := Disperses(r); !ok || d.Low != r.Session.Log.Readings[5].Frequency || d.High != r.Session.Log.Readings[3].Frequency {
			t.Errorf("of readings %v: %+v, %v", rows, d, ok)
		}
	}
	r := dispersingCore(t, 800)
	r.Session.Drawn.Drawing.Core = ""
	if d, ok := Disperses(r); !ok || d.Core != "rod" {
		t.Errorf("of the only core there is: %+v, %v", d, ok)
	}
	r.Session.Drawn.Drawing.Core = "tube"
	if _, ok := Disperses(r); ok {
		t.Error("another core disperses")
	}
}
