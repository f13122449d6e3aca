package field

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Mode is the lowest resonance of coupled sections and its shape. It also holds
// working memory: use one per goroutine, and again and again.
type Mode struct {
	Omega       float64 // rad/s; NaN when there is no resonance
	Capacitance float64 // F, effective at the top: stored electric energy × 2/V_top²

	BaseCurrent float64 // A into the grounded end per V at the top

	// Coupling is that of a primary by this mode over that of the windings, whose currents
	// are the same in all turns; NaN when the Ladder knows no primary.
	Coupling float64

	PerWinding float64     // ∂ln ω/∂State.Capacitance, 1/F
	PerTop     float64     // ∂ln ω/∂State.Top, 1/F
	Cores      []CoreShare // of each of State.Cores

	Voltage []float64 // at the upper ends of the slices, in units of the top's
	Current []float64 // in the slices, in units of the lowest slice's

	charge, flux, last []float64
	magnetic           float64 // energy of Current × 2
	slices             []float64
	loads              []load
}

// CoreShare holds the sensitivities to one core. That to the whole inductance
// is ∂ln ω/∂ln L = −½ always.
type CoreShare struct {
	PerGain        float64 // ∂ln ω/∂ln g
	PerCapacitance float64 // ∂ln ω/∂Stretch.Capacitance, 1/F
}

// reset makes room for n slices.
func (m *Mode) reset(n int) {
	if len(m.Voltage) != n {
		m.Voltage, m.Current = make([]float64, n), make([]float64, n)
		m.charge, m.flux = make([]float64, n), make([]float64, n)
		m.last, m.slices = make([]float64, n), make([]float64, n)
	}
}

// settle finds the lowest mode of
//
//	v = ω² S L Sᵀ C v,
//
// in which charge gives q = C v, Sᵀ adds up the charges above a slice to its
// current, flux gives L i, and S adds up the fluxes to voltages. Of this
// operator the lowest ω has the largest eigenvalue, nine times the next one's
// for a bare uniform line and more for a loaded one, so that plain powers gain a
// digit a step and need no factorisation. Every third step goes on to where the last two
// lead, as the next mode fades by one ratio (A. C. Aitken, 1926, from memory).
func (m *Mode) settle(charge, flux func(dst, src []float64)) {
	n := len(m.Voltage)
	for k := range m.Voltage { // as with the same current in all turns
		m.Voltage[k] = float64(k+1) / float64(n)
	}
	before := 0.0
	for i := range 100 {
		copy(m.last, m.Voltage)
		charge(m.charge, m.Voltage)
		copy(m.Current, m.charge)
		for k := n - 2; k >= 0; k-- {
			m.Current[k] += m.Current[k+1]
		}
		flux(m.flux, m.Current)
		floats.CumSum(m.Voltage, m.flux)
		floats.Scale(1/m.Voltage[n-1], m.Voltage)
		moved := floats.Distance(m.Voltage, m.last, math.Inf(1))
		if !(moved > 1e-11) {
			break
		}
		if ratio := moved / before; i%3 == 2 && ratio < 0.5 {
			for k, v := range m.Voltage {
				m.Voltage[k] += ratio / (1 - ratio) * (v - m.last[k])
			}
		}
		before = moved
	}
	m.Capacitance = floats.Dot(m.charge, m.last)
	m.magnetic = floats.Dot(m.flux, m.Current)
	m.Omega = math.Sqrt(m.Capacitance / m.magnetic)
	m.PerTop = -0.5 / m.Capacitance
	m.Coupling = math.NaN()
}

// finish takes the current at the grounded end, half a slice below the first,
// and brings the currents to their unit.
func (m *Mode) finish() {
	m.BaseCurrent = m.Omega * m.Current[0]
	if len(m.Current) > 1 {
		m.BaseCurrent += m.Omega * (m.Current[0] - m.Current[1]) / 2
	}
	floats.Scale(1/m.Current[0], m.Current)
}

// void marks m as having no resonance.
func (m *Mode) void() {
	nan := math.NaN()
	m.Omega, m.Capacitance, m.BaseCurrent, m.Coupling, m.PerWinding, m.PerTop = nan, nan, nan, nan, nan, nan
	for i := range m.Cores {
		m.Cores[i] = CoreShare{nan, nan}
	}
	for k := range m.Voltage {
		m.Voltage[k], m.Current[k] = nan, nan
	}
}

// Profile is a mode along the winding: at Height [m above the grounded end]
// the voltage in units of the top's, and the current in units of the base's.
type Profile struct {
	Height, Voltage, Current []float64
	Base                     float64 // A into the grounded end per V at the top
}

// Profile returns the mode along a winding of that length [m], with the slices' currents
// brought to their ends.
func (m *Mode) Profile(length float64) Profile {
	n := len(m.Current)
	p := Profile{Height: make([]float64, n+1), Voltage: make([]float64, n+1), Current: make([]float64, n+1), Base: m.BaseCurrent}
	for k := range p.Height {
		p.Height[k] = length * float64(k) / float64(n)
	}
	copy(p.Voltage[1:], m.Voltage)
	p.Current[0] = 1.5*m.Current[0] - 0.5*m.Current[1]
	for k := 1; k < n; k++ {
		p.Current[k] = (m.Current[k-1] + m.Current[k]) / 2
	}
	p.Current[n] = 1.5*m.Current[n-1] - 0.5*m.Current[n-2]
	base := p.Current[0]
	for k := range p.Current {
		p.Current[k] /= base
	}
	return p
}
