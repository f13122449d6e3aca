package fit_test

import (
	"encoding/binary"
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// stationary checks what Converged promises from residuals and derivatives
// alone: the slope by any parameter, over the norm of its column there or at the
// start, is no more than steps of 1e-6 in all parameters would take away; or the
// parameter stands at a bound and is pushed outwards; or, where a column fades
// away as curved residuals can make it do, the sum of squares does not fall
// visibly when the parameter changes by 1e-4 or 1e-2 of itself. Scales are taken
// out so that the check itself does not overflow.
func stationary(p fit.Problem, start []float64, r fit.Result) bool {
	evaluate := func(x []float64) (res, jac []float64) {
		for _, rows := range []fit.Rows{p.Data, p.Prior} {
			a, b := make([]float64, rows.N), make([]float64, rows.N*p.Params)
			if rows.N > 0 {
				rows.Evaluate(x, 0, a, b)
			}
			res, jac = append(res, a...), append(jac, b...)
		}
		return res, jac
	}
	first, before := evaluate(start)
	res, jac := evaluate(r.X)
	rs := largest(res, 0, 1)
	if rs <= 1e-14*largest(first, 0, 1) {
		return true
	}
	allowed := 0.0
	along, outward := make([]float64, p.Params), make([]bool, p.Params)
	for j := range p.Params {
		js := largest(jac, j, p.Params)
		if !(js < math.Inf(1) && rs < math.Inf(1)) {
			return false
		}
		allowed += 1e-6 * math.Min(1, largest(first, 0, 1))
		if js == 0 {
			continue
		}
		g, a := 0.0, 0.0
		for i := range res {
			u := jac[i*p.Params+j] / js
			g, a = g+u*(res[i]/rs), a+u*u
		}
		column := math.Sqrt(a)
		if bs := largest(before, j, p.Params); bs > js {
			sum := 0.0
			for i := range first {
				sum += (before[i*p.Params+j] / bs) * (before[i*p.Params+j] / bs)
			}
			column = math.Max(column, bs/js*math.Sqrt(sum))
		}
		along[j] = math.Abs(g) / column * rs
		allowed += 1e-6 * math.Sqrt(a) * js * math.Abs(r.X[j])
		outward[j] = (r.AtBound[j] == fit.AtLower && g > 0) || (r.AtBound[j] == fit.AtUpper && g < 0)
	}
	for j, a := range along {
		if a <= allowed || outward[j] {
			continue
		}
		for _, side := range []float64{-1e-2, -1e-4, 1e-4, 1e-2} {
			x := append([]float64(nil), r.X...)
			x[j] += side * x[j]
			beside, _ := evaluate(x)
			rise := 0.0
			for i, v := range beside {
				rise += (v - res[i]) / rs * ((v + res[i]) / rs)
			}
			if rise < -1e-10 {
				return false
			}
		}
	}
	return true
}

func largest(v []float64, first, stride int) float64 {
	m := 0.0
	for i := first; i < len(v); i += stride {
		m = math.Max(m, math.Abs(v[i]))
	}
	return m
}

func TestHostileProblems(t *testing.T) {
	row := func(f func(x float64) (r, d float64)) fit.Problem {
		return fit.Problem{Params: 1, Data: fit.Rows{N: 1, Evaluate: func(x []float64, _ int, r, jac []float64) {
			if len(r) == 0 {
				return
			}
			v, d := f(x[0])
			r[0] = v
			if jac != nil {
				jac[0] = d
			}
		}}}
	}
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		name  string
		p     fit.Problem
		start float64
		want  []fit.Status
		x     float64 // if converged
	}{
		{"NaN everywhere", row(func(x float64) (float64, float64) { return nan, nan }), 1, []fit.Status{fit.StartNotFinite}, 0},
		{"NaN derivative", row(func(x float64) (float64, float64) { return x, nan }), 1, []fit.Status{fit.StartNotFinite}, 0},
		{"infinite residual", row(func(x float64) (float64, float64) { return inf, 1 }), 1, []fit.Status{fit.StartNotFinite}, 0},
		{"infinite derivative", row(func(x float64) (float64, float64) { return 1, inf }), 1, []fit.Status{fit.StartNotFinite}, 0},
		{"NaN away from the start", row(func(x float64) (float64, float64) {
			if x != 1 {
				return nan, nan
			}
			return 1, 1
		}), 1, []fit.Status{fit.Stalled}, 0},
		{"wall of NaN before the minimum", row(func(x float64) (float64, float64) {
			if x < 0.5 {
				return nan, nan
			}
			return x, 1
		}), 1, []fit.Status{fit.Stalled}, 0},
		{"wall of NaN beyond the minimum", row(func(x float64) (float64, float64) {
			return math.Log(x), 1 / x
		}), 50, []fit.Status{fit.Converged}, 1},
		{"derivative of the wrong sign", row(func(x float64) (float64, float64) { return x - 3, -1 }), 1, []fit.Status{fit.Stalled}, 0},
		{"jump", row(func(x float64) (float64, float64) { return math.Copysign(1, x-0.3), 1 }), 1, []fit.Status{fit.Stalled}, 0},
		{"minimum at infinity", row(func(x float64) (float64, float64) { return 1 + math.Exp(-x), -math.Exp(-x) }), 1, []fit.Status{fit.Runaway}, 0},
		{"no minimum at all", row(func(x float64) (float64, float64) { return 2 - math.Atan(x), -1 / (1 + x*x) }), 1,
			[]fit.Status{fit.Runaway, fit.IterationLimit, fit.Stalled}, 0},
		{"residuals of 1e300", row(func(x float64) (float64, float64) { return 1e300 * (x - 3), 1e300 }), 1, []fit.Status{fit.Converged}, 3},
		{"residuals of 1e-300", row(func(x float64) (float64, float64) { return 1e-300 * (x - 3), 1e-300 }), 1, []fit.Status{fit.Converged}, 3},
		{"parameter of 1e300", row(func(x float64) (float64, float64) { return x/1e300 - 3, 1e-300 }), 1e300, []fit.Status{fit.Converged}, 3e300},
		{"parameter of 1e-300", row(func(x float64) (float64, float64) { return x*1e300 - 3, 1e300 }), 1e-300, []fit.Status{fit.Converged}, 3e-300},
		{"parameter of 1e300 from 0", row(func(x float64) (float64, float64) { return x/1e300 - 3, 1e-300 }), 0, []fit.Status{fit.Converged}, 3e300},
		{"double root", row(func(x float64) (float64, float64) { return x * x, 2 * x }), 1,
			[]fit.Status{fit.Converged, fit.RoundingLimited}, 0},
		{"nothing depends on it", row(func(x float64) (float64, float64) { return 1, 0 }), 7, []fit.Status{fit.Converged}, 7},
		{"exact at the start", row(func(x float64) (float64, float64) { return x - 7, 1 }), 7, []fit.Status{fit.Converged}, 7},
		{"no rows", fit.Problem{Params: 1}, 7, []fit.Status{fit.Converged}, 7},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, loss := range []fit.Loss{{}, fit.Huber(1.345)} {
				r := must.Get(fit.Solve(c.p, []float64{c.start}, fit.Settings{Loss: loss})).In(t)
				ok := false
				for _, s := range c.want {
					ok = ok || s == r.Status
				}
				if !ok {
					t.Errorf("loss %v: at %g after %d steps: %v", loss, r.X[0], r.Iterations, r.Status)
				}
				if r.Status.Converged() {
					near.To(t, "x", r.X[0], c.x, 1e-7*math.Abs(c.x)+1e-7*math.Min(1, math.Abs(c.start)))
				}
				afterwards(c.p, r)
			}
		})
	}
}

