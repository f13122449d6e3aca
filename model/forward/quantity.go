package forward

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Quantity is one number that the unknowns give. Value returns it in SI and
// writes its derivatives ∂value/∂x.
type Quantity struct {
	quantities.Key
	Unit     string
	Positive bool       // its uncertainty is a factor: intervals are made in its logarithm
	Squared  bool       // readings are linear in its square: intervals are made in that, and end at zero
	Unsigned bool       // it may be zero but never below: intervals end there
	HasPrior bool       // a prior speaks of it, whatever is read: see isDetermined of package estimation
	Neutral  float64    // the value that says that nothing is changed: 1 for a core's gain
	Covered  [2]float64 // of the winding by the core, in an effect of a core that was never read all in
	Value    func(f *Model, x, grad []float64) float64
	Model    func(f *Model, x []float64) float64 // relative standard uncertainty of its own; nil for none
}

// Exponential makes a quantity of a function that returns ln q and writes ∂ln
// q/∂x.
func Exponential(log func(f *Model, x, grad []float64) float64) func(*Model, []float64, []float64) float64 {
	return func(f *Model, x, grad []float64) float64 {
		v := math.Exp(log(f, x, grad))
		floats.Scale(v, grad)
		return v
	}
}

// entry is the quantity exp(Σ x[i]) of some unknowns.
func entry(at ...int) func(*Model, []float64, []float64) float64 {
	return Exponential(func(_ *Model, x, grad []float64) (sum float64) {
		clear(grad)
		for _, i := range at {
			grad[i] = 1
			sum += x[i]
		}
		return sum
	})
}

// Linear is the quantity per·x[i].
func Linear(i int, per float64) func(*Model, []float64, []float64) float64 {
	return func(_ *Model, x, grad []float64) float64 {
		clear(grad)
		grad[i] = per
		return per * x[i]
	}
}

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
// on. With ValuesOnly it writes nothing.
func (f *Model) Slopes(x, grad []float64, v func(x []float64) float64) {
	if f.ValuesOnly {
		return
	}
	x = slices.Clone(x)
	for i := range x {
		grad[i] = f.difference(x, i, v)
	}
}
