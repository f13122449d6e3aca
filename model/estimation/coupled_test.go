package estimation

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A shorted primary raises the square of a frequency to 1/(1 − k²) of it (two coupled circuits, a
// textbook matter). Readings are linear in k², so that its interval is even:
// of k² = 1 − (f/f′)², u = 2 (f/f′)² · √2 u(f)/f, of means of six readings √6 less.
func TestIntervalOfACouplingIsEvenInItsSquare(t *testing.T) {
	for _, c := range []struct{ k, u float64 }{{0.2, 1e-3}, {0.05, 2e-4}} {
		_, _, hz := simulated.Lighthouse().Bare()
		var log readings.Log
		for i := range 12 {
			s := readings.Bare()
			f := hz
			if i%2 == 1 {
				s.Primary.Kind = readings.PrimaryShorted
				f /= math.Sqrt(1 - c.k*c.k)
			}
			log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Use: true, Frequency: f, Uncertainty: c.u * f, Amplitude: math.NaN(), Quality: math.NaN()})
		}
		r := must.Get(Fit(Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}}}})).In(t)
		e := r.Find(quantities.Key{Name: quantities.CouplingAtResonance})
		square := c.k * c.k
		u := 2 * (1 - square) * c.u * math.Sqrt(2./6)
		k := e.Coverage
		low, high := math.Sqrt(math.Max(0, square-k*u)), math.Sqrt(square+k*u)
		if !e.Determined || !(math.Abs(e.Value/c.k-1) <= 1e-3) || !(math.Abs(e.Interval[0]-low) <= 0.003*c.k) || !(math.Abs(e.Interval[1]/high-1) <= 0.003) {
			t.Errorf("%+v, want %v, %v to %v", *e, c.k, low, high)
		}
	}
}
