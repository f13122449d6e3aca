package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
)

// straightened returns p in coordinates in which the fit runs straight. The
// bare frequency is known far better than anything else, and holds capacitance
// and share to a curved valley that a solver crawls along. With
//
//	y[atC] = ln(1/ω²) of the bare uniform line, 1/ω² = L·C/Ω(s)²,
//
// in place of ln C, with Ω the frequency of a line of L = C = 1, the valley is
// straight; all else stays as it is.
func (p *Problem) straightened() fit.Problem {
	q := p.Problem
	q.Data.Evaluate = p.transformed(p.Data.Evaluate)
	q.Prior.Evaluate = p.transformed(p.Prior.Evaluate)
	q.Lower, q.Upper = slices.Clone(p.Lower), slices.Clone(p.Upper)
	q.Lower[forward.AtC] = math.Log(1e-28)
	q.Upper[forward.AtC] = math.Log(1e1)
	return q
}

// Solve solves p from x, in straightened coordinates, and returns the result in
// its own.
func (p *Problem) Solve(x []float64, scaled bool, s fit.Settings) (r fit.Result, scatter fit.Scatter, err error) {
	y := slices.Clone(x)
	omega, _ := p.PlainLine(x)
	y[forward.AtC] = x[forward.AtC] - 2*math.Log(omega) + x[forward.AtL]
	q := p.straightened()
	for i := range y { // a fit that ran away may come from outside
		y[i] = math.Min(math.Max(y[i], q.Lower[i]), q.Upper[i])
	}
	if scaled {
		r, scatter, err = fit.SolveScaled(q, y, s)
		if scatter.Redundancy < 1 {
			r.ScaleDegrees = math.Max(r.ScaleDegrees, fit.Trusted(1, p.fewestRepeats()-1))
		}
	} else {
		r, err = fit.Solve(q, y, s)
	}
	if err != nil {
		return r, scatter, err
	}
	slope := original(p.Model, x, r.X)
	r.X = x
	n := p.Common()
	for _, rows := range [][]float64{r.R, r.OwnRows} {
		for i := 0; i < len(rows); i += n { // ∂/∂x from ∂/∂y
			row := rows[i : i+n]
			if p.Share >= 0 {
				row[p.Share] -= 2 * slope * row[forward.AtC]
			}
			row[forward.AtL] += row[forward.AtC]
		}
	}
	triangular(r.R, n)
	return r, scatter, nil
}

// fewestRepeats returns the number of readings behind the data row that has fewest: they
// vouch for its uncertainty, as one reading does not.
func (p *Problem) fewestRepeats() float64 {
	n := math.Inf(1)
	for _, i := range p.Rows {
		n = math.Min(n, float64(p.Log.Readings[i].Count()))
	}
	return n
}

// rounding is below what part of its terms a difference of theirs is noise.
const rounding = 1e-9

// transformed makes an evaluation at x one at y.
func (p *Problem) transformed(evaluate func(x []float64, first int, r, jac []float64)) func(y []float64, first int, r, jac []float64) {
	x := make([]float64, p.N)
	return func(y []float64, first int, r, jac []float64) {
		slope := original(p.Model, x, y)
		evaluate(x, first, r, jac)
		n := p.Width()
		for i := 0; i+n <= len(jac); i += n {
			row := jac[i : i+n]
			if p.straight(row, slope); !(math.Abs(row[forward.AtL]) > rounding*math.Abs(row[forward.AtC])) {
				row[forward.AtL] = 0 // two cancel: L is open, and noise must not seem to fix it
			}
		}
	}
}

// straight makes derivatives by x such by y, of which ln C = y[atC] + 2 ln Ω(s) − y[atL], with slope
// d ln Ω/ds.
func (p *Problem) straight(grad []float64, slope float64) {
	grad[forward.AtL] -= grad[forward.AtC]
	if p.Share >= 0 {
		grad[p.Share] += 2 * slope * grad[forward.AtC]
	}
}

// original writes the x of y, and returns d ln Ω/ds.
func original(f *forward.Model, x, y []float64) (slope float64) {
	omega, slope := f.PlainLine(y)
	copy(x, y)
	x[forward.AtC] = y[forward.AtC] + 2*math.Log(omega) - y[forward.AtL]
	return slope
}

// triangular makes a triangle of n columns one again whose columns of L and C have been
// combined, by a rotation of its first two rows.
func triangular(r []float64, n int) {
	a, b := r[forward.AtL], r[n+forward.AtL]
	if h := math.Hypot(a, b); b != 0 && h > 0 {
		for j := range n {
			x, y := r[j], r[n+j]
			r[j], r[n+j] = (a*x+b*y)/h, (a*y-b*x)/h
		}
		r[n+forward.AtL] = 0
	}
}
