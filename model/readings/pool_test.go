package readings

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/quantities"
)

// Readings that all show the same digits are no better known for being many
// (JCGM 100:2008, F.2.2.1); stated uncertainties average.
func TestPoolDigits(t *testing.T) {
	list := repeated(10000, func(int) float64 { return 0 })
	if got := pooled(list)[0]; !(math.Abs(got.Uncertainty-0.5) <= 1e-12) || got.FromDigits {
		t.Errorf("10,000 readings ± 50 Hz: ± %g Hz, want 0.5", got.Uncertainty)
	}
	for i := range list {
		list[i].FromDigits = true
	}
	if got := pooled(list)[0]; !(math.Abs(got.Uncertainty-50) <= 1e-12) || !got.FromDigits {
		t.Errorf("10,000 readings with the same last digit: ± %g Hz, want 50", got.Uncertainty)
	}
}

// Where readings drift, the mean is no better known than a stretch of them: the
// true value at any time lies within some such uncertainties of it.
func TestPoolDrift(t *testing.T) {
	const n = 1 << 14
	got := pooled(repeated(n, func(i int) float64 { return 20 * float64(i) / n }))[0]
	if end := 50 * 10.0; !got.Repeats.Wanders || got.Uncertainty < end/2 || got.Uncertainty > end {
		t.Errorf("a drift by ±%g Hz about the mean: ± %.3g Hz, wanders: %v", end, got.Uncertainty, got.Repeats.Wanders)
	}
}

// Whatever a log may state, a mean is a number.
func TestPoolOfExtremes(t *testing.T) {
	for _, u := range []float64{1e-300, 1e-10, 1e5, 1e300} {
		list := repeated(100, func(i int) float64 { return float64(i % 7) })
		list[3].Uncertainty = u
		list[5].Frequency *= 1e6
		r := pooled(list)[0]
		if !quantities.Finite(r.Frequency, r.Uncertainty, r.Repeats.Deviation, r.Repeats.Slow) || !(r.Frequency > 0 && r.Uncertainty > 0) {
			t.Errorf("with one reading ± %g Hz: %g ± %g Hz, %+v", u, r.Frequency, r.Uncertainty, r.Repeats)
		}
	}
}

// States are told apart by everything in them, and by whether they are used; the
// order of parts is nothing.
func TestPoolStates(t *testing.T) {
	at := func(change func(*Reading)) Reading {
		r := repeated(1, func(int) float64 { return 0 })[0]
		change(&r)
		return r
	}
	list := []Reading{
		at(func(r *Reading) { r.Parts = []int{0, 1} }),
		at(func(r *Reading) { r.Parts = []int{1, 0} }),
		at(func(r *Reading) { r.Parts = []int{0, 0} }),
		at(func(r *Reading) { r.Exact = 1e-12 }),
		at(func(r *Reading) { r.Core, r.To = "rod", 1 }),
		at(func(r *Reading) { r.Core, r.To = "rod", 0.5 }),
		at(func(r *Reading) { r.Hand = 0.2 }),
		at(func(r *Reading) { r.Use = false }),
		at(func(r *Reading) { r.Amplitude = 2 }),
		at(func(r *Reading) { r.Amplitude = 4 }),
	}
	got := pooled(list)
	if len(got) != 8 || got[0].Count() != 2 || got[7].Amplitude != 3 {
		t.Errorf("%d states, want 8; the first holds %d, want 2; amplitude of the last %g, want 3", len(got), got[0].Count(), got[7].Amplitude)
	}
	if n := (&Log{Readings: got}).Count(); n != len(list) {
		t.Errorf("%d readings in all, want %d", n, len(list))
	}
}

// The variance of the mean of a first-order autoregressive process is that of
// independent readings times (1+φ)/(1−φ) for many readings (G. E. P. Box and G. M.
// Jenkins, Time Series Analysis, from memory). The mean of a process with a
// random walk in it never settles.
func TestPoolTellsSlowScatter(t *testing.T) {
	for _, c := range []struct {
		name    string
		phi     float64
		slow    float64
		wanders bool
	}{
		{"white", 0, 1, false},
		{"autoregressive", 0.9, math.Sqrt(1.9 / 0.1), false},
		{"random walk", 1, 0, true},
	} {
		rng := rand.New(rand.NewPCG(7, 1))
		sum, wander, rounds := 0.0, 0, 5
		for range rounds {
			v := 0.0
			list := repeated(1<<15, func(int) float64 {
				v = c.phi*v + math.Sqrt(math.Max(1-c.phi*c.phi, 1e-3))*rng.NormFloat64()
				return v
			})
			got := pooled(list)
			if len(got) != 1 || got[0].Repeats.Count != len(list) || got[0].Repeats.Last != len(list)+1 {
				t.Fatalf("%s: %d states, %+v", c.name, len(got), got[0].Repeats)
			}
			m := got[0].Repeats
			sum += m.Slow / float64(rounds)
			if m.Wanders {
				wander++
			}
			if c.phi < 1 && !(math.Abs(m.Deviation/50-1) <= 0.1) {
				t.Errorf("%s: standard deviation %.1f Hz, want 50", c.name, m.Deviation)
			}
			if want := 50 * m.Slow / math.Sqrt(float64(len(list))); c.phi < 1 && !(math.Abs(got[0].Uncertainty/want-1) <= 0.1) {
				t.Errorf("%s: the mean is uncertain by %.3g Hz, want %.3g", c.name, got[0].Uncertainty, want)
			}
		}
		if wander != map[bool]int{true: rounds}[c.wanders] {
			t.Errorf("%s: %d of %d means found to wander", c.name, wander, rounds)
		}
		if !c.wanders && !(math.Abs(sum/c.slow-1) <= 0.1) {
			t.Errorf("%s: uncertainty of the mean × %.3f, want × %.3f", c.name, sum, c.slow)
		}
	}
}

// A mean weighs readings by their uncertainty: 1500000 ± 10 and 1500100 ± 20 Hz
// make 1500020 ± 8.94 Hz (1/u² = 1/100 + 1/400), if they scatter no more than that.
func TestPoolWeighs(t *testing.T) {
	list := repeated(2, func(i int) float64 { return 0.2 * float64(i) })
	list[0].Uncertainty, list[1].Uncertainty = 10, 20
	got := pooled(list)[0]
	if !(math.Abs(got.Frequency-1500002) <= 1e-9) || !(math.Abs(got.Uncertainty-math.Sqrt(80)) <= 1e-9) {
		t.Errorf("mean %.6f ± %.6f Hz, want 1500002 ± 8.944272", got.Frequency, got.Uncertainty)
	}
}

func pooled(list []Reading) []Reading {
	var p Pool
	for i, r := range list {
		p.Add(r, float64(i+1))
	}
	return p.Readings()
}

// repeated returns n readings of the bare coil, with errors in standard
// uncertainties of 50 Hz. Invented.
func repeated(n int, err func(i int) float64) []Reading {
	out := make([]Reading, n)
	for i := range out {
		out[i] = Reading{State: Bare(), Line: i + 2, Frequency: 1.5e6 + 50*err(i), Uncertainty: 50, Use: true,
			Amplitude: math.NaN(), Quality: math.NaN()}
	}
	return out
}
