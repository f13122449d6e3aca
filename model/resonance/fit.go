package resonance

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/fit"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

const (
	// directPrior is the standard uncertainty of u and v beforehand: a loose
	// pickup that hangs near the driver sees a tenth of the peak directly
	// (common practice).
	directPrior = 0.1
	// vague is the relative uncertainty of Q above which the width is open.
	vague = 0.5
)

// Settings steers Fit. The zero value works.
type Settings struct {
	// Timebase is the relative standard uncertainty that all frequencies share.
	Timebase float64
}

// Fit finds the resonance in a sweep. The error of a sweep that determines
// none is a [*Refusal].
func Fit(points []Point, set Settings) (*Result, error) {
	s := &sweep{points: slices.Clone(points)}
	stable.Sort(s.points, func(a, b Point) int { return cmp.Compare(a.Frequency, b.Frequency) })
	if err := s.check(); err != nil {
		return nil, err
	}
	list := s.solve()
	if len(list) == 0 {
		return nil, &Refusal{Reason: NoLine}
	}
	return s.result(list, set)
}

// solution is a fit under one kind of noise.
type solution struct {
	fit.Result
	constant   bool
	scatter    float64 // standard deviation of a reading
	degrees    float64 // of freedom of it
	likelihood float64 // its logarithm, but for a constant
}

// solve fits with both kinds of noise, and puts the likelier first.
func (s *sweep) solve() (list []solution) {
	likelier := func(a, b solution) int { return cmp.Compare(b.likelihood, a.likelihood) }
	for _, constant := range []bool{false, true} {
		var tries []solution
		for _, width := range []float64{1, 0.4, 2.5} {
			q := math.Max(s.width*width, 0.6)
			start := []float64{math.Log(s.points[s.top].Frequency), math.Log(q), math.Log(s.points[s.top].Amplitude), 0, 0}
			if k, ok := s.solveFrom(start, constant); ok {
				tries = append(tries, k)
			}
		}
		if len(tries) > 0 {
			list = append(list, slices.MinFunc(tries, likelier))
		}
	}
	stable.Sort(list, likelier)
	return list
}

// solveFrom fits with the scatter of the readings as their uncertainty, and
// then with what it should be, so that the priors keep their share.
func (s *sweep) solveFrom(start []float64, constant bool) (k solution, ok bool) {
	set := fit.Settings{Uncertainty: fit.Relative, Offset: 1e-4, MaxIterations: 150}
	k = solution{constant: constant, scatter: exact, degrees: 1}
	r, _, err := fit.SolveScaled(s.problem(constant, unit), start, set)
	if err == nil && r.Status.Converged() {
		start, k.scatter, k.degrees = r.X, r.Scale*unit, math.Max(1, r.ScaleDegrees)
	}
	k.Result, err = fit.Solve(s.problem(constant, k.scatter), start, set)
	if err != nil || !k.Status.Converged() {
		return k, false
	}
	s.weigh(&k)
	k.Result, err = fit.Solve(s.problem(constant, s.careful(k)), k.X, set)
	return k, err == nil && k.Status.Converged()
}

// careful returns the standard uncertainty of a reading: its scatter, or what
// the digits leave open where that is more; more for few readings, and more
// where the residuals follow a pattern.
func (s *sweep) careful(k solution) float64 {
	square := (k.degrees*k.scatter*k.scatter + usualDegrees*usualScatter*usualScatter) / (k.degrees + usualDegrees)
	u := math.Max(math.Max(k.scatter, math.Sqrt(square)), s.digits(k.X, k.constant))
	_, residuals := s.residuals(k)
	if c := neighbours(residuals); patterned(c, len(residuals)) {
		u *= math.Sqrt((1 + c) / (1 - c))
	}
	return u
}

// An amplitude is read to one or two percent (common practice). Few readings
// that happen to lie smoothly are not believed to be better at once: this
// counts like so many degrees of freedom, and never makes an uncertainty less.
const (
	usualScatter = 0.015
	usualDegrees = 2
)

