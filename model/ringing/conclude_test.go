package ringing

import (
	"math"
	"testing"

	"fitcoil/model/quantities"
)

// Birge's ratio by hand: 10 ± 1 and 14 ± 1 have the mean 12, χ² = 8 with one
// degree of freedom, so √8 × 1/√2 = 2.
func TestMean(t *testing.T) {
	e := func(v, u float64) quantities.Estimate {
		return quantities.Estimate{Value: v, Uncertainty: u, Determined: true}
	}
	m, scale := mean([]quantities.Estimate{e(10, 1), e(14, 1), undetermined("Hz")})
	near(t, "mean", m.Value, 12, 1e-12)
	near(t, "Birge ratio", scale, math.Sqrt(8), 1e-12)
	near(t, "uncertainty", m.Uncertainty, 2, 1e-12)
	m, scale = mean([]quantities.Estimate{e(10, 1), e(10.5, 2)})
	near(t, "mean", m.Value, 10.1, 1e-12)
	near(t, "Birge ratio", scale, 1, 0)
	near(t, "uncertainty", m.Uncertainty, math.Sqrt(0.8), 1e-12)
	near(t, "interval", m.Interval[1]-m.Value, 1.959964*math.Sqrt(0.8), 1e-5)
	if m, _ := mean([]quantities.Estimate{undetermined("1")}); m.Determined {
		t.Error("a mean of nothing is determined")
	}
}