// afterwards calls everything that a result can be asked, which must not panic
// whatever the result is.
func afterwards(p fit.Problem, r fit.Result) {
	c := r.Covariance()
	g := unit(p.Params, 0)
	c.Variance(g)
	c.Between(g, g)
	r.DegreesOfFreedom()
	fit.Diagnose(p, r)
	c.Along(p.Prior, r.X, g)
	fit.AICc(p, r)
	c.RankRows(g, [][]float64{g, make([]float64, p.Params)})
	c.PlanRows([][]float64{g}, [][]float64{g, make([]float64, p.Params)}, nil, 2)
	fit.Profile(p, r, fit.Settings{MaxIterations: 5}, element(0), 0.95)
}

// A runaway parameter is told from a minimum: from a far start the exponential
// of BoxBOD saturates, and its rate no longer matters.
func TestRunawayIsNotConverged(t *testing.T) {
	s := readStrd(t, "../testdata/strd/BoxBOD.dat")
	for _, c := range []struct {
		start  []float64
		radius float64
	}{{[]float64{1, 1}, 10}, {[]float64{1, 1}, 30}, {[]float64{1, 1}, 100}, {[]float64{1, 40}, 0}, {[]float64{1, 200}, 0},
		{[]float64{200, 20}, 0}, {[]float64{200, 1000}, 0}, {[]float64{1e6, 30}, 0}} {
		r := must.Get(fit.Solve(s.problem(), c.start, fit.Settings{FirstRadius: c.radius})).In(t)
		t.Logf("from %v to %v: %v", c.start, r.X, r.Status)
		if worst := s.worst(r.X, s.certified); r.Status.Converged() && worst < digitsClaimed {
			if _, determined := r.Covariance().Variance(unit(2, 1)); determined {
				t.Errorf("from %v: claims convergence at %v", c.start, r.X)
			}
		}
	}
}

