package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Readings of a counter, stated to 1e-6 of themselves and scattering by 1e-4, are
// enlarged a hundredfold; the model's own uncertainty for a partly covered winding is
// not. With errors of its size there, nothing is suspect, and the fit finds the coil.
func TestScatterEnlargesOnlyReadings(t *testing.T) {
	c := lighthouse()
	rng := rand.New(rand.NewPCG(8, 8))
	steps := append(fullSession(), added().rod(0.3), added(4.7).rod(0.5), added().rod(0.7), added(10).rod(0.5))
	for range 20 {
		log := c.session(rng, 1e-4, 0.001, steps...)
		partly := 0
		for i := range log.Readings {
			r := &log.Readings[i]
			r.Uncertainty = 1e-6 * r.Frequency
			if r.Core != "" && r.To-r.From < 1 {
				partly++
				r.Frequency *= 1 + 0.002*rng.NormFloat64()
			}
		}
		r := mustFit(t, Session{Log: log})
		if s := r.Quality.Scale; !(s > 40 && s < 250) {
			t.Errorf("readings enlarged by %.3g, want about 100", s)
		}
		seen := 0
		for i := range r.Readings {
			o := &r.Readings[i]
			if o.Core == "" || o.To-o.From == 1 {
				continue
			}
			seen++
			if u := o.Weighed / o.Frequency; !(u > 0.0019 && u < 0.01) {
				t.Errorf("partly covered, line %d: ± %.3g of itself, want about 0.002 to 0.004", o.Line, u)
			}
		}
		if seen != partly || partly < 4 {
			t.Fatalf("%d readings partly covered, want %d", seen, partly)
		}
		if l := r.Find(Inductance, "", "", 0); !(math.Abs(l.Value-c.l) < 4*l.Uncertainty) || !(l.Uncertainty < 0.01*c.l) {
			t.Errorf("inductance %g ± %g, want %g", l.Value, l.Uncertainty, c.l)
		}
	}
}
