package ringing

import (
	"cmp"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/floats"

	"fitcoil/stable"
)

// add adds sign times the model to y, the samples from index first of the
// stretch on, in V.
func (p *projection) add(y []float64, first int, sign float64) {
	base := p.coef[2*len(p.tones):]
	for i := range y {
		y[i] += sign * base[0]
	}
	if len(base) > 1 {
		n := float64(len(p.series.re) * p.series.block)
		at := make([]float64, len(base)-1)
		for i := range y {
			p.series.drifts.at((float64(first+i)+0.5)/n, at)
			y[i] += sign * floats.Dot(base[1:], at)
		}
	}
	const anew = 256 // against rounding of the running product
	t := p.series.sampling
	for k, tn := range p.tones {
		amp := complex(sign*p.coef[2*k], sign*p.coef[2*k+1])
		step := cmplx.Exp(complex(-tn.alpha*t, tn.omega*t))
		for from := 0; from < len(y); from += anew {
			at := float64(first+from) * t
			z := amp * cmplx.Rect(math.Exp(-tn.alpha*at), math.Remainder(tn.omega*at, 2*math.Pi))
			for i := from; i < min(from+anew, len(y)); i++ {
				y[i] += real(z)
				z *= step
			}
		}
	}
}

// strongestFirst returns the same fit with its tones in order of energy.
func (p *projection) strongestFirst() *projection {
	length := p.series.length()
	energy := func(k int) float64 {
		a, b, alpha := p.coef[2*k], p.coef[2*k+1], p.tones[k].alpha
		lasts := length
		if x := 2 * alpha * length; math.Abs(x) > 1e-9 {
			lasts = -math.Expm1(-x) / (2 * alpha)
		}
		return (a*a + b*b) * lasts
	}
	order := make([]int, len(p.tones))
	for i := range order {
		order[i] = i
	}
	stable.Sort(order, func(i, j int) int { return cmp.Compare(energy(j), energy(i)) })
	tones := make([]tone, len(order))
	for i, k := range order {
		tones[i] = p.tones[k]
	}
	sorted := project(p.series, tones)
	sorted.atStart()
	return sorted
}
