package fit

import "math"

// Row names a row of a problem.
type Row struct {
	Prior bool
	Index int
}

// RowDiagnostic tells how a row agrees with the solution and how much the
// solution hangs on it (R. D. Cook and S. Weisberg, Residuals and Influence in
// Regression, 1982).
type RowDiagnostic struct {
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

// Diagnose returns the diagnostics of all data rows, then of all prior rows. It is an error
// if r is of another problem.
func Diagnose(p Problem, r Result) ([]RowDiagnostic, error) {
	if err := r.solves(p); err != nil {
		return nil, err
	}
	out := make([]RowDiagnostic, 0, r.DataRows+r.PriorRows)
	lever := r.hat()
	for _, part := range r.parts(p) {
		rows(part.Rows, r.X, p.width(), func(i int, res float64, jac []float64) bool {
			h := math.Min(1, lever.leverage(jac, part.own(i))*part.of(i)*part.of(i))
			d := RowDiagnostic{Residual: res / part.scale, Leverage: h, Studentised: math.NaN(), Cooks: math.NaN()}
			if free := 1 - h; free > alone {
				d.Studentised = d.Residual / math.Sqrt(free)
				d.Cooks = d.Studentised * d.Studentised * h / free / float64(max(1, lever.rank))
			}
			out = append(out, d)
			return true
		})
	}
	return out, nil
}

// weighted are rows with the weight by which they enter Result.R, and the
// scale of their uncertainties.
type weighted struct {
	Rows
	prior         bool
	weight, scale float64
	weights       []float64 // of each row besides; nil: 1
}

// of returns the weight of row i.
func (w *weighted) of(i int) float64 {
	if w.weights == nil {
		return w.weight
	}
	return w.weight * math.Sqrt(w.weights[i])
}

func (r Result) parts(p Problem) []weighted {
	return []weighted{
		dataRows:  {p.Data, false, math.Sqrt(r.efficiency) / r.Scale, r.Scale, r.weights},
		priorRows: {p.Prior, true, 1, 1, nil},
	}
}

// RowWeights returns the factor by which the fit counts each data row, over its stated
// uncertainty: 1/Scale, less for a robust loss.
func (r Result) RowWeights() []float64 {
	w := make([]float64, r.DataRows)
	part := r.parts(Problem{})[dataRows]
	for i := range w {
		w[i] = part.of(i)
	}
	return w
}
