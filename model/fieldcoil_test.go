package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// fieldCoil is a coil of one shape as the field model has it, with the winding's
// capacitance distributed as its charges are. The line that fits its readings knows
// nothing of that.
type fieldCoil struct {
	name   string
	ladder *field.Ladder
	core   float64 // m, whole length of the core
	state  field.State
	gain   float64
	hands  map[float64]float64 // F, by distance [m]
}

// benchHands are distances [m] at which sessions have a hand, or predict one.
var benchHands = [...]float64{0.05, 0.1, 0.15, 0.2, 0.3, 0.4}

// coilShape is what a fieldCoil is drawn with.
type coilShape struct {
	name                    string
	turns, length, diameter float64 // m
	ball                    float64 // m
	height                  float64 // m, of the foot above the ground
	bead                    float64 // diameter of the core, in winding diameters
	permeability            float64
}

// fieldCoils are six invented coils, from 2 to 40 diameters long.
func fieldCoils(t testing.TB) []*fieldCoil {
	t.Helper()
	return drawCoils(t, []coilShape{
		{"l/D 2", 200, 100e-3, 50e-3, 18e-3, 0.1, 0.6, 60},
		{"l/D 4", 300, 120e-3, 30e-3, 18e-3, 0.1, 0.6, 60},
		{"l/D 8.5", 640, 240e-3, 28.3e-3, 18e-3, 0.1, 0.6, 60},
		{"l/D 15", 900, 360e-3, 24e-3, 18e-3, 0.1, 0.6, 60},
		{"l/D 26", 900, 360e-3, 14e-3, 18e-3, 0.1, 0.6, 60},
		{"l/D 40", 1000, 400e-3, 10e-3, 18e-3, 0.1, 0.6, 60},
	})
}

func drawCoils(t testing.TB, shapes []coilShape) (coils []*fieldCoil) {
	t.Helper()
	for _, c := range shapes {
		d := drawing.Drawing{Core: "rod", Coil: field.Coil{Turns: c.turns, Diameter: c.diameter, Length: c.length, Wire: 0.2e-3,
			Ball: c.ball, Height: c.height, Slices: 24, Beads: field.Beads{Diameter: c.bead * c.diameter, Length: 10e-3, Spacing: 6e-3,
				Count: int(c.length / 16e-3), Permeability: c.permeability}}}
		drawn := mustDraw(t, d, benchHands[:]...)
		ladder := mustSection(t, d)
		f := &fieldCoil{name: c.name, ladder: ladder, core: d.Coil.Beads.Whole(), gain: drawn.Find(quantities.CoreGain).Value, hands: map[float64]float64{},
			state: field.State{Inductance: drawn.Inductance.Value, Capacitance: drawn.WindingCapacitance.Value, Top: drawn.TopCapacitance.Value}}
		for _, h := range drawn.Hands {
			f.hands[h.Distance] = h.Capacitance.Value
		}
		coils = append(coils, f)
	}
	return coils
}

// bench is how a session is read, and what is wrong at the bench without the log
// saying so.
type bench struct {
	tolerance float64 // of the parts, relative standard uncertainty as stated
	factor    float64 // on their true errors
	common    float64 // share of these errors' variance that all parts have in common
	stated    float64 // that share as the log states it
	clip      float64 // F, what each step with something added has beside it
	drift     float64 // relative change of all frequencies from the first reading to the last
	noise     float64 // standard uncertainty of a frequency over that of the bare coil
	digits    float64 // readings are rounded to this fraction of the bare frequency, and state nothing
	mixed     bool    // the order of readings is shuffled, but for the first and the last
}

// goodBench reads as the log says.
func goodBench() bench {
	return bench{tolerance: 0.05 / 1.96, factor: 1, common: 0.25, stated: 0.25, noise: 1e-4}
}

// played is one simulated session with the truth behind it.
type played struct {
	coil   *fieldCoil
	bench  bench
	rng    *rand.Rand
	log    readings.Log
	parts  []float64 // F, true values of log.Parts
	index  map[float64]int
	common float64
	state  field.State
	core   float64 // F, of full coverage
	spike  float64 // F
	mode   field.Mode
	bare   float64 // Hz
}

