package forward

import (
	"math"
	"slices"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// CoverRead is the standard uncertainty of the fraction covered, as it is set
// and read on a bench: half a per cent of the winding either way, a rectangular
// distribution (JCGM 100:2008, 4.3.7).
const CoverRead = 0.0029

// EndRead returns the standard uncertainty of the fraction that a core covers in s. Of
// beads, nobody knows whether the last one or half the gap behind it was read.
func (f *Model) EndRead(s *readings.State) float64 {
	if l, ok := f.Resonator.(*resonator.Ladder); ok {
		return math.Hypot(CoverRead, l.Gap(s.Core)/2/math.Sqrt(3))
	}
	return CoverRead
}

// ModelUncertainty returns the relative standard uncertainty of a frequency
// that the model gives for s at x: that of the resonator for a partly covered
// winding, and that of where the core's end stands.
func (f *Model) ModelUncertainty(x []float64, s *readings.State) float64 {
	if !s.Partly() {
		return 0
	}
	model := 0.0
	if l, ok := f.Resonator.(*resonator.Ladder); ok {
		model = l.Partly(s.Core)
	} else if c := f.Core(s.Core); c != nil {
		model = f.EndsUncertainty(x, c, s)
	}
	end := f.CoverSlope(x, s) * f.EndRead(s)
	if math.IsNaN(end) {
		return model
	}
	return math.Hypot(model, end)
}

// EndsUncertainty is what the line's picture of the ends of winding and core leaves
// open in state s, however far they reach.
func (f *Model) EndsUncertainty(x []float64, c *coreUnknown, s *readings.State) float64 {
	k := resonator.CoveredInTheMiddle
	if s.From == 0 {
		k = resonator.CoveredFromEnd
	}
	f.At(x, s)
	gain, _, _ := f.apparent(x, c, s)
	if u := math.Abs(f.Resonance.Cores[0].PerGain * math.Expm1(x[c.At]) / gain * k); quantities.Finite(u) {
		return u
	}
	return 0
}

// CoverSlope returns ∂ln f/∂To of s, from the line.
func (f *Model) CoverSlope(x []float64, s *readings.State) float64 {
	line := *f
	line.Resonator, line.winding, line.Resonance = &resonator.Line{}, resonator.Winding{}, resonator.Resonance{}
	const h = 1e-3
	lo, hi := *s, *s
	lo.To, hi.To = math.Max(s.To-h, s.From), math.Min(s.To+h, 1)
	return math.Log(line.Ideal(x, &hi, nil)/line.Ideal(x, &lo, nil)) / (hi.To - lo.To)
}

// lawSpread is the standard uncertainty of the logarithm of a hand's capacitance by the
// law, where one distance was read, over that of the distance: a third of the variance that the
// priors of the law leave there. With n distances read it is 1/n of that: with the hands of six field
// calculations the law through 10, 20 and 40 cm is off by 4 to 6 % at 5 cm and by 1 % at 15
// and 30 cm, that through 10 and 20 cm by 16 to 21 % at 40 cm (computed,
// TestHandAtOtherDistance).
const lawSpread = 0.35

// LawUncertainty returns the relative standard uncertainty of the frequency of s that the
// hand's law leaves at a distance not read: lawSpread/n · x in that of the capacitance, with
//
//	x = Π |ln(d/dᵢ)| / (1 + L)^(k−1)
//
// over the smallest, the middle and the largest distance read, k of them, L the logarithm of
// the largest over the smallest. It is smooth, and nothing where it was read. The mode is that
// which At, or Frequency, was last brought to: of s.
func (f *Model) LawUncertainty(x []float64, s *readings.State) float64 {
	n := len(f.Distances)
	if math.IsInf(s.Hand, 1) || f.Hand < 0 || n == 0 {
		return 0
	}
	whole := 1 + math.Log(f.Distances[n-1]/f.Distances[0])
	away := whole * lawSpread / float64(n)
	for _, i := range slices.Compact([]int{0, n / 2, n - 1}) {
		away *= math.Log(s.Hand/f.Distances[i]) / whole
	}
	if s.Primary.Kind != readings.PrimaryOpen { // Frequency leaves another
		f.At(x, s)
	}
	return math.Abs(f.Resonance.PerTop * f.handCapacitance(x, s.Hand) * away)
}

// Frequency returns the resonance frequency of s [Hz] and, when grad isn't
// nil, writes ∂ln f/∂x to it: by all unknowns, or as in a row of the fit where it is
// that short (see Unknowns.Width).
func (f *Model) Frequency(x []float64, s *readings.State, grad []float64) float64 {
	k := f.Place(s)
	if k < 0 {
		return f.Ideal(x, s, grad)
	}
	model := f.ModelUncertainty(x, s)
	hz := f.Ideal(x, s, grad)
	if grad != nil {
		grad[k] = InCommon * model
	}
	return hz * math.Exp(InCommon*model*x[k])
}

// Drifted returns the factor on frequencies read at a moment from −½ to ½ of the session,
// and its logarithm's derivative to x[drift].
func (f *Model) Drifted(x []float64, moment float64) (factor, slope float64) {
	if f.Drift < 0 {
		return 1, 0
	}
	slope = DriftSigma * moment
	return math.Exp(x[f.Drift] * slope), slope
}
