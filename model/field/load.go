package field

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
)

// load is a pattern at one gain: what a core adds to a ladder's operators.
type load struct {
	*pattern
	weight  []float64 // of the rows of b
	perGain []float64 // its derivative to the gain
	along   []float64 // working memory
}

// set takes the material from full, the pattern of a core all along the
// winding, which has the gain g.
func (l *load) set(p, full *pattern, g float64) {
	l.pattern = p
	k := len(p.n)
	if cap(l.weight) < k {
		l.weight, l.perGain, l.along = make([]float64, k), make([]float64, k), make([]float64, k)
	}
	l.weight, l.perGain, l.along = l.weight[:k], l.perGain[:k], l.along[:k]
	kappa, factor := full.material(g)
	if kappa == 0 || factor != 1 {
		for i, n := range p.n {
			l.weight[i] = factor / (kappa + n)
			l.perGain[i] = l.weight[i] / (g - 1)
		}
		return
	}
	// With u = scale/(κ+n), which has a limit at κ = ∞.
	scale := math.Max(1, math.Abs(kappa))
	slope := 0.0
	for i, s := range full.sums {
		u := s * inverse(kappa, full.n[i], scale)
		slope += u * u
	}
	for i, n := range p.n {
		u := inverse(kappa, n, scale)
		l.weight[i] = u / scale
		l.perGain[i] = u * u / slope
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
	floats.Mul(l.along, l.weight)
	blas64.Gemv(blas.Trans, 1, b, vector(l.along), 1, vector(phi))
}

// energy returns the derivative of twice the magnetic energy to the gain.
func (l *load) energy(i []float64) float64 {
	blas64.Gemv(blas.NoTrans, 1, l.b.RawMatrix(), vector(i), 0, vector(l.along))
	sum := 0.0
	for k, x := range l.along {
		sum += x * x * l.perGain[k]
	}
	return sum
}

func vector(x []float64) blas64.Vector { return blas64.Vector{N: len(x), Inc: 1, Data: x} }
