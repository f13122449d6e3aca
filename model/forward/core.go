package forward

import (
	"math"

	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// apparent returns the gain that a resonator needs for core c where it is in s, with
// its derivatives with respect to ln g and the unknown of the ends. The ladder's slices
// know of ends themselves.
func (f *Model) apparent(x []float64, c *coreUnknown, s *readings.State) (gain, perGain, perEnds float64) {
	g := f.gain.exp(x[c.At])
	if c.Ends < 0 {
		return g, g, 0
	}
	k, perE := resonator.Covered(s.From, s.To, x[c.Ends])
	if g < 1 && 1+(g-1)*k < g/2 { // a core that weakens the field can't take more than all
		k, perE = 1, 0
	}
	return 1 + (g-1)*k, g * k, (g - 1) * perE
}

// moved returns the share of the winding's capacitance that the core c, all along the winding,
// moves in the line that resonates alike, and its derivative with respect to the unknown of it.
// Where it is partly in, what it moves is among what the model errs by.
func (c *coreUnknown) moved(x []float64, s *readings.State) (share, per float64) {
	if c.Ends < 0 || s.Partly() {
		return 0, 0
	}
	share = resonator.MovedMean * math.Exp(resonator.MovedSigma*x[c.Ends+1])
	return share, share * resonator.MovedSigma
}

// spread returns the part of the coil's capacitance that the core of s adds to: that
// of the winding along its stretch. Where all is at the top, the voltage rises evenly
// along the winding, and what sits along the stretch counts at the top with the square
// of it.
func (f *Model) spread(share float64, s *readings.State) float64 {
	if f.Share < 0 {
		return s.To*s.To*s.To - s.From*s.From*s.From
	}
	return (1 - share) * (s.To - s.From)
}

// Polarisation returns what the resonator knows of itself that a core adds to the
// winding's capacitance at full coverage [F]: what it polarises as drawn.
func (f *Model) Polarisation() float64 {
	if l, ok := f.Resonator.(*resonator.Ladder); ok {
		return l.Polarisation()
	}
	return 0
}
