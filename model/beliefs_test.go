package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// What no reading tells of stays as believed, neither narrower nor wider than
// docs/mathematics.md says: the share of the top's capacitance from one known
// capacitor, a core's capacitance from one frequency with it, the law of a hand
// from one distance.
func TestBeliefsStayWhereNothingIsRead(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(61, 1)), 1e-5, 0, simulated.Added(), simulated.Added(4.7), simulated.Added().Rod(1), simulated.Added().Near(0.1))})
	p := r.Problem
	for _, k := range []struct {
		what        string
		at          int
		mean, sigma float64
	}{
		{"share at the top", p.Share, 0.3, 0.3},
		{"ln of the core's factor on the capacitance", p.Cores[0].At + 1, 0, 0.1},
		{"how far ends reach, of what is believed", p.Cores[0].Ends, 0, 1},
		{"what a core moves, of what is believed", p.Cores[0].Ends + 1, 0, 1},
		{"ln of the hand's offset", p.Hand + 1, math.Log(0.07), 1},
		{"exponent of the hand", p.Hand + 2, 2.4, 0.6},
	} {
		if x, u := r.Solution.X[k.at], r.Relative(k.at); !(math.Abs(x-k.mean) <= 0.01*k.sigma) || !(math.Abs(u/k.sigma-1) <= 0.01) {
			t.Errorf("%s: %.5g ± %.5g, believed %.5g ± %.5g", k.what, x, u, k.mean, k.sigma)
		}
	}
}

// The end of a core is set and read to half a per cent of the winding either
// way, in a rectangular distribution (JCGM 100:2008, 4.3.7): what a frequency's
// variance has beside that of the line's picture of ends, where it changes fast with
// the core's end and where it hardly does.
func TestEndOfTheCoreIsReadToHalfAPerCent(t *testing.T) {
	c := simulated.Lighthouse()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(61, 2)), 1e-6, 0, simulated.Added(), simulated.Added(2.2), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1))})
	f, x := r.Problem.Model, r.Solution.X
	at := func(to float64) *readings.State { return &readings.State{Core: "rod", To: to, Hand: math.Inf(1)} }
	for _, to := range []float64{0.1, 0.3, 0.95} {
		const h = 1e-4
		slope := math.Log(f.Frequency(x, at(to+h), nil)/f.Frequency(x, at(to-h), nil)) / (2 * h)
		whole, ends := f.ModelUncertainty(x, at(to)), f.EndsUncertainty(x, &f.Cores[0], at(to))
		got := math.Sqrt(whole*whole-ends*ends) / math.Abs(slope)
		if want := 0.005 / math.Sqrt(3); !(math.Abs(got/want-1) <= 0.02) {
			t.Errorf("the fraction covered, %v, is taken as known to %v, want %v", to, got, want)
		}
	}
}