func TestMalformedProblems(t *testing.T) {
	good := line(lineT, lineY, constant(6, 0.1))
	bounded := func(lower, upper []float64) fit.Problem {
		p := good
		p.Lower, p.Upper = lower, upper
		return p
	}
	known := func(params int, g ...fit.Gaussian) fit.Problem {
		p := good
		p.Prior = fit.Gaussians(params, g)
		return p
	}
	own := func(of int) fit.Problem {
		p := good
		p.Own, p.Data.Own = 1, []int{of, 0, 0, 0, 0, 0}
		return p
	}
	for _, c := range []struct {
		name  string
		p     fit.Problem
		start []float64
		s     fit.Settings
	}{
		{"no parameters", fit.Problem{}, nil, fit.Settings{}},
		{"short start", good, []float64{1}, fit.Settings{}},
		{"NaN in the start", good, []float64{1, math.NaN()}, fit.Settings{}},
		{"infinite start", good, []float64{1, math.Inf(1)}, fit.Settings{}},
		{"rows without a function", fit.Problem{Params: 1, Data: fit.Rows{N: 3}}, []float64{1}, fit.Settings{}},
		{"negative rows", fit.Problem{Params: 1, Data: fit.Rows{N: -1}}, []float64{1}, fit.Settings{}},
		{"short bounds", bounded([]float64{0}, nil), []float64{1, 1}, fit.Settings{}},
		{"start below", bounded([]float64{0, 0}, nil), []float64{1, -1}, fit.Settings{}},
		{"start above", bounded(nil, []float64{0, 0}), []float64{1, -1}, fit.Settings{}},
		{"crossed bounds", bounded([]float64{1, 1}, []float64{0, 0}), []float64{1, 1}, fit.Settings{}},
		{"NaN bound", bounded([]float64{math.NaN(), 1}, nil), []float64{1, 1}, fit.Settings{}},
		{"own parameter that isn't there", own(1), []float64{1, 1}, fit.Settings{}},
		{"own parameter before the first", own(-2), []float64{1, 1}, fit.Settings{}},
		{"prior on no parameter", known(2, fit.Gaussian{Param: 2, Sigma: 1}), []float64{1, 1}, fit.Settings{}},
		{"prior on parameter -1", known(2, fit.Gaussian{Param: -1, Sigma: 1}), []float64{1, 1}, fit.Settings{}},
		{"prior without uncertainty", known(2, fit.Gaussian{Mean: 1}), []float64{1, 1}, fit.Settings{}},
		{"negative uncertainty", known(2, fit.Gaussian{Sigma: -1}), []float64{1, 1}, fit.Settings{}},
		{"infinite uncertainty", known(2, fit.Gaussian{Sigma: math.Inf(1)}), []float64{1, 1}, fit.Settings{}},
		{"NaN uncertainty", known(2, fit.Gaussian{Sigma: math.NaN()}), []float64{1, 1}, fit.Settings{}},
		{"NaN mean", known(2, fit.Gaussian{Mean: math.NaN(), Sigma: 1}), []float64{1, 1}, fit.Settings{}},
		{"priors for fewer parameters", known(1, fit.Gaussian{Sigma: 1}), []float64{1, 1}, fit.Settings{}},
		{"priors for more parameters", known(3, fit.Gaussian{Sigma: 1}), []float64{1, 1}, fit.Settings{}},
		{"NaN radius", good, []float64{1, 1}, fit.Settings{FirstRadius: math.NaN()}},
	} {
		if _, err := fit.Solve(c.p, c.start, c.s); err == nil {
			t.Errorf("%s: no error", c.name)
		}
		if _, _, err := fit.SolveScaled(c.p, c.start, c.s); err == nil {
			t.Errorf("%s, scaled: no error", c.name)
		}
	}
}

