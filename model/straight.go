package model

import (
	"math"
	"slices"

	"fitcoil/fit"
)

// straightened returns p in coordinates in which the fit runs straight. The
// bare frequency is known far better than anything else, and holds capacitance
// and share to a curved valley that a solver crawls along. With
//
//	y[atC] = ln(1/ω²) of the bare uniform line, 1/ω² = L·C/Ω(s)²,
//
// in place of ln C, with Ω the frequency of a line of L = C = 1, the valley is
// straight; all else stays as it is.
func (p *problem) straightened() fit.Problem {
	q := p.Problem
	if p.shares() {
		q.Data.Evaluate = p.sharedReadings()
	} else {
		q.Data.Evaluate = p.bend(p.Data.Evaluate)
	}
	q.Prior.Evaluate = p.bend(p.Prior.Evaluate)
	q.Lower, q.Upper = slices.Clone(p.Lower), slices.Clone(p.Upper)
	q.Lower[atC] = math.Log(1e-28)
	q.Upper[atC] = math.Log(1e1)
	return q
}

// rounding is below what part of its terms a difference of theirs is noise.
const rounding = 1e-9

// bend makes an evaluation at x one at y.
func (p *problem) bend(evaluate func(x []float64, first int, r, jac []float64)) func(y []float64, first int, r, jac []float64) {
	x := make([]float64, p.n)
	return func(y []float64, first int, r, jac []float64) {
		slope := p.unbend(x, y)
		evaluate(x, first, r, jac)
		n := p.width()
		for i := 0; i+n <= len(jac); i += n { // ln C = y[atC] + 2 ln Ω(s) − y[atL]
			row := jac[i : i+n]
			if l := row[atL] - row[atC]; math.Abs(l) > rounding*math.Abs(row[atC]) {
				row[atL] = l
			} else {
				row[atL] = 0 // the two cancel: L is open, and noise must not seem to fix it
			}
			if p.share >= 0 {
				row[p.share] += 2 * slope * row[atC]
			}
		}
	}
}

// unbend writes the x of y, and returns d ln Ω/ds.
func (f *forward) unbend(x, y []float64) (slope float64) {
	omega, slope := f.plainLine(y)
	copy(x, y)
	x[atC] = y[atC] + 2*math.Log(omega) - y[atL]
	return slope
}

// plainLine returns Ω(s) and d ln Ω/ds of the uniform line with L = C = 1.
func (f *forward) plainLine(x []float64) (omega, slope float64) {
	if f.share < 0 {
		return 1, 0
	}
	s := x[f.share]
	r := &f.plainMode
	f.plain.Resonate(Winding{Inductance: 1, Capacitance: 1 - s, Top: s}, r)
	return r.Omega, r.PerTop - r.PerWinding
}

// solve solves p from x, in straightened coordinates, and returns the result in
// its own.
func (p *problem) solve(x []float64, scaled bool, s fit.Settings) (r fit.Result, scatter fit.Scatter, err error) {
	y := slices.Clone(x)
	omega, _ := p.plainLine(x)
	y[atC] = x[atC] - 2*math.Log(omega) + x[atL]
	q := p.straightened()
	s.Workers = p.workers()
	if scaled {
		r, scatter, err = fit.SolveScaled(q, y, s)
	} else {
		r, err = fit.Solve(q, y, s)
	}
	if err != nil {
		return r, scatter, err
	}
	slope := p.unbend(x, r.X)
	r.X = x
	n := p.common()
	for _, rows := range [][]float64{r.R, r.OwnRows} {
		for i := 0; i < len(rows); i += n { // ∂/∂x from ∂/∂y
			row := rows[i : i+n]
			if p.share >= 0 {
				row[p.share] -= 2 * slope * row[atC]
			}
			row[atL] += row[atC]
		}
	}
	return r, scatter, nil
}
