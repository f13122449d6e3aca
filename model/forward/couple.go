package forward

import (
	"math"
	"slices"

	"fitcoil/model/coupling"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
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
	moved := slices.Clone(x)
	for j := range x {
		k := f.slot(j, len(grad))
		if j == AtL || grad[k] == 0 || k == f.Common() && len(grad) < f.N && j != f.Common()+f.OwnPart(s) {
			continue
		}
		slopes[k] = f.difference(moved, j, func(x []float64) float64 { return f.byMode(x, s) - f.byMode(x, &ref) })
	}
	return change, slopes
}

// difference returns the central difference of v by x[j], with which it works; the share stays
// inside [0, 1], with a one-sided difference at its ends.
func (f *Model) difference(x []float64, j int, v func(x []float64) float64) float64 {
	const h = 1e-5
	at := x[j]
	lo, hi := at-h, at+h
	if j == f.Share {
		lo, hi = math.Max(lo, 0), math.Min(hi, 1)
	}
	x[j] = hi
	above := v(x)
	x[j] = lo
	below := v(x)
	x[j] = at
	return (above - below) / (hi - lo)
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

// DrawnPrimary tells whether the resonator knows where the primary is.
func (f *Model) DrawnPrimary() bool {
	l, ok := f.Resonator.(*resonator.Ladder)
	return ok && l.Field.DrawsPrimary()
}

// What of ln(k at resonance/k of the windings) is taken as the standard uncertainty of
// the mode's say in it: with the primary drawn, in air and with the core drawn; with a
// primary taken to be at the grounded end, and with a core that isn't drawn. At the least,
// modeLeast. All are fitted to sessions simulated with the field model, of primaries
// anywhere along the winding, and from just below its end to 15 % of it (computed,
// TestCouplingCoverage).
const (
	modeDrawn, modeDrawnCore   = 0.03, 0.15
	modeAtFoot, modeAtFootCore = 0.01, 0.10
	modeLeast                  = 0.003
)

// modeUncertainty returns the relative standard uncertainty of a coupling that the mode
// carries over by the logarithm change, with or without a core.
func (f *Model) modeUncertainty(change float64, core string) float64 {
	l, ok := f.Resonator.(*resonator.Ladder)
	known := f.DrawnPrimary() && (core == "" || ok && l.Knows(core))
	part := modeAtFoot
	switch {
	case known && core == "":
		part = modeDrawn
	case known:
		part = modeDrawnCore
	case core != "":
		part = modeAtFootCore
	}
	return math.Hypot(modeLeast, part*change)
}

// TransferUncertainty returns the relative standard uncertainty that the mode leaves in
// the frequency of s, whose coupling was carried over from the bare coil.
func (f *Model) TransferUncertainty(x []float64, s *readings.State) float64 {
	c := f.Coupled(s)
	if s.Primary.Kind == readings.PrimaryOpen || c == nil || !s.Besides() {
		return 0
	}
	change, _ := f.transfer(x, s, c, nil)
	square := -math.Expm1(-2*x[c.At]) * math.Exp(2*change)
	u := square / (1 - square) * f.modeUncertainty(change, s.Core)
	if !quantities.Finite(u) || square >= 1 {
		return 0
	}
	return u
}
