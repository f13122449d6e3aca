package resonance

import "math"

// The parameters of a line: ln f₀, ln Q, ln a, u, v.
const (
	lnFrequency = iota
	lnQuality
	lnPeak
	directReal
	directImaginary
	parameters
)

// line returns ln|A(f)| at the parameters b and writes its derivatives into g,
// which may be zero. With |1/(1+iX) + u + iv|² = N/(1+X²),
//
//	N = (1 + u − vX)² + (v + uX)².
func line(f float64, b, g []float64) float64 {
	f0, q := math.Exp(b[lnFrequency]), math.Exp(b[lnQuality])
	u, v := b[directReal], b[directImaginary]
	x := q * (f/f0 - f0/f)
	re, im := 1+u-v*x, v+u*x
	n := re*re + im*im
	if g != nil {
		slope := (-re*v+im*u)/n - x/(1+x*x) // ∂/∂X
		g[lnFrequency] = -slope * q * (f/f0 + f0/f)
		g[lnQuality] = slope * x
		g[lnPeak] = 1
		g[directReal] = (re + im*x) / n
		g[directImaginary] = (-re*x + im) / n
	}
	return b[lnPeak] + math.Log(n/(1+x*x))/2
}

// slope returns d ln|A|/df at f [1/Hz].
func slope(f float64, b []float64) float64 {
	h := 1e-6 * f
	return (line(f+h, b, nil) - line(f-h, b, nil)) / (2 * h)
}
