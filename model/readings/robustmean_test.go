package readings

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
)

// invented: n readings of one state, 1 MHz ± 300 Hz, some of different weight, every
// twentieth misread by up to 50 kHz to one side.
func misread(n int) []Reading {
	rng := rand.New(rand.NewPCG(31, 1))
	list := make([]Reading, n)
	for i := range list {
		u := 300.0
		if i%3 == 0 {
			u = 450
		}
		f := 1e6 + u*rng.NormFloat64()
		if i%20 == 7 {
			f += 50e3 * rng.Float64()
		}
		list[i] = Reading{State: Bare(), Line: i + 2, Frequency: f, Uncertainty: u, Use: true, Amplitude: math.NaN(), Quality: math.NaN()}
	}
	return list
}

func poolOf(robust bool, list []Reading) Reading {
	p := Pool{Robust: robust}
	for i, r := range list {
		p.Add(r, float64(i+1))
	}
	return p.Readings()[0]
}

// The robust mean is the minimum of Huber's loss, which the solver of package fit finds
// another way, with the uncertainty that it gives; the misread values, which draw the
// mean aside by 1 kHz, don't move it beyond what their number may: where a share ε pulls
// with k each to one side, the others give way by ε/(1−ε)·k/E ψ' = 0.086 of a reading's
// uncertainty, here 327 Hz on the average, and chance adds three times the robust mean's.
func TestRobustMean(t *testing.T) {
	list := misread(4000)
	got := poolOf(true, list)
	p := fit.Problem{Params: 1, Data: fit.Rows{N: len(list), Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			o := &list[first+i]
			r[i] = (o.Frequency - 1e6 - x[0]) / o.Uncertainty
			if jac != nil {
				jac[i] = -1 / o.Uncertainty
			}
		}
	}}}
	want, err := fit.Solve(p, []float64{0}, fit.Settings{Loss: fit.Huber(Huber)})
	if err != nil || !want.Status.Converged() {
		t.Fatal(err, want.Status)
	}
	variance, _ := want.Covariance().Variance([]float64{1})
	u := math.Sqrt(variance)
	if d := got.Frequency - 1e6 - want.X[0]; !(math.Abs(d) <= 0.3*u) { // a scale of 1.03 from the median deviation
		t.Errorf("robust mean off by %g of its uncertainty", d/u)
	}
	if ratio := got.Uncertainty / u; ratio < 0.97 || ratio > 1.1 {
		t.Errorf("its uncertainty is %g times that of the fit", ratio)
	}
	if bias := got.Frequency - 1e6; !(math.Abs(bias) <= 0.086*327+3*u) {
		t.Errorf("misread values move the robust mean by %g Hz", bias)
	}
	if bias := poolOf(false, list).Frequency - 1e6; bias < 1000 {
		t.Errorf("misread values move the mean by %g Hz only", bias)
	}
	if got.Repeats.Highest.Frequency < 1.04e6 || got.Repeats.Deviation > 600 {
		t.Errorf("readings %+v", got.Repeats)
	}
}

// Without misread values it is the mean, as well known but for a fortieth.
func TestRobustMeanOfGoodReadings(t *testing.T) {
	var list []Reading
	for i, r := range misread(4000) {
		if i%20 != 7 {
			list = append(list, r)
		}
	}
	robust, plain := poolOf(true, list), poolOf(false, list)
	if !(math.Abs(robust.Frequency-plain.Frequency) <= 0.5*plain.Uncertainty) {
		t.Errorf("robust mean %v, mean %v ± %v", robust.Frequency, plain.Frequency, plain.Uncertainty)
	}
	if ratio := robust.Uncertainty / plain.Uncertainty; ratio < 1 || ratio > 1.05 {
		t.Errorf("%v times as uncertain", ratio)
	}
	if few := poolOf(true, list[:5]); few.Frequency != poolOf(false, list[:5]).Frequency {
		t.Error("of five readings the mean counts")
	}
}

// A million readings of one state, a twentieth misread.
func BenchmarkRobustPoolMillion(b *testing.B) {
	list := misread(1_000_000)
	for b.Loop() {
		poolOf(true, list)
	}
}
