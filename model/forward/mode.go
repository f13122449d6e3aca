package forward

import (
	"math"

	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// At brings the resonance of state s at x into f.resonance. It is void (NaN)
// when s needs an unknown that x doesn't hold.
func (f *Model) At(x []float64, s *readings.State) {
	l, c := f.coil(x)
	share := 1.0
	if f.Share >= 0 {
		share = x[f.Share]
	}
	w := &f.winding
	w.Inductance = l
	w.Capacitance = (1 - share) * c
	w.Top = share*c + s.Exact
	for _, p := range s.Parts {
		w.Top += f.Part(x, p)
	}
	w.Top += f.leadCapacitance(x, s)
	w.Top += f.handCapacitance(x, s.Hand)
	w.Cores = w.Cores[:0]
	if s.Core != "" {
		gain, extra := math.NaN(), math.NaN()
		if k := f.Core(s.Core); k != nil {
			gain, _, _ = f.apparent(x, k, s)
			extra = f.spread(share, s) * c * math.Expm1(x[k.At+1])
			if f.Share >= 0 {
				moved, _ := k.moved(x, s)
				moved *= f.spread(share, s) * c
				extra -= moved
				w.Top += resonator.MovedToTop * moved
			}
		}
		if f.Share < 0 { // all capacitance is at the top, the core's too
			w.Top += extra
			extra = 0
		}
		w.Cores = append(w.Cores, resonator.Stretch{From: s.From, To: s.To, Gain: gain, Capacitance: extra, Core: s.Core})
	}
	f.Resonator.Resonate(*w, &f.Resonance)
}

// CopperShare returns the square of the current over the magnetic energy in the mode that At
// was last brought to, against a coil in air: what a core holds of the energy, its copper
// would have held as well.
func (f *Model) CopperShare() float64 {
	out := 1.0
	for i, c := range f.Resonance.Cores {
		share := -2 * c.PerGain
		out += share/f.winding.Cores[i].Gain - share
	}
	return out
}

func (f *Model) gradient(x []float64, s *readings.State, grad []float64) {
	clear(grad)
	r := &f.Resonance
	_, c := f.coil(x)
	grad[AtL] = -0.5
	share := 1.0
	if f.Share >= 0 {
		share = x[f.Share]
		grad[f.Share] = c * (r.PerTop - r.PerWinding)
	}
	grad[AtC] = c * (share*r.PerTop + (1-share)*r.PerWinding)
	if k := f.Core(s.Core); s.Core != "" && k != nil {
		perExtra := r.Cores[0].PerCapacitance
		if f.Share < 0 {
			perExtra = r.PerTop
		}
		gain, perGain, perEnds := f.apparent(x, k, s)
		per := r.Cores[0].PerGain / gain
		grad[k.At] = per * perGain
		if k.Ends >= 0 {
			grad[k.Ends] = per * perEnds
		}
		stretch := f.spread(share, s) * c
		perStretch := math.Expm1(x[k.At+1]) * perExtra
		grad[k.At+1] = math.Exp(x[k.At+1]) * stretch * perExtra
		if k.Ends >= 0 && f.Share >= 0 {
			perMoved := resonator.MovedToTop*r.PerTop - perExtra
			moved, per := k.moved(x, s)
			grad[k.Ends+1] = per * stretch * perMoved
			perStretch += moved * perMoved
		}
		grad[AtC] += stretch * perStretch
		if f.Share >= 0 {
			grad[f.Share] -= c * (s.To - s.From) * perStretch
		}
	}
	for _, p := range s.Parts {
		f.partGradient(p, r.PerTop*f.Part(x, p), grad)
	}
	if f.Lead >= 0 && s.Clipped() {
		grad[f.Lead] = r.PerTop * LeadSigma
	}
	if hand := f.handCapacitance(x, s.Hand); hand > 0 {
		k := f.Hand
		d0, p := f.offset.exp(x[k+1]), x[k+2]
		near, scale := s.Hand+d0, f.HandScale+d0
		grad[k] = r.PerTop * hand
		grad[k+1] = r.PerTop * hand * p * d0 * (1/scale - 1/near)
		grad[k+2] = r.PerTop * hand * math.Log(scale/near)
		if at := f.nearAt(s.Hand); at >= 0 {
			grad[at] = r.PerTop * hand * HandSpread
		}
	}
}

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

// PlainLine returns Ω(s) and d ln Ω/ds of the uniform line with L = C = 1.
func (f *Model) PlainLine(x []float64) (omega, slope float64) {
	if f.Share < 0 {
		return 1, 0
	}
	s := x[f.Share]
	r := &f.plainMode
	f.plain.Resonate(resonator.Winding{Inductance: 1, Capacitance: 1 - s, Top: s}, r)
	return r.Omega, r.PerTop - r.PerWinding
}

// LumpedCapacitance returns the coil's capacitance as the lumped picture sees it, with the full
// inductance [F].
func (f *Model) LumpedCapacitance(x []float64) float64 {
	omega, _ := f.PlainLine(x)
	return math.Exp(x[AtC]) / (omega * omega)
}
