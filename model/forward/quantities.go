package forward

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Quantities lists all that the unknowns of f can tell: first parameters, then
// what derives from them.
func Quantities(f *Model) (parameters, derived []Quantity) {
	parameters = append(windingQuantities(f), coreQuantities(f)...)
	parameters = append(parameters, handQuantities(f)...)
	parameters = append(parameters, partQuantities(f)...)
	parameters = append(parameters, leadQuantities(f)...)
	return parameters, DerivedQuantities(f)
}

func windingQuantities(f *Model) []Quantity {
	q := []Quantity{{Key: quantities.Key{Name: quantities.Inductance}, Unit: "H", Positive: true, Value: entry(AtL)}}
	if f.Share < 0 {
		return append(q, Quantity{Key: quantities.Key{Name: quantities.TopCapacitance}, Unit: "F", Positive: true, Value: entry(AtC)})
	}
	fraction := func(sign float64) func(*Model, []float64, []float64) float64 {
		return func(f *Model, x, grad []float64) float64 {
			c, s := math.Exp(x[AtC]), x[f.Share]
			if sign < 0 {
				s = 1 - s
			}
			clear(grad)
			grad[AtC], grad[f.Share] = c*s, sign*c
			return c * s
		}
	}
	return append(q,
		Quantity{Key: quantities.Key{Name: quantities.WindingCapacitance}, Unit: "F", Unsigned: true, HasPrior: true, Value: fraction(-1)},
		Quantity{Key: quantities.Key{Name: quantities.TopCapacitance}, Unit: "F", Unsigned: true, HasPrior: true, Value: fraction(1)})
}

func coreQuantities(f *Model) (q []Quantity) {
	for _, c := range f.Cores {
		k := c.At + 1
		q = append(q,
			Quantity{Key: quantities.Key{Name: quantities.CoreGain, Core: c.Name}, Unit: "1", Positive: true, Neutral: 1, Value: entry(c.At)},
			Quantity{Key: quantities.Key{Name: quantities.CoreCapacitance, Core: c.Name}, Unit: "F", HasPrior: true,
				Value: func(f *Model, x, grad []float64) float64 {
					c, spread := math.Exp(x[AtC]), 3.0 // a line's, even, is worth a third at the top
					clear(grad)
					if f.Share >= 0 {
						spread = 1 - x[f.Share]
						grad[f.Share] = -c * math.Expm1(x[k])
					}
					grad[AtC] = spread * c * math.Expm1(x[k])
					grad[k] = spread * c * math.Exp(x[k])
					return f.Polarisation() + grad[AtC]
				}})
	}
	return q
}

func handQuantities(f *Model) []Quantity {
	if f.Hand < 0 {
		return nil
	}
	k := f.Hand
	return []Quantity{
		{Key: quantities.Key{Name: quantities.HandStrength}, Unit: "F·m^p", Positive: true,
			Value: Exponential(func(f *Model, x, grad []float64) float64 {
				clear(grad)
				d0 := math.Exp(x[k+1])
				scale := f.HandScale + d0
				grad[k], grad[k+1], grad[k+2] = 1, x[k+2]*d0/scale, math.Log(scale)
				return x[k] + x[k+2]*math.Log(scale)
			})},
		{Key: quantities.Key{Name: quantities.HandOffset}, Unit: "m", Positive: true, Value: entry(k + 1)},
		{Key: quantities.Key{Name: quantities.HandExponent}, Unit: "1", HasPrior: true, Value: Linear(k+2, 1)},
	}
}

func partQuantities(f *Model) (q []Quantity) {
	for p := range f.PartAt {
		if f.PartAt[p] < 0 && f.LotAt[p] < 0 {
			continue
		}
		q = append(q, Quantity{Key: quantities.Key{Name: quantities.PartCapacitance, Part: f.Parts[p].Name}, Unit: "F", Positive: true,
			Value: Exponential(func(f *Model, x, grad []float64) float64 {
				clear(grad)
				f.partGradient(p, 1, grad)
				return math.Log(f.Part(x, p))
			})})
	}
	return q
}

// leadQuantities is the lead's capacitance, if x holds it.
func leadQuantities(f *Model) []Quantity {
	if f.Lead < 0 {
		return nil
	}
	return []Quantity{{Key: quantities.Key{Name: quantities.LeadCapacitance}, Unit: "F", HasPrior: true, Value: Linear(f.Lead, LeadSigma)}}
}

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

// DerivedQuantities lists what follows from the parameters: of the bare coil, of each core
// and of each hand.
func DerivedQuantities(f *Model) []Quantity {
	bare := readings.Bare()
	turn := math.Log(2 * math.Pi)
	var q []Quantity
	for _, d := range []struct {
		name, unit       string
		perF, perC, turn float64 // of ln f + turn and of ln C
	}{
		{quantities.EffectiveInductance, "H", -2, -1, turn}, {quantities.EffectiveCapacitance, "F", 0, 1, turn}, {quantities.LCProduct, "s²", -2, 0, turn},
		{quantities.BareFrequency, "Hz", 1, 0, 0}, {quantities.Impedance, "Ω", -1, -1, turn},
	} {
		q = append(q, Quantity{Key: quantities.Key{Name: d.name}, Unit: d.unit, Positive: true, Value: Exponential(
			func(f *Model, x, grad []float64) float64 {
				lnf, lnc := f.logs(x, &bare, grad, d.perF, d.perC)
				return d.perF*(lnf+d.turn) + d.perC*lnc
			})})
	}
	for _, c := range f.Cores {
		q = append(q, coreEffects(c)...)
	}
	q = append(q, couplingQuantities(f)...)
	for _, d := range readings.Thinned(f.Distances) {
		near := readings.Bare()
		near.Hand = d
		q = append(q, handEffects(near)...)
	}
	return q
}