// FuzzSolve makes a problem out of bytes: exponents scale rows and columns by up
// to 1e±300, columns may repeat, vanish or turn to NaN, and the model is curved. It
// must not panic, must end, and must not claim convergence where the residuals
// themselves show a way down.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{2, 3, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15})
	f.Add([]byte{3, 5, 1, 200, 100, 50, 25, 12, 6, 3, 1, 0, 255, 254, 253, 252, 251, 250, 249})
	f.Add([]byte{1, 1, 2, 128, 128, 128, 128, 255, 0})
	f.Add([]byte{4, 2, 3, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9, 9})
	f.Add([]byte{2, 4, 255, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 100, 200, 100, 200, 7, 77})
	f.Fuzz(func(t *testing.T, b []byte) {
		p, start, s := hostile(b)
		r := must.Get(fit.Solve(p, start, s)).In(t)
		if r.Status.Converged() && s.Loss == (fit.Loss{}) && !stationary(p, start, r) {
			t.Errorf("claims convergence at %v", r.X)
		}
		afterwards(p, r)
		s.Uncertainty = fit.Uncertainty(len(b) % 2)
		if r, sc, err := fit.SolveScaled(p, start, s); err != nil || !(r.Scale > 0) || sc.Scale != r.Scale {
			t.Errorf("S = %g and %g: %v", r.Scale, sc.Scale, err)
		}
	})
}

// bytes hands out numbers read from fuzzed bytes, zeros when they run out.
type bytesReader struct{ b []byte }

func (s *bytesReader) next() byte {
	if len(s.b) == 0 {
		return 0
	}
	v := s.b[0]
	s.b = s.b[1:]
	return v
}

func (s *bytesReader) number() float64 {
	v := binary.LittleEndian.Uint16([]byte{s.next(), s.next()})
	return float64(int16(v)) / 4096
}

// scale is one of 10^−300 … 10^300, mostly 1.
func (s *bytesReader) scale() float64 {
	switch v := s.next(); {
	case v >= 240:
		return math.Pow(10, 300*float64(int(v)-247)/8)
	case v >= 220:
		return math.Pow(10, float64(int(v)-230))
	}
	return 1
}

func hostile(b []byte) (fit.Problem, []float64, fit.Settings) {
	in := &bytesReader{b}
	params, n := 1+int(in.next()%4), int(in.next()%7)
	kind := in.next()
	s := fit.Settings{MaxIterations: 100, BlockRows: 1 + int(kind%5)}
	if kind&64 != 0 {
		s.Loss = fit.Huber(1.345)
	}
	rowScale, columns := in.scale(), make([]float64, params)
	start := make([]float64, params)
	lower, upper := make([]float64, params), make([]float64, params)
	for j := range columns {
		columns[j] = in.scale()
		start[j] = in.number() / columns[j]
		lower[j], upper[j] = math.Inf(-1), math.Inf(1)
		if kind&32 != 0 {
			lower[j] = start[j] - math.Abs(in.number())/columns[j]
		}
		if math.IsInf(start[j], 0) {
			start[j] = 0
		}
	}
	a, y := make([]float64, n*params), make([]float64, n)
	for i := range a {
		a[i] = in.number()
	}
	for i := range y {
		y[i] = in.number()
	}
	p := fit.Problem{Params: params, Data: fit.Rows{N: n, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			row := a[(first+i)*params:][:params]
			z := 0.0
			for j := range x {
				z += row[j] * (x[j] * columns[j])
			}
			v, d := scalar(kind, z)
			r[i] = rowScale * (v - y[first+i])
			if jac == nil {
				continue
			}
			for j := range x {
				jac[i*params+j] = rowScale * d * row[j] * columns[j]
			}
		}
	}}, Lower: lower, Upper: upper}
	return p, start, s
}

// scalar is a function of one variable and its derivative.
func scalar(kind byte, z float64) (v, d float64) {
	switch kind % 6 {
	case 0:
		return z, 1
	case 1:
		return math.Exp(z), math.Exp(z)
	case 2:
		return z * z * z, 3 * z * z
	case 3:
		return math.Log(z), 1 / z
	case 4:
		return math.Sin(z), math.Cos(z)
	}
	return math.Sqrt(z), 0.5 / math.Sqrt(z)
}
