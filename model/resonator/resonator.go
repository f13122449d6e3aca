package resonator

import (
	"math"

	"fitcoil/model/field"
)

// Resonator finds the lowest resonance of a winding, and its sensitivities.
type Resonator interface {
	// Resonate writes the lowest resonance of w to r. Every quantity is NaN
	// where there is none.
	Resonate(w Winding, r *Resonance)
}

// Winding is a coil in one state, in electrical terms: what a Resonator turns
// into a resonance.
type Winding struct {
	Inductance  float64   // H, whole winding in air
	Capacitance float64   // F, spread evenly along the winding
	Top         float64   // F, everything that hangs on the free end
	Cores       []Stretch // cores inside, from the grounded end up, not overlapping
}

// Stretch is a core that covers part of a winding.
type Stretch struct {
	From, To    float64 // covered fraction of the winding, 0 = grounded end, 1 = top
	Gain        float64 // factor on the inductance per length there
	Capacitance float64 // F, what the core adds along the stretch
	Core        string  // its name
}

// Resonance is the lowest resonance of a winding whose base is grounded, with
// the sensitivities that its stored energies give.
//
// At resonance the mean electric energy W_E and the mean magnetic energy W_M
// are equal, and a small change of an element shifts ω by its share of them:
// ∂ln ω/∂ln L_i = −½ W_M,i/W_M, and the same for a capacitance with W_E
// (Rayleigh's principle; The Theory of Sound, 2nd ed., vol. 1, §§ 88-90).
type Resonance struct {
	Omega       float64 // rad/s
	Capacitance float64 // F, effective at the top: stored electric energy × 2/V_top²
	BaseCurrent float64 // A into the grounded end per V at the top
	Coupling    float64 // of a primary by this mode over that of the windings, whose currents are the same in all turns
	PerWinding  float64 // ∂ln ω/∂Winding.Capacitance, 1/F
	PerTop      float64 // ∂ln ω/∂Winding.Top, 1/F
	Cores       []CoreShare
}

// CoreShare holds the sensitivities to one core. The whole winding's
// inductance needs none: ∂ln ω/∂ln L is −½ always.
type CoreShare = field.CoreShare

// reserve makes room for n cores.
func (r *Resonance) reserve(n int) {
	if cap(r.Cores) < n {
		r.Cores = make([]CoreShare, n)
	}
	r.Cores = r.Cores[:n]
}

// atFoot returns the Coupling of a primary at the grounded end, for a winding of
// inductance l and a mode whose energy is that of a capacitance c: the current there
// over the root of its mean square, which it doesn't quite see. Of a coil 9 diameters
// long, primaries within the lowest fifth see 78 to 92 % of what that is above one
// (computed, TestCouplingAtFoot).
func atFoot(base, l, c float64) float64 {
	const seen = 0.87
	return 1 + seen*(base*math.Sqrt(l/c)-1)
}

// void marks r as having no resonance.
func (r *Resonance) void() {
	nan := math.NaN()
	cores := r.Cores
	*r = Resonance{Omega: nan, Capacitance: nan, BaseCurrent: nan, Coupling: nan, PerWinding: nan, PerTop: nan, Cores: cores}
	for i := range cores {
		cores[i] = CoreShare{PerGain: nan, PerCapacitance: nan}
	}
}
