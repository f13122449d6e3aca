package findings

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// Repeats is what readings of the same states say of the uncertainties stated for them,
// whatever the model.
type Repeats struct {
	Ratio    float64 // their scatter over the stated uncertainties
	Relative float64 // their standard deviation over the frequency
	Degrees  float64 // of freedom of both
	PValue   float64 // of all else in χ², if every reading scatters so; NaN where there is nothing else
}

// repeatsLevel is the p-value below which repeats contradict the stated uncertainties: one in
// a hundred good sessions has such a one, as any inconsistency told.
const repeatsLevel = 0.01

// fewFarOff is by what the median of repeats falls short of their scatter where a few far off make
// most of it: of three pairs one in twenty does by chance, of more hardly any.
const fewFarOff = 4

// repeatScatter compares the readings of each state with one another, and what is left of χ²
// with that: the test of lack of fit by replicates (N. R. Draper and H. Smith, Applied
// Regression Analysis, 3rd ed. 1998, § 2.1, from memory; NIST/SEMATECH e-Handbook, 4.4.4.6),
//
//	S₀² = Σ w(r − r̄)²/ν₀,   F = (χ²_rest/(ν − ν₀))/1,   χ²_rest = (Σ w r² − ν₀ S₀²)/S₀² + Σ prior²
//
// with r the residuals, w the inverse squares of their stated uncertainties, r̄ the mean in a
// state by these, ν₀ the repeats, less one where a drift is fitted, and F with ν − ν₀ and ν₀ degrees of
// freedom. S₀ enlarges readings alone: priors stay as certain as they are. It returns nil where the repeats scatter no
// more than stated, or where one reading makes them, or a few: with normal errors, the median of
// their sizes is 0.67 standard deviations.
func repeatScatter(r *estimation.Result) *Repeats {
	p := r.Problem
	of, n := readings.Numbered(&r.Session.Log, p.Rows)
	weight, sum := make([]float64, n), make([]float64, n)
	size, w := make([]float64, len(of)), make([]float64, len(of))
	var all float64
	for k, i := range p.Rows {
		o := &r.Readings[i]
		u := p.Uncertainty(r.Solution.X, &o.Reading)
		size[k], w[k] = o.Residual, 1/(u*u)
		all += w[k] * size[k] * size[k]
		weight[of[k]] += w[k]
		sum[of[k]] += w[k] * size[k]
	}
	var squares, relative, most float64
	var sizes []float64
	for k, s := range of {
		d := size[k] - sum[s]/weight[s]
		squares += w[k] * d * d
		relative += math.Pow(d/r.Readings[p.Rows[k]].Frequency, 2)
		if rest := weight[s] - w[k]; rest > 0 {
			loss := w[k] * d * d * weight[s] / rest // what the squares lose without this reading
			most, sizes = math.Max(most, loss), append(sizes, math.Sqrt(loss))
		}
	}
	degrees := float64(len(of) - n)
	if p.Drift >= 0 {
		degrees--
	}
	if !(degrees >= 3) || !(fit.ChiSquareSurvival(squares-most, degrees-1) < repeatsLevel) {
		return nil
	}
	slices.Sort(sizes)
	if stat.Quantile(0.5, stat.Empirical, sizes, nil) < 0.67*math.Sqrt(squares/degrees)/fewFarOff {
		return nil
	}
	scatter := squares / degrees
	out := &Repeats{Ratio: math.Sqrt(scatter), Relative: math.Sqrt(relative / degrees), Degrees: degrees, PValue: math.NaN()}
	if left := float64(r.Quality.DegreesOfFreedom) - degrees; left >= 1 {
		rest := math.Max(0, all-squares)/scatter + r.Solution.PriorSquares
		out.PValue = fit.RatioSurvival(rest/left, left, degrees)
	}
	return out
}

// Explain tells whether the readings scatter as their repeats do, so that nothing speaks against the
// model, nor for a few readings far off.
func (s *Repeats) Explain() bool { return s != nil && !(s.PValue < repeatsLevel) }
