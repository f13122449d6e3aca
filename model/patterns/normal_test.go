package patterns

import (
	"math"
	"testing"
)

// The probability Φ(z), by the standard library, undoes the plot's last step.
func probability(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// all are the positions of n sorted values.
func all(n int) (list []NormalPosition) {
	for k := range n {
		list = append(list, NormalOrder(k+1, n))
	}
	return list
}

// The largest of n uniform numbers is below x with probability xⁿ, and the
// smallest mirrors it.
func TestNormalPlotOfTheExtremes(t *testing.T) {
	for _, n := range []int{1, 2, 8, 20, 100} {
		p := all(n)
		last, first := p[n-1], p[0]
		for _, c := range []struct{ got, want float64 }{
			{probability(last.Expected), math.Pow(0.5, 1/float64(n))},
			{probability(last.Low), math.Pow(0.025, 1/float64(n))},
			{probability(last.High), math.Pow(0.975, 1/float64(n))},
			{probability(first.Expected), 1 - math.Pow(0.5, 1/float64(n))},
			{probability(first.Low), 1 - math.Pow(0.975, 1/float64(n))},
			{probability(first.High), 1 - math.Pow(0.025, 1/float64(n))},
		} {
			if !(math.Abs(c.got-c.want) <= 1e-12) {
				t.Errorf("n = %d: probability %.15g, want %.15g", n, c.got, c.want)
			}
		}
	}
}

// The k-th smallest is below x when at least k of n are: a binomial sum, which
// owes nothing to the Beta distribution.
func TestNormalPlotByCounting(t *testing.T) {
	const n = 12
	for i, q := range all(n) {
		for _, c := range []struct{ z, want float64 }{{q.Low, 0.025}, {q.Expected, 0.5}, {q.High, 0.975}} {
			x, sum := probability(c.z), 0.0
			for k := i + 1; k <= n; k++ {
				sum += choose(n, k) * math.Pow(x, float64(k)) * math.Pow(1-x, float64(n-k))
			}
			if !(math.Abs(sum-c.want) <= 1e-11) {
				t.Errorf("value %d: probability %.12g, want %g", i+1, sum, c.want)
			}
		}
	}
}

func choose(n, k int) float64 {
	c := 1.0
	for i := range k {
		c = c * float64(n-i) / float64(i+1)
	}
	return c
}

// Filliben's approximation of the medians, as NIST/SEMATECH e-Handbook 1.3.3.21
// gives it: (k − 0.3175)/(n + 0.365) between the extremes.
func TestNormalPlotAgainstFilliben(t *testing.T) {
	for _, n := range []int{8, 20, 50} {
		p := all(n)
		for k := 2; k < n; k++ {
			want := (float64(k) - 0.3175) / (float64(n) + 0.365)
			if got := probability(p[k-1].Expected); !(math.Abs(got-want) <= 5e-4) {
				t.Errorf("n = %d, k = %d: median %.6f, want about %.6f", n, k, got, want)
			}
		}
	}
}
