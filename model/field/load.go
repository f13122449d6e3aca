package field

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// load is a pattern at one gain: what a core adds to a ladder's operators.
type load struct {
	*pattern
	weight []float64 // 1/(κ+n)
	square []float64 // derivative of −weight to κ, over that of −gain: to the gain
	along  []float64 // working memory
}

// set takes the material from full, the pattern of a core all along the
// winding, which has the gain g.
func (l *load) set(p, full *pattern, g float64) {
	l.pattern = p
	k := len(p.n)
	if len(l.weight) != k {
		l.weight, l.square, l.along = make([]float64, k), make([]float64, k), make([]float64, k)
	}
	kappa := full.kappa(g)
	scale := 1.0 // of all κ+n, so that κ = ∞ has a finite limit
	if math.Abs(kappa) > 1 {
		scale = math.Abs(kappa)
	}
	slope := 0.0
	for i, s := range full.sums {
		d := s * inverse(kappa, full.n[i], scale)
		slope += d * d
	}
	for i, n := range p.n {
		d := inverse(kappa, n, scale)
		l.weight[i] = d / scale
		l.square[i] = d * d / slope
	}
}

// inverse returns scale/(κ+n).
func inverse(kappa, n, scale float64) float64 {
	if math.IsInf(kappa, 0) {
		return 1
	}
	return scale / (kappa + n)
}

// flux adds the core's flux for the currents i.
func (l *load) flux(phi, i []float64) {
	b := l.b.RawMatrix()
	blas64.Gemv(blas.NoTrans, 1, b, vector(i), 0, vector(l.along))
	for k, w := range l.weight {
		l.along[k] *= w
	}
	blas64.Gemv(blas.Trans, 1, b, vector(l.along), 1, vector(phi))
}

// perGain returns the derivative of twice the magnetic energy to the gain.
func (l *load) perGain(i []float64) float64 {
	blas64.Gemv(blas.NoTrans, 1, l.b.RawMatrix(), vector(i), 0, vector(l.along))
	sum := 0.0
	for k, x := range l.along {
		sum += x * x * l.square[k]
	}
	return sum
}
