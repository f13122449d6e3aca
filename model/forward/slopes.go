package forward

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/readings"
)

// logs returns ln f and ln C_eff of state s, and writes to grad the derivatives
// of perF·ln f + perC·ln C_eff.
func (f *Model) logs(x []float64, s *readings.State, grad []float64, perF, perC float64) (lnf, lnc float64) {
	lnf = math.Log(f.Frequency(x, s, grad))
	lnc = math.Log(f.Resonance.Capacitance)
	floats.Scale(perF, grad)
	if perC != 0 && !f.ValuesOnly {
		slope := make([]float64, len(grad))
		f.Slopes(x, slope, func(x []float64) float64 {
			f.At(x, s)
			return math.Log(f.Resonance.Capacitance)
		})
		floats.AddScaled(grad, perC, slope)
	}
	return lnf, lnc
}

// Slopes writes ∂v/∂x by central differences to grad: for what the stored
// energies give no derivative of, and only uncertainties and known values rest
// on. With ValuesOnly it writes nothing. The share stays inside [0, 1], with a one-sided difference at its ends.
func (f *Model) Slopes(x, grad []float64, v func(x []float64) float64) {
	if f.ValuesOnly {
		return
	}
	x = slices.Clone(x)
	const h = 1e-5
	for i, at := range x {
		lo, hi := at-h, at+h
		if i == f.Share {
			lo, hi = max(lo, 0), min(hi, 1)
		}
		x[i] = hi
		above := v(x)
		x[i] = lo
		grad[i] = (above - v(x)) / (hi - lo)
		x[i] = at
	}
}
