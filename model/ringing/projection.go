package ringing

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// tone is one exponentially damped sinusoid: angular frequency and damping.
type tone struct {
	omega float64 // rad/s
	alpha float64 // 1/s
}

// projection is the model of a series with the amplitudes eliminated: for
// given tones it finds the amplitudes and the offset that leave the least
// squares, and the residual's derivatives with respect to ω and α.
//
// The parameters x are (ω − ω_start)/unit and (α − α_start)/unit, tone after
// tone.
type projection struct {
	series   *series
	observed []float64
	start    []tone
	unit     float64 // rad/s

	x        []float64
	tones    []tone
	basis    *orthonormal // of the amplitudes' columns
	coef     []float64    // Re A and Im A of each tone, the offset, its drift
	residual []float64
	slopes   [][]float64 // of the residual; nil when not worked out at x
	valid    bool
}

func project(s *series, start []tone) *projection {
	return &projection{series: s, observed: s.observed(), start: start, unit: 1 / s.length()}
}

// at moves the model to x and reports whether it exists there.
func (p *projection) at(x []float64) bool {
	if p.x != nil && slices.Equal(p.x, x) {
		return p.valid
	}
	p.x = append(p.x[:0], x...)
	p.slopes, p.valid = nil, false
	p.tones = p.tones[:0]
	nyquist := math.Pi / p.series.sampling
	for k, t := range p.start {
		t.omega += x[2*k] * p.unit
		t.alpha += x[2*k+1] * p.unit
		if !(t.omega > 0 && t.omega < nyquist && math.Abs(t.alpha) < t.omega) {
			return false
		}
		p.tones = append(p.tones, t)
	}
	p.basis = orthonormalise(p.columns())
	if p.basis == nil {
		return false
	}
	var along []float64
	p.residual, along = p.basis.without(p.observed, p.residual)
	p.coef = p.basis.solve(along)
	p.valid = true
	return true
}

// atStart moves the model to its start and reports whether it exists there.
func (p *projection) atStart() bool { return p.at(make([]float64, 2*len(p.start))) }

// size returns the amplitude of tone k in V.
func (p *projection) size(k int) float64 { return math.Hypot(p.coef[2*k], p.coef[2*k+1]) }

// columns returns ∂row/∂(Re A), ∂row/∂(Im A) of each tone, ∂row/∂c, and the
// drift's.
func (p *projection) columns() [][]float64 {
	s := p.series
	n := len(s.re)
	cols := make([][]float64, 0, 2*len(p.tones)+1)
	for _, t := range p.tones {
		a, b := make([]float64, s.rows()), make([]float64, s.rows())
		s.both(t, func(m int, u, v, _, _ complex128) {
			// ½(A u + A* v) with A = a + ib
			a[m], b[m] = real(u+v)/2, -imag(u-v)/2
			if s.im != nil {
				a[n+m], b[n+m] = imag(u+v)/2, real(u-v)/2
			}
		})
		cols = append(cols, a, b)
	}
	c := make([]float64, s.rows())
	if s.im == nil {
		for m := range c {
			c[m] = 1
		}
	} else {
		s.exponential(0, func(m int, z, _ complex128) { c[m], c[n+m] = real(z), imag(z) })
	}
	cols = append(cols, c)
	cols = append(cols, s.drifting()...)
	for _, col := range cols {
		s.blank(col)
	}
	return cols
}

// both calls do with the rows of e^{st} and of its image e^{s*t}, and with
// their derivatives with respect to s and s*. In a real series the image is
// the conjugate.
func (s *series) both(t tone, do func(m int, u, v, du, dv complex128)) {
	at := complex(-t.alpha, t.omega)
	if s.im == nil {
		s.exponential(at, func(m int, u, du complex128) {
			do(m, u, complex(real(u), -imag(u)), du, complex(real(du), -imag(du)))
		})
		return
	}
	image := make([][2]complex128, len(s.re))
	s.exponential(complex(-t.alpha, -t.omega), func(m int, v, dv complex128) { image[m] = [2]complex128{v, dv} })
	s.exponential(at, func(m int, u, du complex128) { do(m, u, image[m][0], du, image[m][1]) })
}

// tangents returns ∂row/∂ω and ∂row/∂α of each tone at the present
// amplitudes, per unit of x.
func (p *projection) tangents() [][]float64 {
	s := p.series
	n := len(s.re)
	var cols [][]float64
	for k, t := range p.tones {
		amp := complex(p.coef[2*k], p.coef[2*k+1]) * complex(p.unit/2, 0)
		conj := complex(real(amp), -imag(amp))
		w, a := make([]float64, s.rows()), make([]float64, s.rows())
		s.both(t, func(m int, _, _, du, dv complex128) {
			// ds/dω = i and ds*/dω = −i; both are −1 by α
			du *= amp
			dv *= conj
			w[m], a[m] = -imag(du-dv), -real(du+dv)
			if s.im != nil {
				w[n+m], a[n+m] = real(du-dv), -imag(du+dv)
			}
		})
		s.blank(w)
		s.blank(a)
		cols = append(cols, w, a)
	}
	return cols
}

// evaluate serves fit.Rows: residuals over sigma, and their derivatives by
// Kaufman's rule −P⊥(∂Φ)c, with P⊥ the projection off the amplitudes' columns.
func (p *projection) evaluate(sigma float64) func(x []float64, first int, r, jac []float64) {
	return func(x []float64, first int, r, jac []float64) {
		if !p.at(x) {
			for i := range r {
				r[i] = math.NaN()
			}
			for i := range jac {
				jac[i] = math.NaN()
			}
			return
		}
		for i := range r {
			r[i] = p.residual[first+i] / sigma
		}
		if jac == nil {
			return
		}
		if p.slopes == nil {
			p.slopes = p.tangents()
			for j, col := range p.slopes {
				p.slopes[j], _ = p.basis.without(col, nil)
			}
		}
		for j, col := range p.slopes {
			for i := range r {
				jac[i*len(p.slopes)+j] = -col[first+i] / sigma
			}
		}
	}
}

// drift returns by how much the offset moves over the series, in V.
func (p *projection) drift() float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	const points = 64
	for i := range points + 1 {
		v := p.offset(float64(i) / points)
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	return hi - lo
}

// offset returns the offset at the place x of 1 of the series, in V.
func (p *projection) offset(x float64) float64 {
	base := p.coef[2*len(p.tones):]
	at := make([]float64, len(base)-1)
	p.series.drifts.at(x, at)
	return base[0] + floats.Dot(base[1:], at)
}

// squares returns the sum of squared residuals.
func (p *projection) squares() float64 {
	var s float64
	for _, r := range p.residual {
		s += r * r
	}
	return s
}