// unit is what the scatter scales at first. Readings without any are taken to
// be exact to that.
const (
	unit  = 0.01
	exact = 1e-5
)

// problem is that of the residuals (ln y − ln A)/unit where noise is in
// proportion, (y − A)/(y_top·unit) where it is constant.
func (s *sweep) problem(constant bool, unit float64) fit.Problem {
	top := s.points[s.top].Amplitude
	return fit.Problem{
		Params: parameters,
		Data: fit.Rows{N: len(s.points), Evaluate: func(x []float64, first int, r, jac []float64) {
			var room [parameters]float64
			for i := range r {
				p := s.points[first+i]
				ln := line(p.Frequency, x, room[:])
				scale := 1 / unit
				r[i] = (math.Log(p.Amplitude) - ln) / unit
				if constant {
					scale = math.Exp(ln) / (top * unit)
					r[i] = (p.Amplitude - math.Exp(ln)) / (top * unit)
				}
				if jac != nil {
					for j, g := range room {
						jac[i*parameters+j] = -g * scale
					}
				}
			}
		}},
		Prior: fit.Gaussians(parameters, []fit.Gaussian{
			{Param: directReal, Sigma: directPrior}, {Param: directImaginary, Sigma: directPrior}}),
	}
}

// weigh works out the likelihood of a fit. Under proportional noise the
// density of y is that of ln y over y.
func (s *sweep) weigh(k *solution) {
	n := float64(len(s.points))
	scatter := math.Sqrt(k.DataSquares/n) * k.scatter
	k.likelihood = -n * math.Log(math.Hypot(math.Hypot(scatter, s.digits(k.X, k.constant)), exact))
	for _, p := range s.points {
		if k.constant {
			p = s.points[s.top]
		}
		k.likelihood -= math.Log(p.Amplitude)
	}
}

// digits returns the root mean square of what the last digits leave open of a
// reading (JCGM 100:2008, 4.3.7), as a share of it or of the peak.
func (s *sweep) digits(x []float64, constant bool) float64 {
	sum := 0.0
	for _, p := range s.points {
		y := math.Exp(line(p.Frequency, x, nil))
		d := math.Hypot(p.AmplitudeDigit/y, p.FrequencyDigit*slope(p.Frequency, x))
		if constant {
			d *= y / s.points[s.top].Amplitude
		}
		sum += d * d / 12
	}
	return math.Sqrt(sum / float64(len(s.points)))
}

// blend is what several solutions say of the parameters together; u of lnPeak
// is that of the amplitude at f₀.
type blend struct{ value, u [parameters]float64 }

// average weighs the solutions by their likelihood. To the mean of their
// variances comes that between them: which kind of noise it is, few readings
// don't tell (K. P. Burnham and D. R. Anderson, Model Selection and Multimodel
// Inference, 2nd ed., 2002, 4.3; from memory).
func average(list []solution) (b blend) {
	var w []float64
	var sum float64
	for _, k := range list {
		w = append(w, math.Exp(k.likelihood-list[0].likelihood))
		sum += w[len(w)-1]
	}
	for j := range b.value {
		for i, k := range list {
			b.value[j] += w[i] / sum * k.X[j]
		}
		var variance float64
		for i, k := range list {
			var g [parameters]float64
			g[j] = 1
			if j == lnPeak { // what a and the direct part make together
				line(math.Exp(k.X[lnFrequency]), k.X, g[:])
			}
			d := k.X[j] - b.value[j]
			variance += w[i] / sum * (k.variance(g[:]) + d*d)
		}
		b.u[j] = math.Sqrt(variance)
	}
	return b
}

// variance is that of the sum of the parameters times g, by one solution.
func (k solution) variance(g []float64) float64 {
	v, determined := k.Covariance().Variance(g)
	if !determined {
		return math.Inf(1)
	}
	return v
}

