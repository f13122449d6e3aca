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
