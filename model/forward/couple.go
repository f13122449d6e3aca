package forward

import (
	"math"

	"fitcoil/model/coupling"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// couple returns the frequency of s [Hz] with its primary, given that with an open one,
// and takes grad, ∂ln f/∂x, along.
func (f *Model) couple(x []float64, s *readings.State, open float64, grad []float64) float64 {
	c := f.Coupled(s)
	if c == nil {
		return math.NaN()
	}
	square := -math.Expm1(-2 * x[c.At])
	slope := math.Exp(-2*x[c.At]) / square // ∂ln k/∂x
	var other []float64                    // ∂ln k by what shapes the mode
	if s.Besides() {
		var change float64
		if change, other = f.transfer(x, s, c, grad); quantities.Finite(change) {
			square = math.Min(square*math.Exp(2*change), 1-1e-9)
		}
	}
	hz, perOpen, perCoupling := open/math.Sqrt(1-square), 1.0, square/(1-square)
	t := -1
	var peak coupling.Peak
	if s.Primary.Kind == readings.PrimaryTuned {
		if t = c.TunedAt(s); t < 0 {
			return math.NaN()
		}
		k := math.Sqrt(square)
		lower, upper := coupling.Peaks(open, math.Exp(x[t]), k)
		if peak = lower; s.Primary.Upper {
			peak = upper
		}
		hz, perOpen, perCoupling = peak.Frequency, peak.PerF1, peak.PerK*k
	}
	if grad == nil {
		return hz
	}
	for j := range grad {
		grad[j] *= perOpen
		if other != nil {
			grad[j] += perCoupling * other[j]
		}
	}
	grad[c.At] += perCoupling * slope
	if t >= 0 {
		grad[t] += peak.PerF2
	}
	return hz
}

// transfer returns the logarithm of the coupling at resonance in s over that in its
// reference, by the mode, and its derivatives where grad, those of the frequency, isn't
// nil: by differences, for what the frequency hangs on.
func (f *Model) transfer(x []float64, s *readings.State, c *CoupledUnknown, grad []float64) (change float64, slopes []float64) {
	ref := c.Reference()
	change = f.byMode(x, s) - f.byMode(x, &ref)
	if grad == nil {
		return change, nil
	}
	slopes = make([]float64, len(grad))
	moved := append([]float64(nil), x...)
	for j, at := range x {
		k := f.slot(j, len(grad))
		if j == AtL || grad[k] == 0 || k == f.Common() && len(grad) < f.N && j != f.Common()+f.OwnPart(s) {
			continue
		}
		slopes[k] = f.difference(moved, j, func() float64 { return f.byMode(moved, s) - f.byMode(moved, &ref) })
		moved[j] = at
	}
	return change, slopes
}

// difference returns the central difference of v by x[j], which it leaves moved.
func (f *Model) difference(x []float64, j int, v func() float64) float64 {
	const h = 1e-5
	lo, hi := x[j]-h, x[j]+h
	if j == f.Share {
		lo, hi = math.Max(lo, 0), math.Min(hi, 1)
	}
	x[j] = hi
	above := v()
	x[j] = lo
	return (above - v()) / (hi - lo)
}

// byMode returns ln of the coupling at resonance in s over that of the windings.
func (f *Model) byMode(x []float64, s *readings.State) float64 {
	f.At(x, s)
	return math.Log(f.Resonance.Coupling)
}

// Ideal is frequency without what the resonator is known to err by in s.
func (f *Model) Ideal(x []float64, s *readings.State, grad []float64) float64 {
	f.At(x, s)
	if grad != nil {
		f.gradient(x, s, grad)
	}
	hz := f.Resonance.Omega / (2 * math.Pi)
	if s.Primary.Kind != readings.PrimaryOpen {
		return f.couple(x, s, hz, grad)
	}
	return hz
}
