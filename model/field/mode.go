package field

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// Mode is the lowest resonance of a ladder and its shape. A Mode also holds
// working memory: use one per goroutine, and again and again.
type Mode struct {
	Omega       float64 // rad/s; NaN when there is no resonance
	Capacitance float64 // F, effective at the top: stored electric energy × 2/V_top²

	// Sensitivities. ∂ln ω/∂ln of the whole inductance is −½ always, and of
	// everything capacitive together too.
	PerWinding float64     // ∂ln ω/∂State.Capacitance, 1/F
	PerTop     float64     // ∂ln ω/∂State.Top, 1/F
	Cores      []CoreShare // of each stretch of State.Cores

	Voltage []float64 // at the upper ends of the slices, in units of the top's
	Current []float64 // in the slices, in units of the lowest slice's

	charge, flux, last, slices []float64
	magnetic                   float64
	loads                      []load
}

// CoreShare holds the sensitivities to one core.
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
// current, flux gives φ = L i, and S adds up the fluxes to voltages. Of this
// operator the lowest ω has the largest eigenvalue, nine times the next one's
// for a bare uniform line and more for a loaded one, so that plain powers
// converge by a digit a step, from any start, without a factorisation.
//
// Rounding stops the shape at a few 1e-16; Omega's error is the square of the
// shape's, thus settled long before.
func (m *Mode) settle(charge, flux func(dst, src []float64)) {
	n := len(m.Voltage)
	for k := range m.Voltage { // direct current
		m.Voltage[k] = float64(k+1) / float64(n)
	}
	lambda := math.NaN()
	for range 60 {
		copy(m.last, m.Voltage)
		charge(m.charge, m.Voltage)
		copy(m.Current, m.charge)
		for k := n - 2; k >= 0; k-- {
			m.Current[k] += m.Current[k+1]
		}
		flux(m.flux, m.Current)
		floats.CumSum(m.Voltage, m.flux)
		lambda = m.Voltage[n-1]
		floats.Scale(1/lambda, m.Voltage)
		if !(floats.Distance(m.Voltage, m.last, math.Inf(1)) > 1e-13) {
			break
		}
	}
	electric := floats.Dot(m.charge, m.last)
	m.magnetic = floats.Dot(m.flux, m.Current)
	m.Omega = math.Sqrt(electric / m.magnetic)
	m.Capacitance = electric
}
