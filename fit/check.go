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
		if err := rows.check(p.Own, p.width()); err != nil {
			return err
		}
	}
	if !(p.Alike >= 0 && p.Alike <= float64(p.Data.N)) {
		return fmt.Errorf("fit: %g of %d data rows alike", p.Alike, p.Data.N)
	}
	if s.MaxIterations < 0 || s.BlockRows < 0 || !(s.FirstRadius >= 0) || !(s.Offset >= 0) {
		return errors.New("fit: settings must not be negative")
	}
	if !(s.Loss.k >= 0) {
		return errors.New("fit: the corners of a loss must be positive, and the biweight's beyond Huber's")
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

// check returns an error if e can't be the rows of a problem that has so many own
// parameters and derivatives in a row.
func (e *Rows) check(own, width int) error {
	switch {
	case e.err != nil:
		return e.err
	case e.N < 0 || e.N > 0 && e.Evaluate == nil:
		return fmt.Errorf("fit: %d rows without a function to evaluate them", e.N)
	case e.Own != nil && (own == 0 || len(e.Own) != e.N):
		return fmt.Errorf("fit: own parameters of %d rows for %d rows and %d own parameters", len(e.Own), e.N, own)
	case e.width != 0 && e.width != width:
		return fmt.Errorf("fit: rows of %d derivatives in a problem that has %d", e.width, width)
	}
	for i, k := range e.Own {
		if k < -1 || k >= own {
			return fmt.Errorf("fit: row %d hangs on own parameter %d of %d", i, k, own)
		}
	}
	return nil
}

// wellFormed tells whether the lengths of r agree with each other.
func (r *Result) wellFormed() bool {
	n := len(r.OwnDiagonal)
	m := r.Params - n
	return m > 0 && len(r.X) == r.Params && len(r.AtBound) == r.Params && len(r.R) == m*m && len(r.OwnRows) == n*m
}

// solves returns an error if r isn't a solution of a problem of the size of p.
func (r *Result) solves(p Problem) error {
	if !r.wellFormed() {
		return errors.New("fit: a result that no solver wrote")
	}
	if r.Params != p.Params || len(r.OwnDiagonal) != p.Own || r.DataRows != p.Data.N || r.PriorRows != p.Prior.N {
		return fmt.Errorf("fit: the result of a problem of %d parameters (%d own), %d data and %d prior rows for one of %d (%d), %d and %d",
			r.Params, len(r.OwnDiagonal), r.DataRows, r.PriorRows, p.Params, p.Own, p.Data.N, p.Prior.N)
	}
	if err := p.Data.check(p.Own, p.width()); err != nil {
		return err
	}
	return p.Prior.check(p.Own, p.width())
}

// lengths returns an error for a list of vectors of which one hasn't n elements.
func lengths(what string, n int, vectors ...[]float64) error {
	for i, v := range vectors {
		if len(v) != n {
			return fmt.Errorf("fit: %s %d has %d elements, the problem %d parameters", what, i, len(v), n)
		}
	}
	return nil
}

// Must returns v, and panics if there is an error: for calls whose lengths are right by
// construction.
func Must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

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
