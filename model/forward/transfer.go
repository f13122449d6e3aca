package forward

import (
	"math"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

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
