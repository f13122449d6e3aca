package model

import "math"

// partlyCovered returns the relative standard uncertainty of a frequency that the
// line gives for a winding partly covered by a core of the gain given. It knows no
// mutual inductance between covered and free turns. Fits of the line to field
// calculations with some twenty insertions are off by 0.4 % rms at a gain of 1.3, 2.2 %
// at 3.6, 3.2 % at 4.5 and 6.7 % at 9.3 (docs/field.md), which this follows within a
// third for slim coils; a squat one was off by 1.3 % at 1.7.
func partlyCovered(gain float64) float64 {
	return math.Min(0.01*math.Max(gain-1, 0), 0.3)
}

// coverRead is the standard uncertainty of the fraction covered, as it is set
// and read on a bench: half a per cent of the winding either way, a rectangular
// distribution (JCGM 100:2008, 4.3.7).
const coverRead = 0.0029

// uncertainty returns the standard uncertainty of the frequency read, together
// with that of the model for its state [Hz].
func (f *forward) uncertainty(x []float64, r *Reading) float64 {
	return math.Hypot(r.Uncertainty, f.modelUncertainty(x, &r.State)*r.Frequency)
}

// modelFree tells whether the model adds nothing to the uncertainty of a reading in
// state s.
func (f *forward) modelFree(s *State) bool { return s.Core == "" || s.To-s.From >= 1 }

// modelUncertainty returns the relative standard uncertainty of a frequency
// that the model gives for s at x: that of the resonator for a partly covered
// winding, and that of where the core's end stands.
func (f *forward) modelUncertainty(x []float64, s *State) float64 {
	if f.modelFree(s) {
		return 0
	}
	model := 0.0
	if k := f.core(s.Core); k >= 0 {
		model = partlyCovered(math.Exp(x[k]))
	}
	if l, ok := f.resonator.(*ladder); ok {
		model = l.partly()
	}
	end := f.coverSlope(x, s) * coverRead
	if math.IsNaN(end) {
		return model
	}
	return math.Hypot(model, end)
}

// coverSlope returns ∂ln f/∂To of s, from the line.
func (f *forward) coverSlope(x []float64, s *State) float64 {
	line := *f
	line.resonator, line.winding, line.resonance = &Line{}, Winding{}, Resonance{}
	const h = 1e-3
	lo, hi := *s, *s
	lo.To, hi.To = math.Max(s.To-h, s.From), math.Min(s.To+h, 1)
	return math.Log(line.frequency(x, &hi, nil)/line.frequency(x, &lo, nil)) / (hi.To - lo.To)
}
