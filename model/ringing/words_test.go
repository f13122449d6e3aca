package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Words of kinds, relations and reasons.
func TestWordsOfKinds(t *testing.T) {
	for got, want := range map[string]string{
		Steady.String(): "steady", Decay.String(): "decaying",
		Strongest.String(): "strongest", Harmonic.String(): "harmonic", Folded.String(): "folded harmonic", Near.String(): "beating", Steadily.String() + " ": "steady ", Other.String(): "other tone",
		BeforeRing.String(): "before the ring", FirstCycles.String(): "beginning that doesn't follow the decay", DiedAway.String(): "behind the last ring that was fitted",
		BetweenRings.String(): "between the rings", OtherRing.String(): "ringing at another frequency",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A moving offset: a constant, Legendre's polynomials of the place, and exponentials; the drift is how
// far apart its least and its largest values are.
func TestMovingOffset(t *testing.T) {
	p := &projection{series: &series{drifts: fading}, coef: []float64{1, 0.2, -0.1, 0.5, 0.25, 0.125, 0.0625}}
	for _, x := range []float64{0, 0.3, 1} {
		c := 2*x - 1
		want := 1 + 0.2*c - 0.1*(3*c*c-1)/2 + 0.5*math.Exp(-5*x) + 0.25*math.Exp(-15*x) + 0.125*math.Exp(-45*x) + 0.0625*math.Exp(-120*x)
		near.To(t, "offset", p.offset(x), want, 1e-12)
	}
	line := &projection{series: &series{drifts: bent}, coef: []float64{1, 0.2, 0}}
	near.To(t, "drift of a line", line.drift(), 0.4, 1e-12)
	parabola := &projection{series: &series{drifts: bent}, coef: []float64{1, 0, 0.1}}
	near.To(t, "drift of a parabola", parabola.drift(), 0.15, 1e-12) // from −½ to 1 of it
	near.To(t, "none", (&projection{series: &series{}, coef: []float64{1}}).drift(), 0, 0)
	for d, n := range map[drift]int{still: 0, bent: 2, fading: 6} {
		if d.functions() != n {
			t.Errorf("%v: %d functions", d, d.functions())
		}
	}
}

// Progress only grows, and is told each time it does.
func TestProgressOnlyGrows(t *testing.T) {
	var told []float64
	a := &analysis{set: Settings{Progress: func(done float64) { told = append(told, done) }}}
	for _, done := range []float64{0.1, 0.05, 0.1, 0.4, 0.3} {
		a.progress(done)
	}
	if len(told) != 2 || told[0] != 0.1 || told[1] != 0.4 {
		t.Errorf("%v", told)
	}
	told = nil
	s := invented{n: 2000, interval: 1e-8, sigma: 0.01, tones: []sine{natural(1, 2e6, 30, 0.2)}}.signal(rand.New(rand.NewPCG(4, 4)))
	must.Get(Analyse(s, Settings{Progress: func(done float64) { told = append(told, done) }})).In(t)
	for i, v := range told {
		if i > 0 && !(v > told[i-1]) || v > 1 {
			t.Errorf("%v", told)
		}
	}
	if len(told) < 3 || told[len(told)-1] != 1 {
		t.Errorf("%v", told)
	}
}
