package fit

import (
	"errors"
	"fmt"
	"math"
)

// ErrUnwritten is the error of a problem whose Evaluate leaves elements of r or jac as it
// found them.
var ErrUnwritten = errors.New("not written by Evaluate")

// unwritten is a NaN that no arithmetic makes of other numbers.
const unwritten = 0x7ff8_f17c_01ff_0001

// poison fills r and jac with it.
func poison(r, jac []float64) {
	for _, v := range [][]float64{r, jac} {
		for i := range v {
			v[i] = math.Float64frombits(unwritten)
		}
	}
}

// written returns an error if Evaluate leaves something unwritten at x.
func written(p Problem, x []float64) error {
	for _, e := range []struct {
		Rows
		name string
	}{{p.Data, "data"}, {p.Prior, "prior"}} {
		n, width := min(walkRows, e.N), p.width()
		r, jac := make([]float64, n), make([]float64, n*width)
		for first := 0; first < e.N; first += n {
			r, jac := r[:min(n, e.N-first)], jac[:min(n, e.N-first)*width]
			poison(r, jac)
			e.Evaluate(x, first, r, jac)
			for i, v := range r {
				if math.Float64bits(v) == unwritten {
					return fmt.Errorf("fit: the residual of %s row %d: %w", e.name, first+i, ErrUnwritten)
				}
			}
			for i, v := range jac {
				if math.Float64bits(v) == unwritten {
					return fmt.Errorf("fit: derivative %d of %s row %d: %w", i%width, e.name, first+i/width, ErrUnwritten)
				}
			}
		}
	}
	return nil
}