// play simulates the readings of steps.
func (c *fieldCoil) play(rng *rand.Rand, b bench, steps []simulated.Step) *played {
	p := &played{coil: c, bench: b, rng: rng, index: map[float64]int{}, state: c.state, common: rng.NormFloat64()}
	p.state.Inductance *= math.Exp(0.02 * rng.NormFloat64())
	p.state.Top += 0.3e-12 * math.Exp(0.5*rng.NormFloat64()) // mount and bench
	p.core = 0.5 * c.state.Capacitance * math.Expm1(estimation.CoreSigma*rng.NormFloat64())
	p.spike = 2.8e-12 * math.Exp(0.3*rng.NormFloat64())
	bare := readings.Bare()
	p.bare = p.frequency(&bare)
	if b.mixed {
		inner := append([]simulated.Step(nil), steps...)
		rng.Shuffle(len(inner)-2, func(i, k int) { inner[i+1], inner[k+1] = inner[k+1], inner[i+1] })
		steps = inner
	}
	for i, st := range steps {
		p.read(st, i+2, float64(i)/float64(len(steps)-1)-0.5)
	}
	return p
}

// stateOf enters the parts of a step.
func (p *played) stateOf(st simulated.Step) readings.State {
	s := readings.Bare()
	s.Clip = st.Clip
	for _, a := range st.Added {
		k, ok := p.index[a]
		if !ok {
			k = len(p.parts)
			p.index[a] = k
			part, value := readings.Part{Name: "spike"}, p.spike
			if a != simulated.Spike {
				b := &p.bench
				e := b.tolerance * b.factor * (math.Sqrt(b.common)*p.common + math.Sqrt(1-b.common)*p.rng.NormFloat64())
				part = readings.Part{Name: string(rune('a' + k)), Capacitance: a * 1e-12, Uncertainty: b.tolerance * a * 1e-12, Known: true, Lot: "5 %", Common: b.stated}
				value = a * 1e-12 * (1 + e)
			}
			p.log.Parts = append(p.log.Parts, part)
			p.parts = append(p.parts, value)
		}
		s.Parts = append(s.Parts, k)
	}
	if st.Covered > 0 {
		s.Core, s.To = "rod", st.Covered
	}
	if st.Hand > 0 {
		s.Hand = st.Hand
	}
	return s
}

// read takes one reading, at a time from −0.5 to 0.5 of the session.
func (p *played) read(st simulated.Step, line int, time float64) {
	b := &p.bench
	s := p.stateOf(st)
	o := readings.Reading{State: s, Line: line, Use: true, Amplitude: math.NaN(), Quality: math.NaN()}
	o.Frequency = p.frequency(&s) * (1 + b.drift*time)
	if b.digits > 0 {
		last := b.digits * p.bare
		o.Frequency = math.Round((o.Frequency+b.noise*p.bare*p.rng.NormFloat64())/last) * last
		o.Uncertainty, o.FromDigits = last/2/math.Sqrt(3), true
	} else {
		o.Uncertainty = b.noise * p.bare
		o.Frequency += o.Uncertainty * p.rng.NormFloat64()
	}
	p.log.Readings = append(p.log.Readings, o)
}

// frequency returns the true frequency of s in the middle of the session [Hz].
func (p *played) frequency(s *readings.State) float64 {
	w := p.state
	for _, i := range s.Parts {
		w.Top += p.parts[i]
	}
	if s.Clipped() {
		w.Top += p.bench.clip
	}
	if !math.IsInf(s.Hand, 1) {
		w.Top += p.coil.hands[s.Hand]
	}
	if s.Core != "" {
		c := field.Stretch{From: s.From, To: s.To, Gain: p.coil.gain, Capacitance: p.core * (s.To - s.From)}
		if s.To < 1 {
			c.Length = p.coil.core
		}
		w.Cores = []field.Stretch{c}
	}
	p.coil.ladder.Resonate(w, &p.mode)
	return p.mode.Omega / (2 * math.Pi)
}

// truths returns what a fit should find, by quantity.
func (p *played) truths() map[string]float64 {
	bare := readings.Bare()
	omega := 2 * math.Pi * p.frequency(&bare)
	c := p.mode.Capacitance
	return map[string]float64{quantities.Inductance: p.state.Inductance, quantities.EffectiveInductance: 1 / (omega * omega * c), quantities.EffectiveCapacitance: c,
		quantities.CoreGain: p.coil.gain, quantities.PartCapacitance: p.spike}
}
