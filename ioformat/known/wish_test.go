package known

import (
	"testing"

	"fitcoil/ioformat/benchlog"
	"fitcoil/model"
)

// L and C are the pair that gives the bare frequency; the inductance in air keeps
// its own name.
func TestShortWishesAreAPair(t *testing.T) {
	log := model.Log{}
	for i, f := range []float64{2.5e6, 1.8e6, 1.3e6} {
		log.Readings = append(log.Readings, model.Reading{State: model.Bare(), Line: i + 2, Use: true, Frequency: f, Uncertainty: 100})
		log.Readings[i].Exact = []float64{0, 4.7e-12, 15e-12}[i]
	}
	r, err := model.Fit(model.Session{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{"L": model.EffectiveInductance, "C": model.EffectiveCapacitance, "inductance": model.Inductance} {
		if w, err := ParseWish(text, r, &benchlog.States{}); err != nil || w.Name != want {
			t.Errorf("%s: %+v, %v, want %s", text, w, err, want)
		}
	}
}
