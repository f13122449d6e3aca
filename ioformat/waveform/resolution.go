package waveform

import "math"

// resolution tells what the last digit of a time is worth. Programs write numbers with
// so many decimals, or so many digits, or as few as say the same: 0, 2e-08, 0.1. What a
// number with fewer digits than its column can have leaves out are zeros, not
// unknowns.
type resolution struct {
	finest   float64 // s, least worth of a last digit met
	relative float64 // the same of the power of ten of its number
	power    int     // of ten, of the last number looked at
}

// met takes note of a time whose last digit is worth digit; of a time that says nothing
// of digits, 0.
func (r *resolution) met(t, digit float64) {
	if digit == 0 {
		return
	}
	if r.finest == 0 || digit < r.finest {
		r.finest = digit
	}
	if t == 0 {
		return
	}
	if share := digit / r.scale(t); r.relative == 0 || share < r.relative {
		r.relative = share
	}
}

// of returns what the last digit of t is worth, written with one worth digit.
func (r *resolution) of(t, digit float64) float64 {
	if digit <= r.finest {
		return digit
	}
	if t == 0 {
		return r.finest
	}
	return math.Max(r.finest, r.relative*r.scale(t)) // no more than digit, which was met
}

// scale returns the power of ten at or below |t|.
func (r *resolution) scale(t float64) float64 {
	t = math.Abs(t) * (1 + 1e-12) // ten, in a unit of its own, must not fall short of it
	for r.power > -320 && t < math.Pow10(r.power) {
		r.power--
	}
	for r.power < 308 && t >= math.Pow10(r.power+1) {
		r.power++
	}
	return math.Pow10(r.power)
}
