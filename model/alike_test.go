package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Rounding errs alike in readings that don't scatter (JCGM 100:2008, F.2.2.1): however
// often 2.43 MHz is read, it is 2.43 MHz ± 0.005/√3. Readings that scatter by more than the
// digit err by themselves, and their mean has the √n less.
func TestRoundingDoesNotAverageOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(153, 1))
	const digit = 1e4
	alone := 0
	for _, n := range []int{1, 2, 9, 60} {
		for _, scatter := range []float64{0, 2} {
			log := readings.Log{}
			for i := range n {
				o := readings.Reading{State: readings.Bare(), Line: i + 2, Use: true, FromDigits: true, Uncertainty: digit / math.Sqrt(12), Amplitude: math.NaN(), Quality: math.NaN()}
				o.Frequency = math.Round((2.4321e6+scatter*digit*rng.NormFloat64())/digit) * digit
				log.Readings = append(log.Readings, o)
			}
			r := mustFit(t, idealBench(estimation.Session{Log: log}))
			u, want := r.Find(quantities.Key{Name: quantities.BareFrequency}).Stated, digit/math.Sqrt(12)
			if scatter > 0 {
				want /= math.Sqrt(float64(n))
			}
			if !(math.Abs(u/want-1) <= 1e-6) {
				t.Errorf("%d readings, scatter %v: ± %v, want %v", n, scatter, u, want)
			}
			if n == 1 {
				alone = r.Quality.DegreesOfFreedom
			}
			if degrees := r.Quality.DegreesOfFreedom; scatter == 0 && degrees != alone {
				t.Errorf("%d readings: %d degrees of freedom, of one %d", n, degrees, alone)
			}
		}
	}
}
