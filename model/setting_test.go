package model

import (
	"math"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// In a lumped circuit ω² = 1/L(C₀+C), so that ∂f/∂C = −f/2(C₀+C): what a setting of
// C leaves open is the frequency's uncertainty over that, at the end of the range
// too, where only one side of the slope is there.
func TestSettingCarriesTheSlope(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: plainLog([2]float64{2e6, 460e-12}, [2]float64{4e6, 100e-12}), Lumped: true})
	own := r.Find(quantities.Key{Name: quantities.TopCapacitance}).Value // 20 pF
	bare := r.Find(quantities.Key{Name: quantities.BareFrequency}).Value
	for _, added := range []float64{100e-12, 1e-16} {
		target := bare * math.Sqrt(own/(own+added))
		s := decisions.Reach(r.Result, target, readings.Bare(), nil, decisions.ByAdded, 0)
		if !s.Reachable || !(math.Abs(s.Setting.Value-added) <= 1e-6*(own+added)) {
			t.Fatalf("%v F: %+v", added, s.Setting)
		}
		f := s.At.Frequency
		want := 2 * (own + added) * f.Uncertainty / f.Value
		if u := s.Setting.Uncertainty; !(math.Abs(u/want-1) <= 1e-3) {
			t.Errorf("%v F: setting ± %v, want %v", added, u, want)
		}
		if u, want := s.Setting.Stated, want*f.Stated/f.Uncertainty; !(math.Abs(u/want-1) <= 1e-3) {
			t.Errorf("%v F: setting stated ± %v, want %v", added, u, want)
		}
	}
}
