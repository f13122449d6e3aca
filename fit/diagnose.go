package fit

import (
	"iter"
	"math"
	"slices"
)

// Row names a row of a problem.
type Row struct {
	Prior bool
	Index int
}

// RowDiagnostic tells how a row agrees with the solution and how much the
// solution hangs on it (R. D. Cook and S. Weisberg, Residuals and Influence in
// Regression, 1982).
type RowDiagnostic struct {
	Row Row
	// Residual is (observed − model)/(u·Scale); that of a prior is not scaled.
	Residual float64
	// Leverage is the derivative of the fitted by the observed value, between
	// 0 and 1. All leverages add up to the number of parameters determined.
	Leverage float64
	// Studentised is Residual/√(1 − Leverage), internally studentised; NaN for
	// a row that alone determines something, whose residual is zero anyway.
	Studentised float64
	// Cooks is Cook's distance: the shift of all fitted values when the row is
	// left out, Studentised²·Leverage/(1 − Leverage)/rank; NaN likewise.
	Cooks float64
}

// alone is the share of freedom, 1 − leverage, below which a row determines
// something by itself.
const alone = 1e-9

// Diagnose returns the diagnostics of all data rows, then of all prior rows.
func Diagnose(p Problem, r Result) []RowDiagnostic {
	return slices.AppendSeq(make([]RowDiagnostic, 0, r.DataRows+r.PriorRows), Diagnostics(p, r))
}

// Diagnostics is Diagnose row by row, evaluating a block at a time.
func Diagnostics(p Problem, r Result) iter.Seq[RowDiagnostic] {
	return func(yield func(RowDiagnostic) bool) {
		c := r.Covariance()
		y := make([]float64, c.rank)
		for _, part := range r.parts(p) {
			done := false
			rows(part.Rows, r.X, p.Params, func(i int, res float64, jac []float64) bool {
				c.project(jac, y)
				h := math.Min(1, dot(y, y)*part.weight*part.weight)
				d := RowDiagnostic{Row: Row{part.prior, i}, Residual: res / part.scale, Leverage: h,
					Studentised: math.NaN(), Cooks: math.NaN()}
				if free := 1 - h; free > alone {
					d.Studentised = d.Residual / math.Sqrt(free)
					d.Cooks = d.Studentised * d.Studentised * h / free / float64(max(1, c.rank))
				}
				done = !yield(d)
				return !done
			})
			if done {
				return
			}
		}
	}
}

// weighted are rows with the weight by which they enter Result.R, and the
// scale of their uncertainties.
type weighted struct {
	Rows
	prior         bool
	weight, scale float64
}

func (r Result) parts(p Problem) []weighted {
	return []weighted{
		{p.Data, false, math.Sqrt(r.efficiency) / r.Scale, r.Scale},
		{p.Prior, true, 1, 1},
	}
}

// PriorShare returns the share of the variance of gᵀx that stems from the
// prior rows: 0 for what the data alone determine, 1 for what is merely copied
// from a prior.
func PriorShare(p Problem, r Result, gradient []float64) float64 {
	c := r.Covariance()
	g, y := make([]float64, c.rank), make([]float64, c.rank)
	c.project(gradient, g)
	prior, total := 0.0, dot(g, g)
	rows(p.Prior, r.X, p.Params, func(_ int, _ float64, jac []float64) bool {
		c.project(jac, y)
		v := dot(g, y)
		prior += v * v
		return true
	})
	if total == 0 {
		return 0
	}
	return math.Min(1, prior/total)
}

// Contributions yields what each row contributes to the variance of gᵀx; they
// add up to the variance. It is the uncertainty budget of JCGM 100:2008, 5.1.3,
// with the rows as the input quantities.
func Contributions(p Problem, r Result, gradient []float64) iter.Seq2[Row, float64] {
	return func(yield func(Row, float64) bool) {
		c := r.Covariance()
		g, y := make([]float64, c.rank), make([]float64, c.rank)
		c.project(gradient, g)
		for _, part := range r.parts(p) {
			done := false
			rows(part.Rows, r.X, p.Params, func(i int, _ float64, jac []float64) bool {
				c.project(jac, y)
				v := dot(g, y) * part.weight
				done = !yield(Row{part.prior, i}, v*v)
				return !done
			})
			if done {
				return
			}
		}
	}
}

// WithoutRow returns by how much gᵀx would change if the row was left out, and
// its variance then, both to first order (exact for a linear model; with a
// robust loss the change takes the other rows' weights as they are). They are
// not determined if the row alone fixes something that gᵀx needs.
func WithoutRow(p Problem, r Result, row Row, gradient []float64) (shift, variance float64, determined bool) {
	c := r.Covariance()
	part := r.parts(p)[0]
	if row.Prior {
		part = r.parts(p)[1]
	}
	res, jac := make([]float64, 1), make([]float64, p.Params)
	part.Evaluate(r.X, row.Index, res, jac)
	g, y := make([]float64, c.rank), make([]float64, c.rank)
	determined = c.project(gradient, g)
	c.project(jac, y)
	w := part.weight
	h, between := dot(y, y)*w*w, dot(g, y)*w
	variance = dot(g, g)
	free := 1 - h
	if free <= alone {
		return 0, variance, determined && between*between <= alone*variance
	}
	pull := r.pullOf(res[0], row.Prior)
	if r.loss.outside(res[0]/part.scale) && !row.Prior {
		free = 1 // such a row pulls with constant force and holds nothing
	}
	return between * pull / free, variance + between*between/free, determined
}
