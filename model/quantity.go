package model

import (
	"math"
	"slices"
)

// Names of the quantities that a fit reports, and that a known value may be
// given for. They are those of the JSON output.
const (
	Inductance           = "inductance"            // air, whole winding, H
	WindingCapacitance   = "winding_capacitance"   // spread along the winding, F
	TopCapacitance       = "top_capacitance"       // at the free end with nothing added, F
	CoreGain             = "core_gain"             // factor on the inductance per length under the core
	CoreCapacitance      = "core_capacitance"      // added to the winding's by full coverage, F
	HandStrength         = "hand_strength"         // K of C = K/(d+d0)^p, F·m^p
	HandOffset           = "hand_offset"           // d0, m
	HandExponent         = "hand_exponent"         // p
	PartCapacitance      = "part_capacitance"      // of one part put on the top, F
	LeadCapacitance      = "lead_capacitance"      // what each state with something added has on the top besides, F
	Drift                = "drift"                 // relative change of frequencies from the first reading to the last
	EffectiveInductance  = "effective_inductance"  // at the bare resonance, seen from the top, H
	EffectiveCapacitance = "effective_capacitance" // at the bare resonance, seen from the top, F
	LCProduct            = "lc_product"            // 1/ω² of the bare coil, s²
	BareFrequency        = "bare_frequency"        // Hz
	Impedance            = "characteristic_impedance"
	FrequencyRatio       = "frequency_ratio"       // with the core over bare
	InductanceWithCore   = "inductance_with_core"  // whole winding, core all along it, H
	RatioGain            = "gain_claimed_by_ratio" // 1/ratio²: what the core's gain would be if nothing else changed
	CoreFrequencyDrop    = "core_frequency_drop"   // Hz
	ImpedanceRatio       = "impedance_ratio"       // characteristic impedance with the core over bare
	HandCapacitance      = "hand_capacitance"      // at one distance, F
	StrayCapacitance     = "stray_capacitance"     // at the top, beyond what a drawing knows of, F
	HandFrequencyDrop    = "hand_frequency_drop"   // of the bare coil, at one distance, Hz
)

// quantity is one number that the unknowns give. value returns it in SI and
// writes its derivatives ∂value/∂x.
type quantity struct {
	name, core, part string
	hand             float64 // m, distance; 0 when none
	unit             string
	positive         bool    // its uncertainty is a factor: intervals are made in its logarithm
	unsigned         bool    // it may be nil but never below: intervals end there
	believed         bool    // a prior speaks of it, whatever is read: see deserves
	neutral          float64 // the value that says that nothing is changed: 1 for a core's gain
	value            func(f *forward, x, grad []float64) float64
}

// exponential makes a quantity of a function that returns ln q and writes ∂ln
// q/∂x.
func exponential(log func(f *forward, x, grad []float64) float64) func(*forward, []float64, []float64) float64 {
	return func(f *forward, x, grad []float64) float64 {
		v := math.Exp(log(f, x, grad))
		for i := range grad {
			grad[i] *= v
		}
		return v
	}
}

// quantities lists all that the unknowns of f can tell: first parameters, then
// what derives from them.
func quantities(f *forward) (parameters, derived []quantity) {
	parameters = append(windingQuantities(f), coreQuantities(f)...)
	parameters = append(parameters, handQuantities(f)...)
	parameters = append(parameters, partQuantities(f)...)
	parameters = append(parameters, leadQuantities(f)...)
	return parameters, derivedQuantities(f)
}

// entry is the quantity exp(x[i]).
func entry(i int) func(*forward, []float64, []float64) float64 {
	return exponential(func(f *forward, x, grad []float64) float64 {
		clear(grad)
		grad[i] = 1
		return x[i]
	})
}

func windingQuantities(f *forward) []quantity {
	q := []quantity{{name: Inductance, unit: "H", positive: true, value: entry(atL)}}
	if f.share < 0 {
		return append(q, quantity{name: TopCapacitance, unit: "F", positive: true, value: entry(atC)})
	}
	fraction := func(sign float64) func(*forward, []float64, []float64) float64 {
		return func(f *forward, x, grad []float64) float64 {
			c, s := math.Exp(x[atC]), x[f.share]
			if sign < 0 {
				s = 1 - s
			}
			clear(grad)
			grad[atC], grad[f.share] = c*s, sign*c
			return c * s
		}
	}
	return append(q,
		quantity{name: WindingCapacitance, unit: "F", unsigned: true, believed: true, value: fraction(-1)},
		quantity{name: TopCapacitance, unit: "F", unsigned: true, believed: true, value: fraction(1)})
}

