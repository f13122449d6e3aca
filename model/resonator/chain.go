package resonator

import "math"

// Resonate finds the lowest resonance of w and writes it to r. Every quantity
// is NaN where there is none: no capacitance at all, a negative or infinite
// element. Where the whole winding is of one piece, the energies have closed
// forms.
func (line *Line) Resonate(w Winding, r *Resonance) {
	r.reserve(len(w.Cores))
	switch {
	case len(w.Cores) == 0:
		r.uniform(w.Inductance, w.Capacitance, w.Top)
	case len(w.Cores) == 1 && w.Cores[0].From == 0 && w.Cores[0].To == 1:
		core := &w.Cores[0]
		if r.uniform(core.Gain*w.Inductance, w.Capacitance+core.Capacitance, w.Top) {
			r.Cores[0] = CoreShare{PerGain: -0.5, PerCapacitance: r.PerWinding}
		}
	default:
		line.chain(w, r)
	}
}

// chain writes the lowest resonance of w, in any number of pieces, to r.
//
// In Ω = ω√(L·C), with the whole L and C, all elements are fractions of one.
// From the base (V = 0, I = 1) each piece carries (V, I) upwards as
//
//	V' = V cos φ + I Ω l sinc φ,  I' = I cos φ − V Ω c sinc φ,  φ = Ω √(l c),
//
// forms that stay sound when l or c is zero. The shape found at any Ω is a
// trial shape for Rayleigh's quotient, Ω² ← Ω² W_M/W_E, whose error is the
// square of the shape's: the iteration converges quadratically and from above.
// Where elements differ so much that it falls onto a higher mode, the lowest is
// looked for by its having no node.
func (line *Line) chain(w Winding, r *Resonance) {
	l, c := line.cut(w)
	if !line.sound(l, c, w.Top) {
		r.void()
		return
	}
	top := w.Top / c
	omega, settled := line.guess(top), false
	var v, electric, magnetic float64
	for range 60 {
		v, electric, magnetic = line.sweep(omega, top)
		next := omega * math.Sqrt(magnetic/electric)
		step := math.Abs(next - omega)
		omega = next
		// The error left is about this step squared, and that of the energies
		// about this step.
		if settled = !(step > 1e-9*omega); settled {
			break
		}
	}
	if !settled || !line.withoutNode(omega) {
		omega = line.lowest(omega, top)
		v, electric, magnetic = line.sweep(omega, top)
	}
	line.report(r, omega, l, c, v, electric, magnetic)
}