// coreEffects are what core c does to the bare coil at its deepest insertion
// read.
func coreEffects(c coreUnknown) []Quantity {
	bare, in := readings.Bare(), readings.Bare()
	in.Core, in.From, in.To = c.Name, c.from, c.to
	ratio := logRatio(in, bare)
	list := []Quantity{
		{Key: quantities.Key{Name: quantities.InductanceWithCore, Core: c.Name}, Unit: "H", Positive: true, Value: entry(AtL, c.At)},
		{Key: quantities.Key{Name: quantities.FrequencyRatio, Core: c.Name}, Unit: "1", Positive: true, Value: Exponential(ratio)},
		{Key: quantities.Key{Name: quantities.RatioGain, Core: c.Name}, Unit: "1", Positive: true, Value: Exponential(
			func(f *Model, x, grad []float64) float64 {
				v := ratio(f, x, grad)
				floats.Scale(-2, grad)
				return -2 * v
			})},
		{Key: quantities.Key{Name: quantities.CoreFrequencyDrop, Core: c.Name}, Unit: "Hz", Value: drop(in)},
		{Key: quantities.Key{Name: quantities.ImpedanceRatio, Core: c.Name}, Unit: "1", Positive: true, Neutral: 1, Value: Exponential(
			func(f *Model, x, grad []float64) float64 {
				of := func(x []float64, s *readings.State) float64 {
					f.At(x, s)
					return -math.Log(f.Resonance.Omega * f.Resonance.Capacitance)
				}
				value := func(x []float64) float64 { return of(x, &in) - of(x, &bare) }
				f.Slopes(x, grad, value)
				return value(x)
			})},
	}
	if in.Partly() {
		for i := 1; i < len(list); i++ { // all but the inductance, which is with all of it
			list[i].Covered = [2]float64{in.From, in.To}
		}
	}
	return list
}

// drop is by how much state s lowers the frequency of the bare coil.
func drop(s readings.State) func(*Model, []float64, []float64) float64 {
	bare := readings.Bare()
	return func(f *Model, x, grad []float64) float64 {
		from := f.Frequency(x, &bare, grad)
		other := make([]float64, len(grad))
		to := f.Frequency(x, &s, other)
		for i := range grad {
			grad[i] = from*grad[i] - to*other[i]
		}
		return from - to
	}
}

// handEffects are what a hand at the distance of state near does to the bare
// coil.
func handEffects(near readings.State) []Quantity {
	return []Quantity{
		{Key: quantities.Key{Name: quantities.HandCapacitance, Hand: near.Hand}, Unit: "F", Positive: true, Value: Exponential(
			func(f *Model, x, grad []float64) float64 {
				k := f.Hand
				d0, p := math.Exp(x[k+1]), x[k+2]
				clear(grad)
				grad[k] = 1
				grad[k+1] = p * d0 * (1/(f.HandScale+d0) - 1/(near.Hand+d0))
				grad[k+2] = math.Log((f.HandScale + d0) / (near.Hand + d0))
				if at := f.nearAt(near.Hand); at >= 0 {
					grad[at] = HandSpread
				}
				return math.Log(f.handCapacitance(x, near.Hand))
			})},
		{Key: quantities.Key{Name: quantities.HandFrequencyDrop, Hand: near.Hand}, Unit: "Hz", Unsigned: true, Value: drop(near)},
	}
}

// logRatio returns ln(f(a)/f(b)) and its derivatives.
func logRatio(a, b readings.State) func(*Model, []float64, []float64) float64 {
	return func(f *Model, x, grad []float64) float64 {
		other := make([]float64, len(grad))
		ratio := math.Log(f.Frequency(x, &a, grad)) - math.Log(f.Frequency(x, &b, other))
		floats.Sub(grad, other)
		return ratio
	}
}

// couplingQuantities are the couplings in air and with each core, where it covers most.
func couplingQuantities(f *Model) (q []Quantity) {
	for i := range f.Couplings {
		c := &f.Couplings[i]
		if !f.deepest(c) {
			continue
		}
		q = append(q,
			Quantity{Key: quantities.Key{Name: quantities.CouplingAtResonance, Core: c.Core}, Unit: "1", Positive: true, Squared: true, Value: func(_ *Model, x, grad []float64) float64 {
				k := math.Sqrt(-math.Expm1(-2 * x[c.At]))
				clear(grad)
				grad[c.At] = math.Exp(-2*x[c.At]) / k
				return k
			}},
			Quantity{Key: quantities.Key{Name: quantities.CouplingOfWindings, Core: c.Core}, Unit: "1", Positive: true, Squared: true, Value: c.ofWindings,
				Model: func(f *Model, x []float64) float64 {
					ref := c.Reference()
					return f.modeUncertainty(f.byMode(x, &ref), c.Core)
				}})
	}
	return q
}

// ofWindings is the coupling of the windings that goes with c.
func (c *CoupledUnknown) ofWindings(f *Model, x, grad []float64) float64 {
	ref := c.Reference()
	k := math.Sqrt(-math.Expm1(-2*x[c.At])) / math.Exp(f.byMode(x, &ref))
	f.gradient(x, &ref, grad)
	moved := slices.Clone(x)
	grad[AtL] = 0
	for j := range x {
		if grad[j] != 0 {
			grad[j] = -k * f.difference(moved, j, func(x []float64) float64 { return f.byMode(x, &ref) })
		}
	}
	grad[c.At] = k * math.Exp(-2*x[c.At]) / -math.Expm1(-2*x[c.At])
	return k
}
