package chart

import (
	"math"
	"slices"
	"testing"
)

func TestSpread(t *testing.T) {
	for _, c := range []struct{ in, want []float64 }{
		{[]float64{10, 50, 90}, []float64{10, 50, 90}},
		{[]float64{50, 50, 50}, []float64{40, 50, 60}},
		{[]float64{0, 0, 100}, []float64{5, 15, 100}},
		{[]float64{20, 24, 34}, []float64{16, 26, 36}},
		{[]float64{100, 100, 200}, []float64{95, 105, 200}},
	} {
		got := spread(c.in, 10, 5)
		if !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }) {
			t.Errorf("%v goes to %v, want %v", c.in, got, c.want)
		}
	}
}
