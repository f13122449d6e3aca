package coilsheet

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Values returns n values from w.From to w.To, evenly spaced [SI]; of a count
// of things, the whole numbers among them.
func (w Sweep) Values(n int) []float64 {
	if w.entry.whole {
		n = min(n, int(math.Round(w.To-w.From))+1)
	}
	values := floats.Span(make([]float64, max(n, 2)), w.From, w.To)
	if w.entry.whole {
		for i := range values {
			values[i] = math.Round(values[i])
		}
	}
	return values
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
