package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A log with one slip in it: the slip is named, and the edit that mends it. Sessions are
// simulated with the field model, not with the one that fits them.
func TestMistakeIsNamed(t *testing.T) {
	coils := fieldCoils(t)
	type slip struct {
		name string
		make func(p *played, rng *rand.Rand) (lines []int, kind MistakeKind)
	}
	digit := func(p *played, rng *rand.Rand) ([]int, MistakeKind) {
		o := &p.log.Readings[rng.IntN(len(p.log.Readings))]
		digits, exponent := decimals(math.Round(o.Frequency/1e3) * 1e3)
		i := 1 + rng.IntN(2)
		for d := digits[i]; digits[i] == d; {
			digits[i] = byte('0' + rng.IntN(10))
		}
		v := 0.0
		for k, d := range digits {
			v += float64(d-'0') * math.Pow10(exponent-k)
		}
		o.Frequency = v
		return []int{o.Line}, MistakenReading
	}
	swap := func(p *played, rng *rand.Rand) ([]int, MistakeKind) {
		for {
			i := rng.IntN(len(p.log.Readings) - 1)
			a, b := &p.log.Readings[i], &p.log.Readings[i+1]
			if math.Abs(a.Frequency-b.Frequency) < 0.01*a.Frequency {
				continue
			}
			a.Frequency, b.Frequency = b.Frequency, a.Frequency
			return []int{a.Line, b.Line}, MistakenRows
		}
	}
	tenfold := func(p *played, rng *rand.Rand) ([]int, MistakeKind) {
		k := p.index[[]float64{4.7, 10, 2.2}[rng.IntN(3)]]
		p.log.Parts[k].Capacitance *= 10
		p.log.Parts[k].Uncertainty *= 10
		return p.log.linesWith(k), MistakenPart
	}
	for _, s := range []slip{{"a digit", digit}, {"two rows swapped", swap}, {"a part ten times off", tenfold}} {
		n := max(repetitions(5), *seeds)
		named := 0
		for k := range n {
			rng := rand.New(rand.NewPCG(97, uint64(k)))
			p := coils[k%len(coils)].play(rng, goodBench(), benchSteps())
			for i := range p.log.Readings {
				o := &p.log.Readings[i]
				o.Frequency = math.Round(o.Frequency/100) * 100
			}
			lines, kind := s.make(p, rng)
			r, err := Fit(Session{Log: p.log})
			if err != nil {
				t.Errorf("%s, session %d: %v", s.name, k, err)
				continue
			}
			if len(r.Findings) > 0 && r.Findings[0].Kind == LikelyMistake {
				if m := r.Findings[0].Mistake; m.Kind == kind && slices.Equal(m.Lines, lines) {
					named++
					continue
				}
			}
			t.Logf("%s in lines %v, session %d: p = %.2g, found %+v", s.name, lines, k, r.Quality.PValue, r.Findings[:min(2, len(r.Findings))])
		}
		t.Logf("%s: named in %d of %d sessions", s.name, named, n)
		if named < n*9/10 {
			t.Errorf("%s: named in %d of %d sessions", s.name, named, n)
		}
	}
}

// What a slip of the pen makes of a number.
func TestMisspelt(t *testing.T) {
	for _, c := range []struct {
		read, expected, reach float64
		digits                int
		want                  float64
	}{
		{1.416e6, 1.1461e6, 5e2, 4, 1.146e6}, // digits exchanged
		{1.613e6, 1.631e6, 1e3, 4, 1.631e6},
		{2.519e6, 2.219e6, 1e3, 4, 2.219e6}, // one wrong
		{1.42e6, 1.425e6, 5e2, 4, 1.425e6},  // one of the zeros that aren't written
		{251.9e3, 2.519e6, 1e3, 4, 2.519e6}, // the point
		{2.59e6, 2.519e6, 5e2, 4, 2.519e6},  // one left out
		{1.416e6, 1.3e6, 1e2, 4, math.NaN()},
		{1.416e6, 1.415e6, 3e3, 4, math.NaN()}, // several would do
	} {
		got := misspelt(c.read, c.expected, c.reach, c.digits)
		if got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("read %v, expected %v: %v, want %v", c.read, c.expected, got, c.want)
		}
	}
}

// Readings that scatter more than stated have no slip in them, and none is named.
func TestScatterIsNoMistake(t *testing.T) {
	coils := fieldCoils(t)
	n, named := max(12, *seeds), 0
	for k := range n {
		rng := rand.New(rand.NewPCG(98, uint64(k)))
		p := coils[k%len(coils)].play(rng, goodBench(), benchSteps())
		for i := range p.log.Readings {
			p.log.Readings[i].Frequency *= 1 + []float64{6e-4, 2e-3, 6e-3}[k%3]*rng.NormFloat64()
		}
		r, err := Fit(Session{Log: p.log})
		if err != nil {
			t.Errorf("session %d: %v", k, err)
			continue
		}
		for _, f := range r.Findings {
			if f.Kind == LikelyMistake {
				named++
				t.Logf("session %d: %+v", k, f.Mistake)
			}
		}
	}
	t.Logf("a mistake is named in %d of %d sessions without one", named, n)
	if named > n/20+1 {
		t.Errorf("a mistake is named in %d of %d sessions without one", named, n)
	}
}
