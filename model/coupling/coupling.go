package coupling

import "math"

// Peaks returns the two resonances of a coil and a primary that ring at f1 and f2
// uncoupled: the roots of
//
//	ω⁴ (1 − k²) − ω² (ω1² + ω2²) + ω1² ω2² = 0
//
// in the unit of f1 and f2, and how the logarithm of each moves with ln f1, ln f2 and k.
func Peaks(f1, f2, k float64) (lower, upper Peak) {
	a, b := f1*f1, f2*f2
	rest := (1 - k) * (1 + k)
	// The discriminant is a sum of squares, and the lower root follows from the product
	// of both, so that nothing cancels.
	upper2 := (a + b + math.Hypot(a-b, 2*k*f1*f2)) / (2 * rest)
	return peak(a*b/(rest*upper2), a, b, k), peak(upper2, a, b, k)
}

// Peak is one of two resonances.
type Peak struct {
	Frequency          float64
	PerF1, PerF2, PerK float64 // ∂ln f/∂ln f1, ∂ln f/∂ln f2, ∂ln f/∂k
}

// peak works out the slopes of the root s = f² by implicit differentiation.
func peak(s, a, b, k float64) Peak {
	slope := 2 * s * (2*s*(1-k)*(1+k) - a - b) // f ∂/∂f of the polynomial, as ∂/∂ln f
	return Peak{
		Frequency: math.Sqrt(s),
		PerF1:     2 * a * (s - b) / slope,
		PerF2:     2 * b * (s - a) / slope,
		PerK:      2 * s * s * k / slope,
	}
}

// OfSplit returns the coupling and the primary's own frequency from both peaks of a
// split pair and the coil's frequency f1 with the primary open, whatever the detuning:
//
//	1 − k² = f1⁴/(f1²(f−² + f+²) − f−² f+²),  f2² = f−² f+² (1 − k²)/f1²
//
// It is the inverse of Peaks. NaN where f1 isn't between the peaks.
func OfSplit(f1, lower, upper float64) (k, f2 float64) {
	// In the form k² = p/(1 + p) with p = (1 − f−²/f1²)(f+²/f1² − 1), which doesn't cancel.
	l, u := lower/f1, upper/f1
	p := (1 - l) * (1 + l) * (u - 1) * (u + 1)
	return math.Sqrt(p / (1 + p)), l * u * f1 / math.Sqrt(1+p)
}
