package decisions

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

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
	c := newRandomEffects(means, slices.Repeat([]float64{math.Sqrt(within / 5)}, 10), make([][]float64, 10))
	near.To(t, "mean", c.mean, 97, 0.5)
	near.To(t, "s_B", c.between, 43, 0.5)
	near.To(t, "u", c.uncertainty, 18, 0.5)
	// F = s_a²/s_b² = 2.25 with 9 and 40 degrees of freedom (H.5.2.3): Q = 9 F.
	near.To(t, "F", c.q/9, 2.25, 0.02)
}

// Values that agree have no variance between them, and count by their own uncertainties.
func TestConsensusOfValuesThatAgree(t *testing.T) {
	c := newRandomEffects([]float64{10, 10.5, 9.8}, []float64{1, 0.5, 2}, make([][]float64, 3))
	near.To(t, "between", c.between, 0, 0)
	near.To(t, "mean", c.mean, (10+10.5*4+9.8/4)/(1+4+0.25), 1e-12)
	near.To(t, "u", c.uncertainty, 1/math.Sqrt(5.25), 1e-12)
	near.To(t, "weights", c.weights[0]+c.weights[1]+c.weights[2], 1, 1e-12)
}

// The probability of values as far apart: of two, that of a normal difference; of three, with two degrees of freedom,
// exp(−Q/2); of one there is none.
func TestChanceOfAConsensus(t *testing.T) {
	c := newRandomEffects([]float64{10, 11}, []float64{0.3, 0.4}, make([][]float64, 2))
	near.To(t, "of two", c.pValue, math.Erfc(1/0.5/math.Sqrt2), 1e-12)
	c = newRandomEffects([]float64{10, 10.5, 9.8}, []float64{1, 0.5, 2}, make([][]float64, 3))
	mean, q := (10+10.5*4+9.8/4)/5.25, 0.0
	for i, v := range []float64{10, 10.5, 9.8} {
		q += math.Pow((v-mean)/[]float64{1, 0.5, 2}[i], 2)
	}
	near.To(t, "Q", c.q, q, 1e-12)
	near.To(t, "of three", c.pValue, math.Exp(-q/2), 1e-12)
	if c = newRandomEffects([]float64{3}, []float64{0.2}, [][]float64{{0.1}}); !math.IsNaN(c.pValue) || c.between != 0 || c.mean != 3 {
		t.Errorf("of one: %+v", c)
	}
}

// Errors that shift all values alike change neither the variance between values nor the weights,
// and come on top of the mean's uncertainty.
func TestErrorsThatAllValuesHaveAlike(t *testing.T) {
	values, own := []float64{10, 13.5, 9.1}, []float64{1, 0.5, 2}
	alone := newRandomEffects(values, own, make([][]float64, 3))
	alike := newRandomEffects(values, own, slices.Repeat([][]float64{{30, -40}}, 3))
	if !(alone.between > 1) {
		t.Errorf("between %v", alone.between)
	}
	near.To(t, "Q", alike.q, alone.q, 1e-9)
	near.To(t, "between", alike.between, alone.between, 1e-9)
	near.To(t, "mean", alike.mean, alone.mean, 1e-9)
	near.To(t, "u", alike.uncertainty, math.Hypot(alone.uncertainty, 50), 1e-9)
	for i, w := range alone.weights {
		near.To(t, "weight", alike.weights[i], w, 1e-9)
		near.To(t, "deviation", alike.deviations[i], alone.deviations[i], 1e-9)
	}
}

// Two measurements of one value, 1.5 and 1.0, each to 10 % by itself and 20 % in common (R. W.
// Peelle's puzzle; from memory, as S. Chiba and D. L. Smith tell it, ANL/NDM-121, 1991). Least
// squares give 0.88 ± 0.22, below both; without weights below 0 the second one stands, with its
// own 0.1 and 0.2. What they differ by is tested with the common error's 0.1 in it.
func TestPeelle(t *testing.T) {
	c := newRandomEffects([]float64{1.5, 1}, []float64{0.15, 0.1}, [][]float64{{0.3}, {0.2}})
	near.To(t, "Q", c.q, 0.25/(0.15*0.15+0.1*0.1+0.1*0.1), 1e-12)
	if !(c.mean >= 1 && c.mean <= 1.5) {
		t.Errorf("mean %v", c.mean)
	}
	c = newRandomEffects([]float64{1.2, 1}, []float64{0.15, 0.1}, [][]float64{{0.3}, {0.2}}) // agree: nothing between them
	near.To(t, "between", c.between, 0, 0)
	near.To(t, "weight of the first", c.weights[0], 0, 0)
	near.To(t, "mean", c.mean, 1, 0)
	near.To(t, "u", c.uncertainty, math.Sqrt(0.05), 1e-12)
	near.To(t, "u of the first one's deviation", c.deviations[0], math.Sqrt(0.15*0.15+0.1*0.1+0.1*0.1), 1e-12)
	near.To(t, "u of the second one's", c.deviations[1], 0, 0)
}

// Of four values with common errors none that counts may gain by counting more or less.
func TestWeightsOfLeastVariance(t *testing.T) {
	values, own := []float64{3, 1, 2, 2.5}, []float64{1, 2, 0.7, 0.4}
	shared := [][]float64{{2, 0, 1}, {0.5, 1, 0}, {1, 1, 1}, {3, -1, 2}}
	c := newRandomEffects(values, own, shared)
	variance := func(w []float64) (sum float64) {
		for i := range w {
			for j := range w {
				v := floats.Dot(shared[i], shared[j])
				if i == j {
					v += own[i]*own[i] + c.between*c.between
				}
				sum += w[i] * w[j] * v
			}
		}
		return sum
	}
	least := variance(c.weights)
	near.To(t, "sum", floats.Sum(c.weights), 1, 1e-12)
	near.To(t, "u", c.uncertainty, math.Sqrt(least), 1e-12)
	moves := 0
	for i := range values {
		for j := range values {
			w := slices.Clone(c.weights)
			w[i], w[j] = w[i]+1e-3, w[j]-1e-3
			if i == j || w[j] < 0 {
				continue
			}
			if moves++; !(variance(w) > least) {
				t.Errorf("weights %v, better %v", c.weights, w)
			}
		}
	}
	if moves < 6 {
		t.Errorf("only %d moves from %v", moves, c.weights)
	}
}
