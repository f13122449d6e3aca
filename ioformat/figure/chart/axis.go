package chart

import (
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
)

// Over returns an axis from lo to hi with about n round ticks. A range of no
// width is widened.
func Over(label string, lo, hi float64, n int) Axis {
	lo, hi = widened(lo, hi)
	return Axis{Label: label, Min: lo, Max: hi, Ticks: ticks(lo, hi, n)}
}

// LogOver returns an axis of the logarithms of v + shift from lo to hi, with ticks at
// 1, 2 and 5 times the powers of ten; over more than 2.7 decades only the powers are
// labelled. With a shift above zero lo may be 0, which then is a tick.
func LogOver(label string, lo, hi, shift float64) Axis {
	a := Axis{Label: label, Min: lo, Max: hi, Log: true, Shift: shift}
	if lo <= 0 && shift > 0 {
		a.Ticks = append(a.Ticks, Tick{0, "0"})
	}
	least := math.Max(lo, shift) // below the shift an axis is nearly linear
	many := hi > 500*least
	for power := math.Floor(math.Log10(least)); power <= math.Log10(hi); power++ {
		for _, m := range []float64{1, 2, 5} {
			v := m * math.Pow(10, power)
			if v < least*(1-1e-9) || v > hi*(1+1e-9) {
				continue
			}
			t := Tick{At: v}
			if m == 1 || !many {
				t.Label = tickText(v, max(0, -int(power)))
			}
			a.Ticks = append(a.Ticks, t)
		}
	}
	return a
}

// share returns the place of v along the axis, 0 at Min and 1 at Max.
func (a *Axis) share(v float64) float64 {
	if !a.Log {
		return (v - a.Min) / (a.Max - a.Min)
	}
	low := math.Log(a.Min + a.Shift)
	return (math.Log(v+a.Shift) - low) / (math.Log(a.Max+a.Shift) - low)
}

// widened gives a range that can be divided.
func widened(lo, hi float64) (float64, float64) {
	size := math.Max(math.Abs(lo), math.Abs(hi))
	switch {
	case hi-lo > 1e-9*size:
		return lo, hi
	case size == 0:
		return -1, 1
	}
	return lo - 0.05*size, hi + 0.05*size
}

// Named returns an axis with a name at each whole number from 0 on.
func Named(names []string) Axis {
	a := Axis{Min: -0.5, Max: float64(len(names)) - 0.5}
	for i, name := range names {
		a.Ticks = append(a.Ticks, Tick{float64(i), name})
	}
	return a
}

// ticks returns the multiples of a round step within the range: the smallest
// step of 1, 2 or 5 times a power of ten that makes at most n + 1 of them.
func ticks(lo, hi float64, n int) (list []Tick) {
	step := roundStep((hi - lo) / float64(n))
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+1e-9*step; i++ {
		list = append(list, Tick{i * step, tickText(i*step, decimals)})
	}
	return list
}

// roundStep returns the smallest of 1, 2 and 5 times a power of ten that is not
// below least.
func roundStep(least float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(least)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= least*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// tickText writes v with the given number of decimals and a proper minus sign.
func tickText(v float64, decimals int) string {
	s := quantity.Decimals(v, decimals)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", "−", 1)
}

// Counts returns an axis for the whole numbers from 1 to n, with about most
// ticks.
func Counts(label string, n, most int) Axis {
	a := Axis{Label: label, Min: 0.5, Max: float64(n) + 0.5}
	step := max(1, roundStep(float64(n)/float64(most)))
	for v := step; v <= float64(n); v += step {
		a.Ticks = append(a.Ticks, Tick{v, tickText(v, 0)})
	}
	return a
}
