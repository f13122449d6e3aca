package model

import (
	"math"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// Behind the mean of many, one more reading scatters as those behind the mean did,
// however well that is known.
func TestOneReadingScattersMoreThanAMean(t *testing.T) {
	log := plainLog([2]float64{2.5e6, 0}, [2]float64{1.8e6, 4.7e-12}, [2]float64{1.3e6, 15e-12})
	const mean, single = 1e-4, 1e-3
	for i := range log.Readings {
		o := &log.Readings[i]
		o.Uncertainty = mean * o.Frequency
		o.Repeats = &readings.Repeats{Count: 100, Deviation: single * o.Frequency}
	}
	p := decisions.Predict(mustFit(t, estimation.Session{Log: log}).Result, readings.Bare(), nil)
	half := func(interval [2]float64) float64 { return math.Log(interval[1]/interval[0]) / 2 }
	own := p.Frequency.Uncertainty / p.Frequency.Value
	k := half(p.Frequency.Interval) / own
	got := math.Sqrt(math.Pow(half(p.NewReading)/k, 2) - own*own)
	if want := math.Hypot(mean, single); !(math.Abs(got/want-1) <= 1e-6) {
		t.Errorf("one more reading is taken to scatter by %v, want %v", got, want)
	}
}
