package model

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Readings of a counter, stated to 1e-6 of themselves and scattering by 5e-5, which is
// still far finer than the model, are enlarged about a hundredfold; the model's own
// uncertainty for a partly covered winding is not. Sessions of coils as drawn, simulated with the coupled slices and fitted with the
// line, which is off by about its uncertainty there: the fit finds the coil.
func TestScatterEnlargesOnlyReadings(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	shapes := slim()
	for _, name := range slices.Sorted(maps.Keys(shapes)) { // each with the same noise in every run
		d := shapes[name]
		drawn := mustDraw(t, d)
		truth := drawn.Find(quantities.Inductance).Value
		s := asDrawn(t, drawn, 0.4e-12, 1, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 10), simulated.Added(),
			simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(0.4), simulated.Added(4.7).Rod(0.5), simulated.Added().Rod(0.7), simulated.Added(10).Rod(0.5))
		s.Ladder, s.Drawn = nil, nil
		for i := range s.Log.Readings {
			o := &s.Log.Readings[i]
			o.Frequency *= 1 + 5e-5*rng.NormFloat64()
			o.Uncertainty = 1e-6 * o.Frequency
		}
		r := mustFit(t, idealBench(s))
		if s := r.Quality.Scale; !(s > 50 && s < 350) {
			t.Errorf("%s: readings enlarged by %.3g, want about 100", name, s)
		}
		for i := range r.Readings {
			o := &r.Readings[i]
			if !o.Partly() {
				continue
			}
			model := r.Problem.ModelUncertainty(r.Solution.X, &o.State)
			if o.To == 0.5 { // read twice: what they have in common is an unknown
				model *= forward.Apart
			}
			if u := o.Weighed / o.Frequency; !(u > 0.99*model && u < 2.5*math.Hypot(model, 1.4e-4)) {
				t.Errorf("%s: partly covered, line %d: ± %.3g of itself, the model's ± %.3g", name, o.Line, u, model)
			}
		}
		if l := r.Find(quantities.Key{Name: quantities.Inductance}); !(math.Abs(l.Value-truth) < 4*math.Hypot(l.Uncertainty, 0.002*truth)) || !(l.Uncertainty < 0.01*truth) {
			t.Errorf("%s: inductance %g ± %g, want %g", name, l.Value, l.Uncertainty, truth)
		}
	}
}
