package fit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// forgetful is a straight line of 600 rows, more than a block, through (0, 1) with the
// slope 2, whose Evaluate leaves out what skip says, of element k of row i; k = −1 is the
// residual.
func forgetful(skip func(i, k int) bool) fit.Problem {
	return fit.Problem{Params: 2, Data: fit.Rows{N: 600, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			t := float64(first+i) / 600
			if !skip(first+i, -1) {
				r[i] = 1 + 2*t - (x[0] + x[1]*t)
			}
			for k, d := range []float64{-1, -t} {
				if jac != nil && !skip(first+i, k) {
					jac[2*i+k] = d
				}
			}
		}
	}}}
}

// A problem whose Evaluate leaves derivatives or residuals as it found them has no
// solution, whatever stood there before, and the error names what is left.
func TestUnwrittenIsAnError(t *testing.T) {
	for _, c := range []struct {
		name, want string
		skip       func(i, k int) bool
		prior      bool
	}{
		{"all derivatives", "derivative 0 of data row 0", func(_, k int) bool { return k >= 0 }, false},
		{"one parameter's", "derivative 1 of data row 0", func(_, k int) bool { return k == 1 }, false},
		{"one derivative in the last block", "derivative 0 of data row 599", func(i, k int) bool { return i == 599 && k == 0 }, false},
		{"a residual", "the residual of data row 300", func(i, k int) bool { return i == 300 && k == -1 }, false},
		{"a prior's", "derivative 1 of prior row 2", func(i, k int) bool { return i == 2 && k == 1 }, true},
	} {
		p := forgetful(c.skip)
		if c.prior {
			p.Data, p.Prior = forgetful(func(int, int) bool { return false }).Data, p.Data
		}
		for name, solve := range map[string]func() error{
			"solve":  func() error { _, err := fit.Solve(p, []float64{0, 0}, fit.Settings{}); return err },
			"scaled": func() error { _, _, err := fit.SolveScaled(p, []float64{0, 0}, fit.Settings{}); return err },
		} {
			if err := solve(); !errors.Is(err, fit.ErrUnwritten) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s, %s: %v, want %q", c.name, name, err, c.want)
			}
		}
	}
	r, err := fit.Solve(forgetful(func(int, int) bool { return false }), []float64{0, 0}, fit.Settings{})
	if err != nil || math.Abs(r.X[0]-1)+math.Abs(r.X[1]-2) > 1e-9 {
		t.Errorf("all written: %v, %v", r.X, err)
	}
}

// So it is with an own parameter.
func TestUnwrittenOwnIsAnError(t *testing.T) {
	p := fit.Problem{Params: 2, Own: 1, Data: fit.Rows{N: 3, Own: []int{-1, 0, 0}, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			r[i] = 1 - x[0]
			if first+i > 0 {
				r[i] -= x[1]
			}
			if jac != nil {
				jac[2*i] = -1
			}
		}
	}}}
	if _, err := fit.Solve(p, []float64{0, 0}, fit.Settings{}); !errors.Is(err, fit.ErrUnwritten) {
		t.Errorf("%v", err)
	}
}

// A gradient of another length has no variance, and nothing panics.
func TestGradientOfAnotherLength(t *testing.T) {
	c := solve(t, forgetful(func(int, int) bool { return false }), []float64{0, 0}, fit.Settings{}).Covariance()
	for _, g := range [][]float64{nil, {1}, {1, 0, 0}} {
		if v, determined := c.Variance(g); determined || !math.IsNaN(v) {
			t.Errorf("%d elements: %v, %v", len(g), v, determined)
		}
		if v := c.Between(g, []float64{1, 0}); !math.IsNaN(v) {
			t.Errorf("%d elements: covariance %v", len(g), v)
		}
	}
}

// What each row brings to a variance is the square of its covariance with the quantity, in
// units of its own uncertainty, and all together bring the whole, with an own parameter too.
func TestSharesAddUpWithOwn(t *testing.T) {
	rows := fit.Rows{N: 3, Own: []int{-1, 0, 0}, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			row := [][4]float64{{1 / 0.1, 0, 1, 0.1}, {0, 1 / 0.2, 2, 0.2}, {1 / 0.3, 1 / 0.3, 3.1, 0.3}}[first+i]
			r[i] = row[0]*x[0] + row[1]*x[1] - row[2]/row[3]
			if jac != nil {
				jac[2*i], jac[2*i+1] = row[0], row[1]
			}
		}
	}}
	p := fit.Problem{Params: 2, Own: 1, Prior: rows}
	r := solve(t, p, []float64{0, 0}, fit.Settings{})
	c := r.Covariance()
	for _, g := range [][]float64{{1, 0}, {0, 1}, {1, 1}, {2, -1}} {
		shares := make([]float64, 3)
		v, _ := fit.Must(c.NewShares(p.Prior, r.X, 3, func(row int) int { return row })).Of(g, shares)
		sum := 0.0
		for i, a := range fit.Must(c.Along(p.Prior, r.X, g)) {
			near.To(t, "share", shares[i], a*a, 1e-12)
			sum += shares[i]
		}
		near.To(t, "all shares", sum, v, 1e-12)
	}
}
