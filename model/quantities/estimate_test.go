package quantities

import (
	"math"
	"testing"

	"fitcoil/internal/near"
)

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
	e := Estimate{Uncertainty: 3, Stated: 1.5, Budget: Budget{Readings: 0.3, Tolerance: 0.25, Common: 0.15, Known: 0.2, Earlier: 0.1, Assumed: 0.15, Bench: 0.05, Model: 0.1}}
	e.Widen(4) // 9 + 16 = 25, of which 0.36 is what was there
	got := [9]float64{e.Uncertainty, e.Stated, e.Budget.Readings, e.Budget.Tolerance, e.Budget.Common, e.Budget.Known, e.Budget.Earlier, e.Budget.Assumed, e.Budget.Bench}
	for i, want := range [9]float64{5, math.Sqrt(2.25 + 16), 0.108, 0.09, 0.054, 0.072, 0.036, 0.054, 0.018} {
		near.Times(t, "Widen", got[i], want, 1e-12)
	}
	near.Times(t, "share of the model", e.Budget.Model, 0.036+0.64, 1e-12)
	before := e
	if e.Widen(0); e != before {
		t.Errorf("nothing added makes %+v of %+v", e, before)
	}
}
