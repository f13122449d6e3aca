package known

import (
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// L and C are the pair that gives the bare frequency; the inductance in air keeps
// its own name.
func TestShortWishesAreAPair(t *testing.T) {
	log := readings.Log{}
	for i, f := range []float64{2.5e6, 1.8e6, 1.3e6} {
		log.Readings = append(log.Readings, readings.Reading{State: readings.Bare(), Line: i + 2, Use: true, Frequency: f, Uncertainty: 100})
		log.Readings[i].Exact = []float64{0, 4.7e-12, 15e-12}[i]
	}
	r := must.Get(model.Fit(estimation.Session{Log: log})).In(t)
	for text, want := range map[string]string{"L": quantities.EffectiveInductance, "C": quantities.EffectiveCapacitance, "inductance": quantities.Inductance} {
		if w, err := ParseMeasurand(text, r, &benchlog.States{}); err != nil || w.Name != want {
			t.Errorf("%s: %+v, %v, want %s", text, w, err, want)
		}
	}
}
