package model

import (
	"math"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// Two known values of one positive quantity, each uncertain by 30 % of itself,
// count alike: the fit is at their geometric mean, known to 30 %/√2.
func TestKnownValuesCountByTheirRatio(t *testing.T) {
	s := estimation.Session{Log: plainLog([2]float64{2e6, 0}), Known: []quantities.Known{
		{Key: quantities.Key{Name: quantities.Inductance}, Value: 1e-3, Uncertainty: 0.3e-3},
		{Key: quantities.Key{Name: quantities.Inductance}, Value: 2e-3, Uncertainty: 0.6e-3},
	}}
	r := mustFit(t, s)
	if l := math.Exp(r.Solution.X[forward.AtL]); !(math.Abs(l/(math.Sqrt2*1e-3)-1) <= 1e-3) {
		t.Errorf("inductance %v, want √2 mH", l)
	}
	if u := r.Relative(forward.AtL); !(math.Abs(u/(0.3/math.Sqrt2)-1) <= 1e-3) {
		t.Errorf("known to %v, want %v", u, 0.3/math.Sqrt2)
	}
}