// result turns solutions into estimates.
func (s *sweep) result(list []solution, set Settings) (*Result, error) {
	best, b := list[0], average(list)
	r := &Result{Constant: best.constant, Points: s.points, Degrees: best.degrees, Scatter: best.scatter}
	f0, q := math.Exp(b.value[lnFrequency]), math.Exp(b.value[lnQuality])
	switch {
	case f0 < s.points[0].Frequency:
		return nil, s.outside(BelowAll)
	case f0 > s.points[len(s.points)-1].Frequency:
		return nil, s.outside(AboveAll)
	case s.chance(best) > mostChance(len(s.points)):
		return nil, &Refusal{Reason: NoPeak, Got: s.chance(best), Need: mostChance(len(s.points))}
	case !(b.u[lnQuality] < vague):
		return nil, &Refusal{Reason: NoWidth, Got: b.u[lnQuality], Need: vague}
	}
	var residuals []float64
	r.Fitted, residuals = s.residuals(best)
	copy(r.line[:], best.X)
	if c := neighbours(residuals); patterned(c, len(residuals)) {
		r.Notes = append(r.Notes, Note{Pattern, c})
	}
	factor := fit.CoverageFactor(0.95, r.Degrees)
	of := func(value, relative float64) quantities.Estimate {
		return quantities.Estimate{Value: value, Uncertainty: value * relative, Determined: true,
			Interval: [2]float64{value * math.Exp(-factor*relative), value * math.Exp(factor*relative)}}
	}
	r.Resonance = of(f0, math.Hypot(b.u[lnFrequency], set.Timebase))
	r.Quality = of(q, b.u[lnQuality])
	r.Peak = of(math.Exp(line(f0, b.value[:], nil)), b.u[lnPeak])
	r.Direct = b.direct(factor)
	s.notes(r, f0, q)
	return r, nil
}

// mostChance is the probability above which a peak may be the scatter's. Many
// readings offer many places for one.
func mostChance(n int) float64 {
	const many = 10
	if n < many {
		return 2e-3
	}
	return 1e-4
}

// chance is the probability that readings which scatter about one amplitude
// let a curve fit as well as it does: the F test of the curve against none.
func (s *sweep) chance(k solution) float64 {
	var sum, squares float64
	n := float64(len(s.points))
	for _, p := range s.points {
		y := math.Log(p.Amplitude)
		if k.constant {
			y = p.Amplitude / s.points[s.top].Amplitude
		}
		sum += y
		squares += y * y
	}
	all, left := squares-sum*sum/n, k.scatter*k.scatter*k.degrees
	spent := n - 1 - k.degrees
	if !(all > left) || spent <= 0 {
		return 1
	}
	return distuv.F{D1: spent, D2: k.degrees}.Survival((all - left) / spent / (left / k.degrees))
}

// residuals returns the fitted line, and what is left: shares where noise is
// in proportion.
func (s *sweep) residuals(k solution) (fitted, residuals []float64) {
	for _, p := range s.points {
		y := math.Exp(line(p.Frequency, k.X, nil))
		fitted = append(fitted, y)
		if k.constant {
			residuals = append(residuals, p.Amplitude-y)
		} else {
			residuals = append(residuals, math.Log(p.Amplitude/y))
		}
	}
	return fitted, residuals
}

// direct is the size of what reaches the probe directly.
func (b blend) direct(factor float64) quantities.Estimate {
	re, im := b.value[directReal], b.value[directImaginary]
	size := math.Hypot(re, im)
	u := math.Hypot(b.u[directReal], b.u[directImaginary])
	if size > 0 {
		u = math.Hypot(re*b.u[directReal], im*b.u[directImaginary]) / size
	}
	return quantities.Estimate{Value: size, Uncertainty: u, Interval: [2]float64{math.Max(0, size-factor*u), size + factor*u}, Determined: true}
}
