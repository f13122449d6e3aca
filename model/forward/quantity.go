package forward

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/quantities"
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

// entry is the quantity exp(x[i]).
func entry(i int) func(*Model, []float64, []float64) float64 {
	return Exponential(func(f *Model, x, grad []float64) float64 {
		clear(grad)
		grad[i] = 1
		return x[i]
	})
}