func coreQuantities(f *forward) (q []quantity) {
	for _, c := range f.cores {
		k := c.at + 1
		q = append(q,
			quantity{name: CoreGain, core: c.name, unit: "1", positive: true, neutral: 1, value: gainOf(c)},
			quantity{name: CoreCapacitance, core: c.name, unit: "F", believed: true,
				value: func(f *forward, x, grad []float64) float64 {
					c, spread := math.Exp(x[atC]), 3.0 // a line's, even, is worth a third at the top
					clear(grad)
					if f.share >= 0 {
						spread = 1 - x[f.share]
						grad[f.share] = -c * math.Expm1(x[k])
					}
					grad[atC] = spread * c * math.Expm1(x[k])
					grad[k] = spread * c * math.Exp(x[k])
					return f.polarisation() + grad[atC]
				}})
	}
	return q
}

// polarisation returns what the resonator knows of itself that a core adds to the
// winding's capacitance at full coverage [F]: what it polarises as drawn.
func (f *forward) polarisation() float64 {
	if l, ok := f.resonator.(*ladder); ok {
		return l.polarisation()
	}
	return 0
}

// gainOf is the gain of core c, which the line sees with what coupling adds.
func gainOf(c coreUnknown) func(f *forward, x, grad []float64) float64 {
	if c.ends < 0 {
		return entry(c.at)
	}
	return func(f *forward, x, grad []float64) float64 {
		more, per := c.coupling(x)
		excess := math.Expm1(x[c.at]) / more
		clear(grad)
		grad[c.at] = math.Exp(x[c.at]) / more
		grad[c.ends+1] = -excess * per / more
		return 1 + excess
	}
}

func handQuantities(f *forward) []quantity {
	if f.hand < 0 {
		return nil
	}
	k := f.hand
	return []quantity{
		{name: HandStrength, unit: "F·m^p", positive: true,
			value: exponential(func(f *forward, x, grad []float64) float64 {
				clear(grad)
				d0 := math.Exp(x[k+1])
				scale := f.handScale + d0
				grad[k], grad[k+1], grad[k+2] = 1, x[k+2]*d0/scale, math.Log(scale)
				return x[k] + x[k+2]*math.Log(scale)
			})},
		{name: HandOffset, unit: "m", positive: true, value: entry(k + 1)},
		{name: HandExponent, unit: "1", believed: true, value: func(f *forward, x, grad []float64) float64 {
			clear(grad)
			grad[k+2] = 1
			return x[k+2]
		}},
	}
}

func partQuantities(f *forward) (q []quantity) {
	for p := range f.partAt {
		if f.partAt[p] < 0 && f.lotAt[p] < 0 {
			continue
		}
		q = append(q, quantity{name: PartCapacitance, part: f.parts[p].Name, unit: "F", positive: true,
			value: exponential(func(f *forward, x, grad []float64) float64 {
				clear(grad)
				f.partGradient(x, p, 1, grad)
				return math.Log(f.part(x, p))
			})})
	}
	return q
}

func derivedQuantities(f *forward) []quantity {
	bare := Bare()
	q := []quantity{
		{name: EffectiveInductance, unit: "H", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				lnf, lnc := f.logs(x, &bare, grad, -2, -1)
				return -2*(lnf+math.Log(2*math.Pi)) - lnc
			})},
		{name: EffectiveCapacitance, unit: "F", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				_, lnc := f.logs(x, &bare, grad, 0, 1)
				return lnc
			})},
		{name: LCProduct, unit: "s²", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				lnf, _ := f.logs(x, &bare, grad, -2, 0)
				return -2 * (lnf + math.Log(2*math.Pi))
			})},
		{name: BareFrequency, unit: "Hz", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				lnf, _ := f.logs(x, &bare, grad, 1, 0)
				return lnf
			})},
		{name: Impedance, unit: "Ω", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				lnf, lnc := f.logs(x, &bare, grad, -1, -1)
				return -lnf - math.Log(2*math.Pi) - lnc
			})},
	}
	for _, c := range f.cores {
		q = append(q, coreEffects(c)...)
	}
	for _, d := range thinned(f.distances) {
		near := Bare()
		near.Hand = d
		q = append(q, handEffects(near)...)
	}
	return q
}

