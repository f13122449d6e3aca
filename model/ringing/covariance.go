package ringing

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// covariance returns the covariance of ω and α (both rad/s) of each tone, of
// Re A and Im A of each tone, and of the offset, in this order, for noise of
// the given colour. The fit weighs all rows alike, so with J = Q·T it is
// T⁻¹ (QᵀΣQ) T⁻ᵀ, Σ being the covariance of the noise (the "sandwich"; White,
// Econometrica 48 (1980) 817, in a form for stationary noise).
func (p *projection) covariance(c colour) [][]float64 {
	cols := append(p.columns(), p.tangents()...)
	o := orthonormalise(cols)
	if o == nil {
		return nil
	}
	cov := o.propagate(p.series.weigh(o.q, c))
	linear, nonlinear := len(p.coef), 2*len(p.tones)
	order := make([]int, 0, linear+nonlinear)
	scale := make([]float64, 0, linear+nonlinear)
	for j := range nonlinear {
		order, scale = append(order, linear+j), append(scale, p.unit)
	}
	for j := range linear {
		order, scale = append(order, j), append(scale, 1)
	}
	out := make([][]float64, len(order))
	for i := range out {
		out[i] = make([]float64, len(order))
		for j := range out[i] {
			out[i][j] = scale[i] * scale[j] * cov[order[i]][order[j]]
		}
	}
	return out
}

// weigh returns QᵀΣQ. The noise being stationary, it is the integral of the
// columns' cross spectra over the noise's density (Parseval), with zero
// padding against the circle's closing.
func (s *series) weigh(q [][]float64, c colour) [][]float64 {
	w := make([][]float64, len(q))
	for i := range w {
		w[i] = make([]float64, len(q))
		w[i][i] = c.innovation
	}
	if c.white() {
		return w
	}
	n := len(s.re)
	size := padded(n + n/8 + mostOrders)
	fft := fourier.NewCmplxFFT(size)
	spectra := make([][]complex128, len(q))
	for i, col := range q {
		seq := make([]complex128, size)
		for m := range n {
			seq[m] = complex(col[m], 0)
			if s.im != nil {
				seq[m] = complex(col[m], col[n+m])
			}
		}
		spectra[i] = fft.Coefficients(nil, seq)
	}
	density := make([]float64, size)
	for k := range density {
		density[k] = c.density(2*math.Pi*float64(k)/float64(size)) / float64(size)
	}
	for i := range w {
		for j := range i + 1 {
			var sum float64
			for k, d := range density {
				a, b := spectra[i][k], spectra[j][k]
				sum += d * (real(a)*real(b) + imag(a)*imag(b))
			}
			w[i][j], w[j][i] = sum, sum
		}
	}
	return w
}
