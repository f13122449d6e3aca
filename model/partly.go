package model

import "math"

// coverRead is the standard uncertainty of the fraction covered, as it is set
// and read on a bench: half a per cent of the winding either way, a rectangular
// distribution (JCGM 100:2008, 4.3.7).
const coverRead = 0.0029

// endRead returns the standard uncertainty of the fraction that a core covers in s. Of
// beads, nobody knows whether the last one or half the gap behind it was read.
func (f *forward) endRead(s *State) float64 {
	if l, ok := f.resonator.(*ladder); ok {
		return math.Hypot(coverRead, l.gap(s.Core)/2/math.Sqrt(3))
	}
	return coverRead
}

// partly tells whether a core covers the winding partly in s.
func (s *State) partly() bool { return s.Core != "" && s.To-s.From < 1 }

// modelUncertainty returns the relative standard uncertainty of a frequency
// that the model gives for s at x: that of the resonator for a partly covered
// winding, and that of where the core's end stands.
func (f *forward) modelUncertainty(x []float64, s *State) float64 {
	if !s.partly() {
		return 0
	}
	model := 0.0
	if l, ok := f.resonator.(*ladder); ok {
		model = l.partly(s.Core)
	} else if c := f.core(s.Core); c != nil {
		model = f.endsUncertainty(x, c, s)
	}
	end := f.coverSlope(x, s) * f.endRead(s)
	if math.IsNaN(end) {
		return model
	}
	return math.Hypot(model, end)
}

// endsUncertainty is what the line's picture of the ends of winding and core leaves
// open in state s, however far they reach.
func (f *forward) endsUncertainty(x []float64, c *coreUnknown, s *State) float64 {
	k := coveredInTheMiddle
	if s.From == 0 {
		k = coveredFromEnd
	}
	f.at(x, s)
	gain, _, _ := f.apparent(x, c, s)
	if u := math.Abs(f.resonance.Cores[0].PerGain * math.Expm1(x[c.at]) / gain * k); finite(u) {
		return u
	}
	return 0
}

// coverSlope returns ∂ln f/∂To of s, from the line.
func (f *forward) coverSlope(x []float64, s *State) float64 {
	line := *f
	line.resonator, line.winding, line.resonance = &Line{}, Winding{}, Resonance{}
	const h = 1e-3
	lo, hi := *s, *s
	lo.To, hi.To = math.Max(s.To-h, s.From), math.Min(s.To+h, 1)
	return math.Log(line.ideal(x, &hi, nil)/line.ideal(x, &lo, nil)) / (hi.To - lo.To)
}
