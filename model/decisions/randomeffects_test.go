package decisions

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/near"
)

// JCGM 100:2008, H.5 (values from memory): a voltage standard read five times on each of ten
// days. Daily means in µV above 10 V and experimental standard deviations in µV; results:
// 10.000 097 V, s_W = 85 µV within days, s_B = 43 µV between them, u = 18 µV.
func TestVoltageStandardOfGumH5(t *testing.T) {
	means := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	deviations := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	within := 0.0
	for _, s := range deviations {
		within += s * s / 10
	}
	near.To(t, "s_W", math.Sqrt(within), 85, 0.5)
	c := newRandomEffects(means, slices.Repeat([]float64{math.Sqrt(within / 5)}, 10))
	near.To(t, "mean", c.mean, 97, 0.5)
	near.To(t, "s_B", c.between, 43, 0.5)
	near.To(t, "u", c.uncertainty, 18, 0.5)
	// F = s_a²/s_b² = 2.25 with 9 and 40 degrees of freedom (H.5.2.3): Q = 9 F.
	near.To(t, "F", c.q/9, 2.25, 0.02)
}

// Values that agree have no variance between them, and count by their own uncertainties.
func TestConsensusOfValuesThatAgree(t *testing.T) {
	c := newRandomEffects([]float64{10, 10.5, 9.8}, []float64{1, 0.5, 2})
	near.To(t, "between", c.between, 0, 0)
	near.To(t, "mean", c.mean, (10+10.5*4+9.8/4)/(1+4+0.25), 1e-12)
	near.To(t, "u", c.uncertainty, 1/math.Sqrt(5.25), 1e-12)
	near.To(t, "weights", c.weights[0]+c.weights[1]+c.weights[2], 1, 1e-12)
}
