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
