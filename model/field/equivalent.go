package field

import (
	"math"
)

// equivalent is the Ladder's state that resonates as a drawn coil does, both
// bare and with three times its capacitance.
type equivalent struct {
	ladder *Ladder
	state  State
	mode   Mode
}

// equivalent finds the winding's and the top's capacitance for a circuit of c
// without a core; the inductance is the circuit's own.
//
// With a given share of the top, the bare resonance fixes the size of both. The
// larger that share, the more an added capacitance lowers the resonance, since
// spread capacitance counts less under load. So the loaded resonance fixes the
// share, at its bounds 0 or 1 if it can't be met.
func (c Coil) equivalent(k circuit) (*equivalent, error) {
	ladder, err := NewLadder(Shape{Diameter: c.Diameter, Length: c.Length, Height: c.Height, Primary: c.Primary, Insulators: c.Insulators(), Metal: c.Metal})
	if err != nil {
		return nil, err
	}
	var m Mode
	k.resonate(0, &m)
	bare, load := m.Omega, 2*m.Capacitance
	k.resonate(load, &m)

	eq := &equivalent{ladder: ladder}
	lo, hi := 0.0, 1.0
	for range 40 {
		share := (lo + hi) / 2
		eq.state = State{Inductance: k.inductance(), Capacitance: load * (1 - share), Top: load * share}
		scale := eq.omega(0) / bare
		scale *= scale
		eq.state.Capacitance *= scale
		eq.state.Top *= scale
		if eq.omega(load) > m.Omega {
			lo = share
		} else {
			hi = share
		}
	}
	return eq, nil
}

// omega returns the resonance with an added capacitance.
func (eq *equivalent) omega(added float64) float64 {
	s := eq.state
	s.Top += added
	eq.ladder.Resonate(s, &eq.mode)
	return eq.mode.Omega
}

// topFor returns the top capacitance that brings the bare resonance to omega.
func (eq *equivalent) topFor(omega float64) float64 {
	at := *eq
	for range 50 {
		step := math.Log(omega/at.omega(0)) / at.mode.PerTop
		at.state.Top += step
		if math.Abs(step) < 1e-10*eq.state.Capacitance {
			break
		}
	}
	return at.state.Top
}
