package ringing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Where a ring is loud its residual is told as times that where it isn't, both rms: here noise of 1.45
// times the standard deviation in the first time constant. (What is quiet is the quietest of several.)
func TestExcessInTimesOfTheNoise(t *testing.T) {
	const tau, sigma = 2000, 0.002 // samples, V
	rng := rand.New(rand.NewPCG(4, 4))
	s := Signal{Interval: coilInterval}
	for i := range 16000 {
		u := sigma
		if i < tau {
			u *= 1.45
		}
		s.Samples = append(s.Samples, math.Exp(-float64(i)/tau)*math.Cos(2*math.Pi*1.5e6*coilInterval*float64(i))+u*rng.NormFloat64())
	}
	r := must.Get(Analyse(s, Settings{})).In(t)
	i := slices.IndexFunc(r.Notes, func(n Note) bool { return n.Kind == NotOneSine })
	if i < 0 {
		t.Fatalf("notes %v", r.Notes)
	}
	near.Times(t, "residual", r.Notes[i].Values[0], 1.45, 0.15)
}

// Rows that follow from each other count for fewer, (1 − r²)/(1 + r²) of them each: what they scatter by chance is wider than of
// independent ones.
func TestExcessInSlowNoise(t *testing.T) {
	const n, early, late, alpha, r = 4000, 400, 1200, 1. / 400, 0.9
	slow := func(rng *rand.Rand, n int) []float64 {
		y := noise(rng, n, 1)
		for i := 1; i < n; i++ {
			y[i] += r * y[i-1]
		}
		return y
	}
	share := (1 - r*r) / (1 + r*r)
	rows := float64(n - late)
	fast := distuv.F{D1: early, D2: rows}.Quantile(1 - 1e-5)
	wide := distuv.F{D1: share * early, D2: share * rows}.Quantile(1 - 1e-5)
	for excess, told := range map[float64]bool{1.3 * fast: false, 0.75 * wide: false, 1.35 * wide: true} {
		residual := slow(rand.New(rand.NewPCG(4, 4)), n)
		scale := math.Sqrt(excess * squared(residual[late:], false) / squared(residual[:early], false))
		for i := range early {
			residual[i] *= scale
		}
		a := &analysis{signal: Signal{Interval: 1, Samples: residual}}
		g := &ring{stretch: stretch{0, n}, fit: &projection{series: &series{block: 1, sampling: 1, re: make([]float64, n)}, tones: []tone{{0.3, alpha}}, coef: []float64{3, 4, 0}, residual: residual}}
		want := 1.0
		if told {
			want = math.Sqrt(excess)
		}
		near.Times(t, "excess", a.excess(g, g.stretch), want, 1e-9)
	}
	// Where rows are means of three samples, 64 of them take 192 samples, behind the ring and before it.
	a := &analysis{signal: Signal{Interval: 1, Samples: make([]float64, 1000)}}
	g := &ring{stretch: stretch{400, 700}, fit: &projection{series: &series{block: 3, sampling: 1, re: make([]float64, 100)}, tones: []tone{{0.3, 1e-4}}}}
	for _, c := range []struct {
		behind, before int
		want           string
	}{{191, 191, "[]"}, {192, 191, "[64]"}, {191, 192, "[64]"}, {300, 195, "[100 65]"}} {
		g.before = stretch{400 - c.before, 400}
		var got []int
		for _, part := range a.quietParts(g, stretch{400, 700 + c.behind}, 1) {
			got = append(got, len(part))
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%d samples behind, %d before: parts of %v rows, want %s", c.behind, c.before, got, c.want)
		}
	}
}
