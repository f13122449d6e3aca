package quantities

import "testing"

// Held by prior is what less than half of the variance of comes from the readings and the
// model, whichever of tolerances, known values and priors have the rest.
func TestHeldByPrior(t *testing.T) {
	for _, c := range []struct {
		b    Budget
		want bool
	}{
		{Budget{Readings: 0.4, Assumed: 0.6}, true},
		{Budget{Readings: 0.4, Known: 0.6}, true},
		{Budget{Readings: 0.4, Tolerance: 0.6, Common: 0.2}, true},
		{Budget{Readings: 0.3, Tolerance: 0.2, Known: 0.2, Assumed: 0.2, Model: 0.1}, true},
		{Budget{Readings: 0.55, Assumed: 0.45}, false},
		{Budget{Readings: 0.3, Model: 0.3, Known: 0.4}, false},
		{Budget{Readings: 0.6, Tolerance: 0.4, Common: 0.4}, false},
	} {
		if e := (Estimate{Budget: c.b}); e.HeldByPrior() != c.want {
			t.Errorf("%+v: %v", c.b, !c.want)
		}
	}
}
