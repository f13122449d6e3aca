package model

import (
	"math"

	"fitcoil/model/field"
)

// Relative standard uncertainties of a frequency that the ladder gives for a
// partly covered winding, with the core drawn or merely guessed: the rms of
// sweeps of insertions simulated with the full field; see docs/field.md.
const (
	partlyDrawn   = 0.0003
	partlyGuessed = 0.003
)

// ladder is the winding as coupled slices of known shape: the resonator of a
// coil whose diameter and length are known.
type ladder struct {
	field *field.Ladder
	mode  field.Mode
	state field.State
	drawn bool // the ladder knows the core
}

// partly returns the uncertainty for a partly covered winding.
func (l *ladder) partly() float64 {
	if l.drawn {
		return partlyDrawn
	}
	return partlyGuessed
}

// Resonate finds the lowest resonance of w.
func (l *ladder) Resonate(w Winding, r *Resonance) {
	r.reserve(len(w.Cores))
	l.state = field.State{Inductance: w.Inductance, Capacitance: w.Capacitance, Top: w.Top, Cores: l.state.Cores[:0]}
	for _, s := range w.Cores {
		l.state.Cores = append(l.state.Cores, field.Stretch{From: s.From, To: s.To, Gain: s.Gain, Capacitance: s.Capacitance})
	}
	m := &l.mode
	l.field.Resonate(l.state, m)
	if math.IsNaN(m.Omega) {
		r.void()
		return
	}
	r.Omega, r.Capacitance = m.Omega, m.Capacitance
	r.BaseCurrent = m.BaseCurrent
	r.PerWinding, r.PerTop = m.PerWinding, m.PerTop
	for i, c := range m.Cores {
		r.Cores[i] = CoreShare{PerGain: c.PerGain, PerCapacitance: c.PerCapacitance}
	}
}
