package forward

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// What a core adds along a part of the winding is that share of what it adds to all of it; if
// all capacitance is at the top, what the linear rise of voltage leaves of it there: ∫3x²dx.
func TestCoreAddsAlongItsStretch(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(201, 1)), 1e-4, 0.01, simulated.FullSession()...)
	for _, lumped := range []bool{false, true} {
		f := New(&log, &resonator.Line{}, lumped, nil, Earlier{}, nil)
		x := make([]float64, f.N)
		x[AtL], x[AtC], x[f.Cores[0].At], x[f.Cores[0].At+1] = math.Log(1e-3), math.Log(5e-12), math.Log(1.6), 0.1
		x[f.Cores[0].Ends+1] = math.Inf(-1) // it moves nothing to the top
		if !lumped {
			x[f.Share] = 0.2
		}
		added := func(from, to float64) float64 {
			s := readings.Bare()
			f.At(x, &s)
			top := f.winding.Top
			s.Core, s.From, s.To = "rod", from, to
			f.At(x, &s)
			return f.winding.Top - top + f.winding.Cores[0].Capacitance
		}
		all := added(0, 1)
		if winding := f.winding.Capacitance; !lumped && !(math.Abs(all/winding-math.Expm1(0.1)) <= 1e-12) {
			t.Errorf("%g F to %g F, want e^0.1 - 1 of it", all, winding)
		}
		for _, c := range [][2]float64{{0, 0.5}, {0.2, 0.6}, {0.7, 1}} {
			want := c[1] - c[0]
			if lumped {
				want = math.Pow(c[1], 3) - math.Pow(c[0], 3)
			}
			if got := added(c[0], c[1]) / all; !(all > 0) || !(math.Abs(got-want) <= 1e-9) {
				t.Errorf("lumped %v, over %v: %v of what it adds to all, want %v", lumped, c, got, want)
			}
		}
	}
}
