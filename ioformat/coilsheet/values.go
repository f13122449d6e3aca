package coilsheet

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/floats/scalar"
)

// Values returns n values from w.From to w.To, evenly spaced [SI]; of a count
// of things, the whole numbers among them.
func (w Sweep) Values(n int) []float64 {
	if w.entry.whole {
		n = min(n, int(math.Round(w.To-w.From))+1)
	}
	values := floats.Span(make([]float64, max(n, 2)), w.From, w.To)
	for i := range values {
		switch {
		case w.entry.whole:
			values[i] = math.Round(values[i])
		case i > 0 && i < len(values)-1: // as it is told: four digits are a setting, sixteen are none
			values[i] = w.Unit.ToSI(toDigits(w.Unit.FromSI(values[i]), 4))
		}
	}
	return values
}

// toDigits rounds x to n significant digits.
func toDigits(x float64, n int) float64 {
	if x == 0 {
		return 0
	}
	return scalar.Round(x, n-1-int(math.Floor(math.Log10(math.Abs(x)))))
}

// Now returns the value that s has; NaN for none.
func (w Sweep) Now(s *Sheet) float64 {
	if v := w.entry.field(s); v.Known {
		return v.Value
	}
	return math.NaN()
}

// Base is the SI unit of the quantity, "" for a plain number.
func (w Sweep) Base() string { return w.entry.dimension.Base() }
