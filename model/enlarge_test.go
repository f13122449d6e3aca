package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Readings of a counter, stated to 1e-6 of themselves and scattering by 1e-4, are
// enlarged a hundredfold; the model's own uncertainty for a partly covered winding is
// not. Sessions of coils as drawn, simulated with the coupled slices and fitted with the
// line, which is off by about its uncertainty there: the fit finds the coil.
func TestScatterEnlargesOnlyReadings(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	for name, d := range slim() {
		drawn := mustDraw(t, d)
		truth := drawn.Find(Inductance).Value
		s := asDrawn(t, drawn, 0.4e-12, 1, added(), added(2.2), added(4.7), added(10), added(22), added(4.7, 10), added(),
			added().rod(1), added(4.7).rod(1), added(10).rod(1), added().rod(0.4), added(4.7).rod(0.5), added().rod(0.7), added(10).rod(0.5))
		s.Ladder, s.Drawn = nil, nil
		for i := range s.Log.Readings {
			o := &s.Log.Readings[i]
			o.Frequency *= 1 + 1e-4*rng.NormFloat64()
			o.Uncertainty = 1e-6 * o.Frequency
		}
		r := mustFit(t, idealBench(s))
		if s := r.Quality.Scale; !(s > 50 && s < 350) {
			t.Errorf("%s: readings enlarged by %.3g, want about 140", name, s)
		}
		for i := range r.Readings {
			o := &r.Readings[i]
			if !o.partly() {
				continue
			}
			model := r.problem.modelUncertainty(r.fit.X, &o.State)
			if o.To == 0.5 { // read twice: what they have in common is an unknown
				model *= apart
			}
			if u := o.Weighed / o.Frequency; !(u > 0.99*model && u < 2.5*math.Hypot(model, 1.4e-4)) {
				t.Errorf("%s: partly covered, line %d: ± %.3g of itself, the model's ± %.3g", name, o.Line, u, model)
			}
		}
		if l := r.Find(Inductance, "", "", 0); !(math.Abs(l.Value-truth) < 4*math.Hypot(l.Uncertainty, 0.002*truth)) || !(l.Uncertainty < 0.01*truth) {
			t.Errorf("%s: inductance %g ± %g, want %g", name, l.Value, l.Uncertainty, truth)
		}
	}
}
