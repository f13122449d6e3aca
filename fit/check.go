package fit

import (
	"errors"
	"fmt"
	"math"
)

// check returns an error if the problem, the start or the settings are
// malformed.
func check(p Problem, start []float64, s Settings) error {
	if p.Params < 1 {
		return errors.New("fit: a problem needs at least one parameter")
	}
	if len(start) != p.Params {
		return fmt.Errorf("fit: the start has %d elements, the problem %d parameters", len(start), p.Params)
	}
	if p.Own < 0 || p.Own >= p.Params {
		return fmt.Errorf("fit: %d own parameters of %d", p.Own, p.Params)
	}
	for _, rows := range []Rows{p.Data, p.Prior} {
		if rows.Own != nil && (p.Own == 0 || len(rows.Own) != rows.N) {
			return fmt.Errorf("fit: own parameters of %d rows for %d rows and %d own parameters", len(rows.Own), rows.N, p.Own)
		}
		if rows.err != nil {
			return rows.err
		}
		if rows.width != 0 && rows.width != p.width() {
			return fmt.Errorf("fit: rows of %d derivatives in a problem that has %d", rows.width, p.width())
		}
		for i, own := range rows.Own {
			if own < -1 || own >= p.Own {
				return fmt.Errorf("fit: row %d hangs on own parameter %d of %d", i, own, p.Own)
			}
		}
		if rows.N < 0 || (rows.N > 0 && rows.Evaluate == nil) {
			return fmt.Errorf("fit: %d rows without a function to evaluate them", rows.N)
		}
	}
	if s.MaxIterations < 0 || s.BlockRows < 0 || !(s.FirstRadius >= 0) {
		return errors.New("fit: settings must not be negative")
	}
	for _, b := range [][]float64{p.Lower, p.Upper} {
		if b != nil && len(b) != p.Params {
			return fmt.Errorf("fit: %d bounds for %d parameters", len(b), p.Params)
		}
	}
	for j, x := range start {
		lower, upper := p.bounds(j)
		switch {
		case math.IsNaN(x) || math.IsInf(x, 0):
			return fmt.Errorf("fit: start of parameter %d is not finite", j)
		case !(lower <= upper):
			return fmt.Errorf("fit: bounds %g and %g of parameter %d leave no room", lower, upper, j)
		case !(x >= lower && x <= upper):
			return fmt.Errorf("fit: start %g of parameter %d is outside its bounds %g and %g", x, j, lower, upper)
		}
	}
	return nil
}
