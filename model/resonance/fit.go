package resonance

import (
	"math"
	"slices"

	"fitcoil/fit"
)

const (
	fewestPoints = 6
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
	slices.SortStableFunc(s.points, func(a, b Point) int {
		switch {
		case a.Frequency < b.Frequency:
			return -1
		case a.Frequency > b.Frequency:
			return 1
		}
		return 0
	})
	if err := s.check(); err != nil {
		return nil, err
	}
	list := s.solve()
	if len(list) == 0 {
		return nil, &Refusal{Reason: NoLine}
	}
	return s.result(list, set)
}

// sweep is one run of Fit.
type sweep struct {
	points []Point // in the order of frequency
	top    int     // the highest of them
	shape
}

// solution is a fit under one kind of noise.
type solution struct {
	fit.Result
	constant   bool
	unit       float64 // of its rows
	likelihood float64 // its logarithm, but for a constant
}

// solve fits with both kinds of noise, and puts the likelier first.
func (s *sweep) solve() (list []solution) {
	for _, constant := range []bool{false, true} {
		var here solution
		found := false
		for _, width := range []float64{1, 0.4, 2.5} {
			q := math.Max(s.width*width, 0.6)
			start := []float64{math.Log(s.points[s.top].Frequency), math.Log(q), math.Log(s.points[s.top].Amplitude), 0, 0}
			k, ok := s.solveFrom(start, constant)
			if ok && (!found || k.likelihood > here.likelihood) {
				here, found = k, true
			}
		}
		if found {
			list = append(list, here)
		}
	}
	if len(list) == 2 && list[1].likelihood > list[0].likelihood {
		list[0], list[1] = list[1], list[0]
	}
	return list
}

func (s *sweep) solveFrom(start []float64, constant bool) (k solution, ok bool) {
	set := fit.Settings{Uncertainty: fit.Relative, Offset: 1e-4}
	for _, u := range []float64{unit, exact} {
		p := s.problem(constant, u)
		r, _, err := fit.SolveScaled(p, start, set)
		if u == exact { // there was no scatter to scale by
			r, err = fit.Solve(p, start, set)
		}
		if err == nil && r.Status.Converged() {
			return s.weigh(r, constant, u), true
		}
	}
	return k, false
}

// An amplitude is read to one or two percent (common practice). Few readings
// that happen to lie smoothly are not believed to be better at once: this
// counts like so many degrees of freedom, and never makes an uncertainty less.
const (
	usualScatter = 0.015
	usualDegrees = 2
)

// unit is the standard uncertainty that the rows are given; the scatter scales
// it. Readings without any scatter are taken to be that exact.
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
func (s *sweep) weigh(r fit.Result, constant bool, unit float64) solution {
	n := float64(len(s.points))
	k := solution{Result: r, constant: constant, unit: unit}
	scatter := math.Sqrt(r.DataSquares/n) * unit
	floor := s.digits(r.X, constant)
	k.likelihood = -n * math.Log(math.Hypot(math.Hypot(scatter, floor), exact))
	if constant {
		k.likelihood -= n * math.Log(s.points[s.top].Amplitude)
		return k
	}
	for _, p := range s.points {
		k.likelihood -= math.Log(p.Amplitude)
	}
	return k
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

// blend is what several solutions say of the parameters together.
type blend struct{ value, u [parameters]float64 }

// average weighs the solutions by their likelihood. To the mean of their
// variances comes that between them: which kind of noise it is, few readings
// don't tell (K. P. Burnham and D. R. Anderson, Model Selection and Multimodel
// Inference, 2nd ed., 2002, 4.3; from memory).
func (s *sweep) average(list []solution) (b blend) {
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
			d := k.X[j] - b.value[j]
			variance += w[i] / sum * (s.variance(k, j) + d*d)
		}
		b.u[j] = math.Sqrt(variance)
	}
	return b
}

// variance is that of parameter j by one solution: the scatter's, or that of
// the digits where it is larger, enlarged where the residuals are not
// independent.
func (s *sweep) variance(k solution, j int) float64 {
	g := make([]float64, parameters)
	g[j] = 1
	v, determined := k.Covariance().Variance(g)
	if !determined {
		return math.Inf(1)
	}
	scatter, degrees := k.Scale*k.unit, k.ScaleDegrees
	if math.IsInf(degrees, 1) { // not from the scatter
		degrees = 1
	}
	careful := math.Sqrt((degrees*scatter*scatter + usualDegrees*usualScatter*usualScatter) / (degrees + usualDegrees))
	enlarge := math.Max(1, math.Max(careful, s.digits(k.X, k.constant))/scatter)
	_, residuals := s.residuals(k)
	if c := neighbours(residuals); patterned(c, len(residuals)) {
		enlarge *= math.Sqrt((1 + c) / (1 - c))
	}
	return v * enlarge * enlarge
}

// result turns solutions into estimates.
func (s *sweep) result(list []solution, set Settings) (*Result, error) {
	best, b := list[0], s.average(list)
	r := &Result{Constant: best.constant, Points: s.points, Degrees: math.Max(1, best.ScaleDegrees), Scatter: best.Scale * best.unit}
	f0, q := math.Exp(b.value[lnFrequency]), math.Exp(b.value[lnQuality])
	switch {
	case f0 < s.points[0].Frequency:
		return nil, s.outside(BelowAll)
	case f0 > s.points[len(s.points)-1].Frequency:
		return nil, s.outside(AboveAll)
	case !(b.u[lnQuality] < vague):
		return nil, &Refusal{Reason: NoWidth, Got: b.u[lnQuality], Need: vague}
	}
	var residuals []float64
	r.Fitted, residuals = s.residuals(best)
	if c := neighbours(residuals); patterned(c, len(residuals)) {
		r.Notes = append(r.Notes, Note{Pattern, c})
	}
	factor := fit.CoverageFactor(0.95, r.Degrees)
	of := func(value, relative float64) Estimate {
		return Estimate{value, value * relative, [2]float64{value * math.Exp(-factor*relative), value * math.Exp(factor*relative)}}
	}
	probe := 1 / (4 * math.Sqrt(3) * q * q)
	r.Resonance = of(f0, math.Hypot(math.Hypot(b.u[lnFrequency], probe), set.Timebase))
	r.Quality = of(q, b.u[lnQuality])
	r.Peak = of(math.Exp(line(f0, b.value[:], nil)), b.u[lnPeak])
	r.Direct = b.direct(factor)
	s.notes(r, f0, q)
	return r, nil
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
func (b blend) direct(factor float64) Estimate {
	re, im := b.value[directReal], b.value[directImaginary]
	size := math.Hypot(re, im)
	u := math.Hypot(b.u[directReal], b.u[directImaginary])
	if size > 0 {
		u = math.Hypot(re*b.u[directReal], im*b.u[directImaginary]) / size
	}
	return Estimate{size, u, [2]float64{math.Max(0, size-factor*u), size + factor*u}}
}
