package resonator

import (
	"math"

	"fitcoil/model/field"
)

// Relative standard uncertainties of a frequency that the ladder gives for a
// partly covered winding: with the core drawn, the rms of sweeps of insertions simulated
// with the full field (docs/field.md); with a core that nobody described, the rms for
// cores slid into six coils, 2 to 40 diameters long, which stick out by what isn't in (computed,
// TestUndescribedCore).
const (
	PartlyDrawn   = 0.0003
	PartlyGuessed = 0.01
)

// Ladder is the winding as coupled sections of known shape: the resonator of a
// coil whose diameter and length are known.
type Ladder struct {
	Field *field.Ladder
	mode  field.Mode
	state field.State

	core *DrawnCore // nil where no core is drawn
}

// DrawnCore is what a ladder knows of a core that is drawn.
type DrawnCore struct {
	Name   string  // "" for any
	Length float64 // m
	Gap    float64 // between its beads, a fraction of the winding
}

// NewLadder returns the resonator for the winding of l, which knows the core c if
// there is one.
func NewLadder(l *field.Ladder, c *DrawnCore) *Ladder { return &Ladder{Field: l, core: c} }

// Knows tells whether the named core is the one drawn.
func (l *Ladder) Knows(core string) bool {
	return l.core != nil && (l.core.Name == "" || l.core.Name == core)
}

// Gap returns the gap between the beads of the named core, as a fraction of the winding;
// 0 for a core that isn't drawn.
func (l *Ladder) Gap(core string) float64 {
	if !l.Knows(core) {
		return 0
	}
	return l.core.Gap
}

// Polarisation returns what the core as drawn adds to the winding's capacitance at full
// coverage [F].
func (l *Ladder) Polarisation() float64 { return l.Field.CoreCapacitance() }

// Partly returns the uncertainty for a winding that the named core covers partly.
func (l *Ladder) Partly(core string) float64 {
	if l.Knows(core) {
		return PartlyDrawn
	}
	return PartlyGuessed
}

// slid returns the whole length of a core that is slid in as far as s tells, and sticks
// out at the end that it covers; 0 for one of unknown length, or that ends inside.
func (l *Ladder) slid(s *Stretch) float64 {
	if l.Knows(s.Core) && (s.From == 0) != (s.To == 1) {
		return l.core.Length
	}
	return 0
}

// Profile returns the mode of the last resonance along a winding of that length [m].
func (l *Ladder) Profile(length float64) field.Profile { return l.mode.Profile(length) }

// Resonate finds the lowest resonance of w.
func (l *Ladder) Resonate(w Winding, r *Resonance) {
	r.reserve(len(w.Cores))
	l.state = field.State{Inductance: w.Inductance, Capacitance: w.Capacitance, Top: w.Top, Cores: l.state.Cores[:0]}
	for i := range w.Cores {
		s := &w.Cores[i]
		l.state.Cores = append(l.state.Cores, field.Stretch{From: s.From, To: s.To, Length: l.slid(s), Gain: s.Gain, Capacitance: s.Capacitance})
	}
	m := &l.mode
	l.Field.Resonate(l.state, m)
	if math.IsNaN(m.Omega) {
		r.void()
		return
	}
	r.Omega, r.Capacitance = m.Omega, m.Capacitance
	r.BaseCurrent, r.Coupling = m.BaseCurrent, m.Coupling
	r.PerWinding, r.PerTop = m.PerWinding, m.PerTop
	copy(r.Cores, m.Cores)
}
