package field

import (
	"math"
)

// Prediction is what a drawing says of a coil. The capacitances are those of a
// Ladder of the same winding: what a fit of readings with it would find.
type Prediction struct {
	Inductance         Value // H, whole winding in air
	WindingCapacitance Value // F, State.Capacitance
	TopCapacitance     Value // F, State.Top, with the ball alone
	Frequency          Value // Hz, bare, in air
	Bare               Profile

	EffectiveCapacitance float64 // F, of the bare coil, seen from the top: Mode.Capacitance

	Core    *CorePrediction    // nil when none is drawn
	Primary *PrimaryPrediction // nil when none is drawn
	Hands   []HandPrediction
}

// CorePrediction is what the core does that is drawn, where it is drawn.
type CorePrediction struct {
	Gain        Value // of the inductance, for a current that is the same in all turns
	Full        Value // the same of as many beads as the winding holds: Stretch.Gain
	Frequency   Value // Hz
	Capacitance Value // F, what as many beads as the winding holds add to State.Capacitance
	Mode        Profile
}

// HandPrediction is what a hand does at one distance above the top [m].
type HandPrediction struct {
	Distance    float64
	Frequency   Value // Hz, of the coil without a core
	Capacitance Value // F, on top of State.Top
}

// Predict computes what c is, and what a hand does at the given distances [m]
// above the top. It fails when c is impossible: see Check.
func (c Coil) Predict(hands ...float64) (*Prediction, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	n := c.Slices
	if n == 0 {
		n = 80 // our choice: with 160 a slim coil rings 30 ppm lower, with 40 65 ppm higher (computed)
	}
	air, err := c.circuit(n, false, math.Inf(1), normal())
	if err != nil {
		return nil, err
	}
	eq, err := c.equivalent(air)
	if err != nil {
		return nil, err
	}
	var m Mode
	air.resonate(0, &m)
	u, uw := c.inductanceUncertainty(eq.state.Inductance), c.windingUncertainty()
	p := &Prediction{
		Inductance:         Value{eq.state.Inductance, u},
		WindingCapacitance: Value{eq.state.Capacitance, uw},
		TopCapacitance:     Value{eq.state.Top, topUncertainty},
		Frequency:          Value{m.Omega / (2 * math.Pi), eq.frequencyUncertainty(u, uw)},
		Bare:               m.Profile(c.Length),

		EffectiveCapacitance: m.Capacitance,
	}
	var core *circuit
	if c.Beads.Count > 0 {
		k, err := c.circuit(n, true, math.Inf(1), normal())
		if err != nil {
			return nil, err
		}
		if p.Core, err = c.predictCore(n, air, k, p.Frequency.Relative); err != nil {
			return nil, err
		}
		core = &k
	}
	if c.Primary.Turns > 0 {
		p.Primary = predictPrimary(air, core)
	}
	for _, d := range hands {
		h, err := c.predictHand(n, d, eq, p.Frequency)
		if err != nil {
			return nil, err
		}
		p.Hands = append(p.Hands, h)
	}
	return p, nil
}

// predictCore computes what the core does that makes k of the circuit in air, whose resonance
// has the relative uncertainty given.
func (c Coil) predictCore(n int, air, k circuit, relative float64) (*CorePrediction, error) {
	var m Mode
	k.resonate(0, &m)
	gain := k.inductance() / air.inductance()
	u, err := c.gainUncertainty(gain)
	if err != nil {
		return nil, err
	}
	full := c
	full.Beads = c.Beads.filling(0, c.Length)
	most, err := full.gain()
	if err != nil {
		return nil, err
	}
	added, err := full.coreCapacitance(n)
	if err != nil {
		return nil, err
	}
	return &CorePrediction{
		Gain:        Value{gain, u},
		Full:        Value{most, u},
		Frequency:   Value{m.Omega / (2 * math.Pi), math.Hypot(relative, u/2)},
		Capacitance: Value{added, dressUncertainty},
		Mode:        m.Profile(c.Length),
	}, nil
}

// coreCapacitance returns what the core drawn adds to the winding's capacitance,
// State.Capacitance, in n slices [F].
func (c Coil) coreCapacitance(n int) (float64, error) {
	solved, err := c.electric(n, math.Inf(1), normal())
	if err != nil {
		return 0, err
	}
	added, err := solved.core(newBody(c.Beads, normal()))
	if err != nil {
		return 0, err
	}
	return evenCapacitance(added, c.ends(n)), nil
}

// predictHand computes what a hand at distance d does.
func (c Coil) predictHand(n int, d float64, eq *equivalent, bare Value) (HandPrediction, error) {
	if !(d > 0) {
		return HandPrediction{}, impossible(HandTouches, d)
	}
	if b := c.Box; b.Diameter > 0 && c.top()+d <= b.Top {
		return HandPrediction{}, impossible(HandInBox, d, b.Top-c.top())
	}
	k, err := c.circuit(n, false, d, normal())
	if err != nil {
		return HandPrediction{}, err
	}
	var m Mode
	k.resonate(0, &m)
	extra := eq.topFor(m.Omega) - eq.state.Top
	f := m.Omega / (2 * math.Pi)
	shift := math.Abs(f-bare.Value) / f * handUncertainty
	return HandPrediction{
		Distance:    d,
		Frequency:   Value{f, math.Hypot(bare.Relative, shift)},
		Capacitance: Value{extra, handUncertainty},
	}, nil
}
