package forward

import (
	"math"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Model turns unknowns and a state into a frequency. It keeps working memory
// from call to call: one per goroutine.
type Model struct {
	Unknowns
	Parts     []readings.Part
	Resonator resonator.Resonator
	winding   resonator.Winding
	Resonance resonator.Resonance

	ValuesOnly bool // derivatives that take differences are left out: see Slopes

	plain     resonator.Line // of plainLine
	plainMode resonator.Resonance

	coilOf [2]float64 // the logarithms that coil saw last
	l, c   float64    // what it returned

	parts  [16]power // of the first of Parts
	offset power     // of the hand's law
	gain   power     // of the core that was seen last
	handOf [5]float64
	hand   float64 // capacitance that the law gave for handOf: unknowns, distance and error
}

// power keeps an exponential that the readings of a pass have in common.
type power struct{ of, is float64 }

func (p *power) exp(v float64) float64 {
	if p.is == 0 || v != p.of {
		p.of, p.is = v, math.Exp(v)
	}
	return p.is
}

// Fresh returns f with a resonator and working memory of its own.
func (f *Model) Fresh(r resonator.Resonator) *Model {
	return &Model{Unknowns: f.Unknowns, Parts: f.Parts, Resonator: r}
}

// New returns the forward model of newUnknowns.
func New(log *readings.Log, r resonator.Resonator, lumped bool, known []quantities.Known, earlier Earlier, further []readings.State) *Model {
	return &Model{Unknowns: newUnknowns(log, r, lumped, known, earlier, further), Parts: log.Parts, Resonator: r}
}

// coil returns inductance and capacitance of the coil at x [H, F], which all
// readings of a pass have in common.
func (f *Model) coil(x []float64) (l, c float64) {
	if at := [2]float64{x[AtL], x[AtC]}; f.c == 0 || at != f.coilOf {
		f.coilOf, f.l, f.c = at, math.Exp(x[AtL]), math.Exp(x[AtC])
	}
	return f.l, f.c
}