// coreEffects are what core c does to the bare coil at its deepest insertion
// read.
func coreEffects(c coreUnknown) []quantity {
	bare, in := Bare(), Bare()
	in.Core, in.From, in.To = c.name, c.from, c.to
	ratio := logRatio(in, bare)
	return []quantity{
		{name: InductanceWithCore, core: c.name, unit: "H", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				more, per := c.coupling(x)
				excess := math.Expm1(x[c.at]) / more
				clear(grad)
				// Where each reading has the core in, its gain is open and its
				// product with L is not: what coupling changes then hangs too
				// little on the gain to count.
				grad[atL], grad[c.at] = 1, 1
				if c.ends >= 0 {
					grad[c.ends+1] = -excess / (1 + excess) * per / more
				}
				return x[atL] + math.Log1p(excess)
			})},
		{name: FrequencyRatio, core: c.name, unit: "1", positive: true, value: exponential(ratio)},
		{name: RatioGain, core: c.name, unit: "1", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				v := ratio(f, x, grad)
				for i := range grad {
					grad[i] *= -2
				}
				return -2 * v
			})},
		{name: CoreFrequencyDrop, core: c.name, unit: "Hz", value: drop(in)},
		{name: ImpedanceRatio, core: c.name, unit: "1", positive: true, neutral: 1, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				of := func(x []float64, s *State) float64 {
					f.at(x, s)
					return -math.Log(f.resonance.Omega * f.resonance.Capacitance)
				}
				value := func(x []float64) float64 { return of(x, &in) - of(x, &bare) }
				f.slopes(x, grad, value)
				return value(x)
			})},
	}
}

// drop is by how much state s lowers the frequency of the bare coil.
func drop(s State) func(*forward, []float64, []float64) float64 {
	bare := Bare()
	return func(f *forward, x, grad []float64) float64 {
		from := f.frequency(x, &bare, grad)
		other := make([]float64, len(grad))
		to := f.frequency(x, &s, other)
		for i := range grad {
			grad[i] = from*grad[i] - to*other[i]
		}
		return from - to
	}
}

// handEffects are what a hand at the distance of state near does to the bare
// coil.
func handEffects(near State) []quantity {
	return []quantity{
		{name: HandCapacitance, hand: near.Hand, unit: "F", positive: true, value: exponential(
			func(f *forward, x, grad []float64) float64 {
				k := f.hand
				d0, p := math.Exp(x[k+1]), x[k+2]
				clear(grad)
				grad[k] = 1
				grad[k+1] = p * d0 * (1/(f.handScale+d0) - 1/(near.Hand+d0))
				grad[k+2] = math.Log((f.handScale + d0) / (near.Hand + d0))
				return math.Log(f.handCapacitance(x, near.Hand))
			})},
		{name: HandFrequencyDrop, hand: near.Hand, unit: "Hz", unsigned: true, value: drop(near)},
	}
}

// logRatio returns ln(f(a)/f(b)) and its derivatives.
func logRatio(a, b State) func(*forward, []float64, []float64) float64 {
	return func(f *forward, x, grad []float64) float64 {
		other := make([]float64, len(grad))
		ratio := math.Log(f.frequency(x, &a, grad)) - math.Log(f.frequency(x, &b, other))
		for i := range grad {
			grad[i] -= other[i]
		}
		return ratio
	}
}

// logs returns ln f and ln C_eff of state s, and writes to grad the derivatives
// of perF·ln f + perC·ln C_eff.
func (f *forward) logs(x []float64, s *State, grad []float64, perF, perC float64) (lnf, lnc float64) {
	lnf = math.Log(f.frequency(x, s, grad))
	lnc = math.Log(f.resonance.Capacitance)
	for i := range grad {
		grad[i] *= perF
	}
	if perC != 0 {
		slope := make([]float64, len(grad))
		f.slopes(x, slope, func(x []float64) float64 {
			f.at(x, s)
			return math.Log(f.resonance.Capacitance)
		})
		for i := range grad {
			grad[i] += perC * slope[i]
		}
	}
	return lnf, lnc
}

// slopes writes ∂v/∂x by central differences to grad: for what the stored
// energies give no derivative of, and only uncertainties and known values rest
// on. The share stays inside [0, 1], with a one-sided difference at its ends.
func (f *forward) slopes(x, grad []float64, v func(x []float64) float64) {
	x = slices.Clone(x)
	const h = 1e-5
	for i, at := range x {
		lo, hi := at-h, at+h
		if i == f.share {
			lo, hi = max(lo, 0), min(hi, 1)
		}
		x[i] = hi
		above := v(x)
		x[i] = lo
		grad[i] = (above - v(x)) / (hi - lo)
		x[i] = at
	}
}
