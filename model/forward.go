package model

import "math"

// forward turns unknowns and a state into a frequency. It keeps working memory
// from call to call: one per goroutine.
type forward struct {
	unknowns
	parts     []Part
	resonator Resonator
	winding   Winding
	resonance Resonance

	plain     Line // of plainLine
	plainMode Resonance

	coilOf [2]float64 // the logarithms that coil saw last
	l, c   float64    // what it returned
}

// newForward returns the forward model of newUnknowns.
func newForward(log *Log, r Resonator, lumped bool, known []Known, further []State) *forward {
	return &forward{unknowns: newUnknowns(log, r, lumped, known, further), parts: log.Parts, resonator: r}
}

// coil returns inductance and capacitance of the coil at x [H, F], which all
// readings of a pass have in common.
func (f *forward) coil(x []float64) (l, c float64) {
	if at := [2]float64{x[atL], x[atC]}; f.c == 0 || at != f.coilOf {
		f.coilOf, f.l, f.c = at, math.Exp(x[atL]), math.Exp(x[atC])
	}
	return f.l, f.c
}

// at brings the resonance of state s at x into f.resonance. It is void (NaN)
// when s needs an unknown that x doesn't hold.
func (f *forward) at(x []float64, s *State) {
	l, c := f.coil(x)
	share := 1.0
	if f.share >= 0 {
		share = x[f.share]
	}
	w := &f.winding
	w.Inductance = l
	w.Capacitance = (1 - share) * c
	w.Top = share*c + s.Exact
	for _, p := range s.Parts {
		w.Top += f.part(x, p)
	}
	w.Top += f.leadCapacitance(x, s)
	w.Top += f.handCapacitance(x, s.Hand)
	w.Cores = w.Cores[:0]
	if s.Core != "" {
		gain, extra := math.NaN(), math.NaN()
		if k := f.core(s.Core); k != nil {
			gain, _, _ = f.apparent(x, k, s)
			extra = f.spread(share, s) * c * math.Expm1(x[k.at+1])
		}
		if f.share < 0 { // all capacitance is at the top, the core's too
			w.Top += extra
			extra = 0
		}
		w.Cores = append(w.Cores, Stretch{s.From, s.To, gain, extra, s.Core})
	}
	f.resonator.Resonate(*w, &f.resonance)
}

// frequency returns the resonance frequency of s [Hz] and, when grad isn't
// nil, writes ∂ln f/∂x to it: by all unknowns, or as in a row of the fit where it is
// that short (see unknowns.width).
func (f *forward) frequency(x []float64, s *State, grad []float64) float64 {
	k := f.place(s)
	if k < 0 {
		return f.ideal(x, s, grad)
	}
	model := f.modelUncertainty(x, s)
	hz := f.ideal(x, s, grad)
	if grad != nil {
		grad[k] = inCommon * model
	}
	return hz * math.Exp(inCommon*model*x[k])
}

// ideal is frequency without what the resonator is known to err by in s.
func (f *forward) ideal(x []float64, s *State, grad []float64) float64 {
	f.at(x, s)
	if grad != nil {
		f.gradient(x, s, grad)
	}
	return f.resonance.Omega / (2 * math.Pi)
}

