package decisions

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"fitcoil/fit"
)

// randomEffects is the weighted mean of values that differ by more than their
// uncertainties, with a variance between them.
type randomEffects struct {
	mean        float64
	uncertainty float64   // standard, of the mean, shared errors included
	between     float64   // standard deviation between values, beside their uncertainties
	weights     []float64 // of the values in the mean; none is below 0, they sum to 1
	deviations  []float64 // standard uncertainty of the difference of each value from the mean
	q           float64   // χ² of the differences between values, without a variance between them
	pValue      float64   // of a q as large by chance; NaN for a single value
}

// newRandomEffects combines n values with their own standard uncertainties own > 0. shared[i]
// is what each error that values have in common shifts value i by, per standard uncertainty of
// that error. With V = diag(own²) + shared·sharedᵀ, the random-effects model of R. DerSimonian
// and N. Laird (Control. Clin. Trials 7, 1986, 177–188), written for correlated values, has the
// variance between them
//
//	τ² = max(0, (Q − (n − 1))/tr P),  Q = vᵀPv,  P = V⁻¹ − V⁻¹11ᵀV⁻¹/(1ᵀV⁻¹1)
//
// For values without common errors, or that all of these shift alike, tr P is Σw − Σw²/Σw with
// w = 1/own², as there; for n groups of equal size it is the analysis of variance of JCGM
// 100:2008, H.5. The mean is the one of least variance by V + τ² that no value counts in with
// the opposite sign: it stands among the values, however strongly they are correlated.
func newRandomEffects(values, own []float64, shared [][]float64) (c randomEffects) {
	n := len(values)
	errors := make([][]float64, n) // of each value, by independent unit errors: own, between, shared
	for i := range errors {
		errors[i] = append(make([]float64, 2*n), shared[i]...)
		errors[i][i] = own[i]
	}
	c.pValue = math.NaN()
	if n > 1 {
		_, inverse := contrasts(errors)
		trace := 0.0
		for i := range n - 1 {
			for j := range n - 1 {
				v := inverse.At(i, j)
				c.q += v * (values[i+1] - values[0]) * (values[j+1] - values[0])
				trace += v
			}
			trace += inverse.At(i, i)
		}
		c.pValue = fit.ChiSquareSurvival(c.q, float64(n-1))
		c.between = math.Sqrt(math.Max(0, (c.q-float64(n-1))/trace))
	}
	for i := range errors {
		errors[i][n+i] = c.between
	}
	c.weights = leastVariance(errors)
	c.mean = floats.Dot(c.weights, values)
	mean := make([]float64, len(errors[0]))
	for i, w := range c.weights {
		floats.AddScaled(mean, w, errors[i])
	}
	c.uncertainty = floats.Norm(mean, 2)
	for i := range errors {
		c.deviations = append(c.deviations, floats.Distance(errors[i], mean, 2))
	}
	return c
}

// contrasts returns the differences of the errors of all values from those of the first, in which
// what all have alike cancels, and their inverse covariance.
func contrasts(errors [][]float64) (differences [][]float64, inverse *mat.SymDense) {
	n := len(errors) - 1
	differences = make([][]float64, n)
	m := mat.NewSymDense(n, nil)
	for i := range n {
		differences[i] = floats.SubTo(make([]float64, len(errors[0])), errors[i+1], errors[0])
		for j := range i + 1 {
			m.SetSym(i, j, floats.Dot(differences[i], differences[j]))
		}
	}
	var c mat.Cholesky
	c.Factorize(m) // positive definite, since each value has an error of its own
	inverse = mat.NewSymDense(n, nil)
	c.InverseTo(inverse)
	return differences, inverse
}

// leastVariance returns the weights of the mean of least variance, none below 0: a value that
// would count with the opposite sign is left out, the most negative first.
func leastVariance(errors [][]float64) []float64 {
	weights := make([]float64, len(errors))
	in := make([]int, len(errors))
	for i := range in {
		in[i] = i
	}
	for {
		some := make([][]float64, len(in))
		for k, i := range in {
			some[k] = errors[i]
		}
		w := make([]float64, len(in))
		w[0] = 1
		if len(in) > 1 {
			differences, inverse := contrasts(some)
			for i := range differences {
				for j, d := range differences {
					w[i+1] -= inverse.At(i, j) * floats.Dot(d, some[0])
				}
				w[0] -= w[i+1]
			}
		}
		worst := floats.MinIdx(w)
		if w[worst] >= 0 {
			for k, i := range in {
				weights[i] = w[k]
			}
			return weights
		}
		in = slices.Delete(in, worst, worst+1)
	}
}
