package ringing

import (
	"math"
	"strings"
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

// Every reason and note says something, and none shows what only a programmer
// reads.
func TestWords(t *testing.T) {
	texts := []string{}
	for r := TooFewSamples; r <= NoFit; r++ {
		texts = append(texts, (&Refusal{Reason: r, Got: 1.234567, Need: 3, Index: 4}).Error())
	}
	for _, why := range []Short{Dies, Slow, Over} {
		texts = append(texts, (&Refusal{Reason: TooFewCycles, Got: 1.234567, Need: 3, Short: why}).Error())
	}
	for k := Beating; k <= BurstsDisagree; k++ {
		texts = append(texts, Note{k, [4]float64{1.234567, 2}}.String())
	}
	for r := Strongest; r <= Other; r++ {
		texts = append(texts, r.String())
	}
	seen := map[string]bool{}
	for _, s := range texts {
		if s == "" || seen[s] || strings.Contains(s, "%!") || strings.Contains(s, "nil") {
			t.Errorf("text %q", s)
		}
		seen[s] = true
	}
}