func (f *forward) gradient(x []float64, s *State, grad []float64) {
	clear(grad)
	r := &f.resonance
	_, c := f.coil(x)
	grad[atL] = -0.5
	share := 1.0
	if f.share >= 0 {
		share = x[f.share]
		grad[f.share] = c * (r.PerTop - r.PerWinding)
	}
	grad[atC] = c * (share*r.PerTop + (1-share)*r.PerWinding)
	if k := f.core(s.Core); s.Core != "" && k != nil {
		perExtra := r.Cores[0].PerCapacitance
		if f.share < 0 {
			perExtra = r.PerTop
		}
		gain, perGain, perEnds := f.apparent(x, k, s)
		per := r.Cores[0].PerGain / gain
		grad[k.at] = per * perGain
		if k.ends >= 0 {
			grad[k.ends] = per * perEnds
		}
		full := f.spread(share, s) * c * perExtra
		grad[k.at+1] = math.Exp(x[k.at+1]) * full
		grad[atC] += math.Expm1(x[k.at+1]) * full
		if f.share >= 0 {
			grad[f.share] -= math.Expm1(x[k.at+1]) * c * (s.To - s.From) * perExtra
		}
	}
	for _, p := range s.Parts {
		f.partGradient(x, p, r.PerTop*f.part(x, p), grad)
	}
	if f.lead >= 0 && s.clipped() {
		grad[f.lead] = r.PerTop * leadSigma
	}
	if hand := f.handCapacitance(x, s.Hand); hand > 0 {
		k := f.hand
		d0, p := math.Exp(x[k+1]), x[k+2]
		near, scale := s.Hand+d0, f.handScale+d0
		grad[k] = r.PerTop * hand
		grad[k+1] = r.PerTop * hand * p * d0 * (1/scale - 1/near)
		grad[k+2] = r.PerTop * hand * math.Log(scale/near)
	}
}

// spread returns the part of the coil's capacitance that the core of s adds to: that
// of the winding along its stretch. Where all is at the top, the voltage rises evenly
// along the winding, and what sits along the stretch counts at the top with the square
// of it.
func (f *forward) spread(share float64, s *State) float64 {
	if f.share < 0 {
		return s.To*s.To*s.To - s.From*s.From*s.From
	}
	return (1 - share) * (s.To - s.From)
}

// part returns the capacitance of part p [F]; NaN for an unknown part that x
// doesn't hold.
func (f *forward) part(x []float64, p int) float64 {
	part, k := &f.parts[p], f.partAt[p]
	switch {
	case part.Known && k < 0 && f.lotAt[p] < 0:
		return part.Capacitance
	case part.Known:
		return part.Capacitance * math.Exp(f.partError(x, p)*f.relative(p))
	case k < 0:
		return math.NaN()
	}
	return math.Exp(x[k])
}

// partError returns by how many of its standard uncertainties part p is off, its own
// error and its lot's together.
func (f *forward) partError(x []float64, p int) (e float64) {
	own, common := f.split(p)
	if k := f.partAt[p]; k >= 0 {
		e += own * x[k]
	}
	if k := f.lotAt[p]; k >= 0 {
		e += common * x[k]
	}
	return e
}

// partGradient adds to grad what a quantity with the derivative per to ln C of part p
// has.
func (f *forward) partGradient(x []float64, p int, per float64, grad []float64) {
	own, common := f.split(p)
	if k := f.partAt[p]; k >= 0 {
		grad[f.slot(k, len(grad))] += own * per * f.relative(p)
	}
	if k := f.lotAt[p]; k >= 0 {
		grad[k] += common * per * f.relative(p)
	}
}

// relative returns ∂ln C/∂x of part p: its relative standard uncertainty, or 1
// for a part without a value.
func (f *forward) relative(p int) float64 {
	if part := f.parts[p]; part.Known {
		return part.Uncertainty / part.Capacitance
	}
	return 1
}

// handCapacitance returns K/(d+d0)^p, the capacitance of a hand or grounded
// body at distance d [F]: nil at +Inf, NaN when x holds no hand.
func (f *forward) handCapacitance(x []float64, d float64) float64 {
	if math.IsInf(d, 1) {
		return 0
	}
	if f.hand < 0 {
		return math.NaN()
	}
	k := f.hand
	d0 := math.Exp(x[k+1])
	return math.Exp(x[k]) * math.Pow((f.handScale+d0)/(d+d0), x[k+2])
}

// added returns the sum of the parts on the top and of what they bring besides, as x
// has them [F].
func (f *forward) added(x []float64, s *State) float64 {
	c := s.Exact + f.leadCapacitance(x, s)
	for _, i := range s.Parts {
		c += f.part(x, i)
	}
	return c
}
