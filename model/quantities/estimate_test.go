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
		if e := (Estimate{Budget: c.b}); e.MostlyPrior() != c.want {
			t.Errorf("%+v: %v", c.b, !c.want)
		}
	}
}

// What is added to a variance is the model's share; the other shares become less alike.
func TestWiden(t *testing.T) {
	e := Estimate{Uncertainty: 3, Stated: 3, Budget: Budget{Readings: 0.5, Tolerance: 0.3, Assumed: 0.2}}
	e.Widen(4) // 9 + 16 = 25
	want := Budget{Readings: 0.18, Tolerance: 0.108, Assumed: 0.072, Model: 0.64}
	near := func(a, b float64) bool { return a-b < 1e-12 && b-a < 1e-12 }
	if b := e.Budget; !near(e.Uncertainty, 5) || !near(b.Readings, want.Readings) || !near(b.Tolerance, want.Tolerance) ||
		!near(b.Assumed, want.Assumed) || !near(b.Model, want.Model) {
		t.Errorf("± %v of %+v, want ± 5 of %+v", e.Uncertainty, b, want)
	}
}
