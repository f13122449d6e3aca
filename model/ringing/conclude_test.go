package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/internal/near"
	"fitcoil/model/quantities"
)

// Birge's ratio by hand: 10 ± 1 and 14 ± 1 have the mean 12, χ² = 8 with one
// degree of freedom, so √8 × 1/√2 = 2.
func TestMean(t *testing.T) {
	e := func(v, u float64) quantities.Estimate {
		return quantities.Estimate{Value: v, Uncertainty: u, Determined: true}
	}
	m, scale := mean([]quantities.Estimate{e(10, 1), e(14, 1), undetermined("Hz")})
	near.To(t, "mean", m.Value, 12, 1e-12)
	near.To(t, "Birge ratio", scale, math.Sqrt(8), 1e-12)
	near.To(t, "uncertainty", m.Uncertainty, 2, 1e-12)
	// A ratio above 1 counts (n − 1)/(1 − 1/ratio²)² degrees of freedom (docs/mathematics.md): 64/49.
	near.To(t, "beyond the interval", 2*distuv.StudentsT{Sigma: 1, Nu: 64. / 49}.Survival((m.Interval[1]-12)/2), 0.05, 1e-9)
	near.To(t, "middle of the interval", m.Interval[0]+m.Interval[1], 24, 1e-12)
	m, scale = mean([]quantities.Estimate{e(10, 1), e(10.5, 2)})
	near.To(t, "mean", m.Value, 10.1, 1e-12)
	near.To(t, "Birge ratio", scale, 1, 0)
	near.To(t, "uncertainty", m.Uncertainty, math.Sqrt(0.8), 1e-12)
	near.To(t, "interval", m.Interval[1]-m.Value, 1.959964*math.Sqrt(0.8), 1e-5)
	if m, _ := mean([]quantities.Estimate{undetermined("1")}); m.Determined {
		t.Error("a mean of nothing is determined")
	}
}

// A tone that is switched on within the record and stays is found, as it is when it is there
// from the beginning; what comes before it isn't fitted.
func TestSteadyFromTheMiddle(t *testing.T) {
	for _, before := range []int{0, 300, 1200} {
		rng := rand.New(rand.NewPCG(7, uint64(before)))
		c := invented{n: 4000, interval: 10e-9, tones: []sine{{0.5, 2.41e6, 0, 1}}, step: 0.01, sigma: 0.005, pretrig: before}
		r, err := Analyse(c.signal(rng), Settings{Columns: 1})
		if err != nil {
			t.Errorf("from sample %d on: %v", before, err)
			continue
		}
		e := r.Frequency
		if z := (e.Value - 2.41e6) / e.Uncertainty; r.Kind != Steady || !(math.Abs(z) < 4) || !(e.Uncertainty < 50) || len(r.Notes) != 1 {
			t.Errorf("from sample %d on: %v, %g ± %g Hz, notes %v", before, r.Kind, e.Value, e.Uncertainty, r.Notes)
		}
	}
}
