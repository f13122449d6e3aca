package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Where many degrees of freedom take over, the factor goes on as it was; it falls
// to the normal one, and neighbours differ by no more than their degrees do.
func TestCoverageFactorOfManyDegrees(t *testing.T) {
	for _, level := range []float64{0.5, 0.6827, 0.95, 0.9973} {
		for _, degrees := range []float64{1.001 * manyDegrees, 2 * manyDegrees, 5 * manyDegrees} {
			want := distuv.StudentsT{Sigma: 1, Nu: degrees}.Quantile((1 + level) / 2)
			if got := CoverageFactor(level, degrees); !(math.Abs(got/want-1) <= 1e-11) {
				t.Errorf("level %v, %v degrees: factor %v, want %v", level, degrees, got, want)
			}
		}
		normal := CoverageFactor(level, math.Inf(1))
		if want := distuv.UnitNormal.Quantile((1 + level) / 2); normal != want {
			t.Errorf("level %v: normal factor %v, want %v", level, normal, want)
		}
		last := math.Inf(1)
		for degrees := 500.; degrees < 1e12; degrees *= 1.7 {
			k := CoverageFactor(level, degrees)
			if !(k < last || k == normal) || k < normal {
				t.Errorf("level %v, %v degrees: factor %v after %v, above the normal %v", level, degrees, k, last, normal)
			}
			if near := CoverageFactor(level, degrees*(1+1e-12)); !(math.Abs(near-k) <= 1e-12*k) {
				t.Errorf("level %v: factor %v with %v degrees, %v with hardly more", level, k, degrees, near)
			}
			last = k
		}
	}
}

// Factors by tables: JCGM 100:2008, table G.2 (from memory), and far out those of M. Abramowitz
// and I. A. Stegun, Handbook of Mathematical Functions, 1964, table 26.10 (from memory); for one
// and two degrees of freedom the closed forms tan(πp/2) and p √(2/(1 − p²)).
func TestCoverageFactorOfFewDegrees(t *testing.T) {
	for _, c := range []struct{ level, degrees, want, round float64 }{
		{0.95, 3, 3.18, 0.005}, {0.95, 5, 2.57, 0.005}, {0.95, 10, 2.23, 0.005}, {0.95, 50, 2.01, 0.005},
		{0.9973, 4, 6.62, 0.005}, {0.6827, 7, 1.08, 0.005}, {0.99, 15, 2.95, 0.005}, {0.9999, 3, 28.000, 0.0005}, {0.99999, 30, 5.299, 0.06},
	} {
		if got := CoverageFactor(c.level, c.degrees); !(math.Abs(got-c.want) <= c.round) {
			t.Errorf("level %v, %v degrees: factor %v, want %v", c.level, c.degrees, got, c.want)
		}
	}
	for _, p := range []float64{1e-3, 0.5, 0.95, 0.9999, 1 - 1e-6} {
		if got, want := CoverageFactor(p, 1), math.Tan(math.Pi*p/2); !(math.Abs(got/want-1) <= 1e-7) {
			t.Errorf("level %v, one degree: factor %v, want %v", p, got, want)
		}
		if got, want := CoverageFactor(p, 2), p*math.Sqrt(2/(1-p*p)); !(math.Abs(got/want-1) <= 1e-7) {
			t.Errorf("level %v, two degrees: factor %v, want %v", p, got, want)
		}
		for degrees := 0.3; degrees < 1e3; degrees *= 1.3 {
			got := CoverageFactor(p, degrees)
			want := distuv.StudentsT{Sigma: 1, Nu: degrees}.Quantile((1 + p) / 2)
			if !(math.Abs(got/want-1) <= 1e-7) {
				t.Errorf("level %v, %v degrees: factor %v, want %v", p, degrees, got, want)
			}
		}
	}
}
