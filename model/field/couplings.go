package field

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// shorted returns the circuit with the primary shorted, without resistance: its
// current then keeps all flux out, which leaves L − M Mᵀ/L1.
func (k circuit) shorted() circuit {
	l := mat.NewSymDense(len(k.row), nil)
	l.SymRankOne(k.l, -1/k.own, mat.NewVecDense(len(k.row), k.row))
	return circuit{&magnetic{l: l}, k.c}
}

// resonance returns the coupling at resonance, k² = 1 − (f_open/f_short)², with a
// capacitance [F] added at the top, and both frequencies [Hz].
func (k circuit) resonance(added float64) (coupling, open, shorted float64) {
	var m Mode
	k.resonate(added, &m)
	open = m.Omega / (2 * math.Pi)
	k.shorted().resonate(added, &m)
	shorted = m.Omega / (2 * math.Pi)
	q := open / shorted
	return math.Sqrt((1 - q) * (1 + q)), open, shorted
}

// PrimaryPrediction is what a drawn primary is, and how it couples.
type PrimaryPrediction struct {
	Inductance Value      // H, in air, without leads
	Air        Couplings  // with the coil bare
	Core       *Couplings // with the core drawn, where it is drawn; nil without one
}

// Couplings are the couplings of primary and winding in one state.
type Couplings struct {
	Windings      Value   // M/√(L1 L2), with the same current in all turns
	Resonance     Value   // k² = 1 − (f_open/f_short)²
	Open, Shorted float64 // Hz
}

// predictPrimary computes how the primary couples, given the circuits in air and, where one
// is drawn, with the core.
func predictPrimary(air circuit, core *circuit) *PrimaryPrediction {
	p := &PrimaryPrediction{Inductance: Value{air.own, primaryUncertainty}, Air: air.couplings()}
	if core != nil {
		c := core.couplings()
		p.Core = &c
	}
	return p
}

func (k circuit) couplings() Couplings {
	at, open, shorted := k.resonance(0)
	return Couplings{Windings: Value{k.windings(), couplingUncertainty}, Resonance: Value{at, couplingUncertainty}, Open: open, Shorted: shorted}
}
