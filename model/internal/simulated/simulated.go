package simulated

import (
	"fmt"
	"math"
	"math/rand/v2"

	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Truth is an invented coil and all that is put to it.
type Truth struct {
	L, Cw, Ct  float64
	Gain, Core float64             // of the core "rod": local gain, capacitance of full coverage [F]
	Moved      float64             // share of the winding's capacitance that it moves, 0.44 of it to the top
	K, D0, P   float64             // hand
	Off        map[float64]float64 // by which the logarithm of a hand's capacitance is off that law at a distance
	Spike      float64             // F, the part "spike" of unknown value
	Lead       float64             // F, what comes with anything added
	Drift      float64             // relative, from the first reading to the last
	kit        map[float64]float64 // see With
}

// Lighthouse is an invented slim coil.
func Lighthouse() Truth {
	return Truth{L: 1.25e-3, Cw: 5.9e-12, Ct: 0.9e-12, Gain: 1.6, Core: 0.3e-12, Moved: resonator.MovedMean, K: 2.6e-15, D0: 0.045, P: 2, Spike: 2.8e-12}
}

// Spike is how a step names the part without a value.
const Spike = -1

// With is c with parts out of a kit, by nominal value: each is off by that much, relative. They
// have the same names in all sessions.
func (c Truth) With(kit map[float64]float64) Truth { c.kit = kit; return c }

// Step is one reading of a simulated session: nominal capacitors on the top
// [pF] or spike, core fraction covered from the ground, hand distance [m].
type Step struct {
	Added   []float64
	Covered float64
	Hand    float64
	Clip    bool
}

// Added is a reading with nominal capacitors [pF] or Spike on the top.
func Added(pF ...float64) Step { return Step{Added: pF} }

// EmptyClip is a reading with an empty clip on the top.
func EmptyClip() Step { return Step{Clip: true} }

// Rod is s with the core "rod" in, as far as covered from the grounded end.
func (s Step) Rod(covered float64) Step { s.Covered = covered; return s }

// Near is s with a hand at distance d [m].
func (s Step) Near(d float64) Step { s.Hand = d; return s }

// Session simulates readings. The parts' true values scatter by tolerance
// (relative, standard) and the frequencies by noise (relative).
func (c Truth) Session(rng *rand.Rand, noise, tolerance float64, steps ...Step) readings.Log {
	log, _ := c.SessionOf(rng, noise, tolerance, steps...)
	return log
}

// SessionOf is Session with the parts' true values.
func (c Truth) SessionOf(rng *rand.Rand, noise, tolerance float64, steps ...Step) (log readings.Log, actual []float64) {
	index := map[float64]int{}
	for i, st := range steps {
		s := readings.Bare()
		s.Clip = st.Clip
		for _, a := range st.Added {
			k, ok := index[a]
			if !ok {
				k = len(log.Parts)
				index[a] = k
				part := readings.Part{Name: "spike"}
				value := c.Spike
				if a != Spike {
					part = readings.Part{Name: string(rune('a' + k)), Capacitance: a * 1e-12, Uncertainty: tolerance * a * 1e-12, Known: true}
					off, ok := c.kit[a]
					if ok {
						part.Name = fmt.Sprint(a)
					} else {
						off = tolerance * rng.NormFloat64()
					}
					value = a * 1e-12 * (1 + off)
				}
				log.Parts = append(log.Parts, part)
				actual = append(actual, value)
			}
			s.Parts = append(s.Parts, k)
		}
		if st.Covered > 0 {
			s.Core, s.To = "rod", st.Covered
		}
		if st.Hand > 0 {
			s.Hand = st.Hand
		}
		f := c.Frequency(s, actual)
		log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Use: true,
			Frequency: f * (1 + noise*rng.NormFloat64()) * c.Drifted(i, len(steps)), Uncertainty: f * noise,
			Amplitude: math.NaN(), Quality: math.NaN()})
	}
	return log, actual
}

// Drifted returns the factor on the frequency of reading i of n.
func (c Truth) Drifted(i, n int) float64 {
	if c.Drift == 0 {
		return 1
	}
	return 1 + c.Drift*(float64(i)/float64(n-1)-0.5)
}

// Hand returns the true capacitance of a hand at a distance.
func (c Truth) Hand(d float64) float64 { return c.K / math.Pow(d+c.D0, c.P) * math.Exp(c.Off[d]) }

// Frequency returns the true frequency of a state, with the parts' true values.
func (c Truth) Frequency(s readings.State, parts []float64) float64 {
	w := resonator.Winding{Inductance: c.L, Capacitance: c.Cw, Top: c.Ct + s.Exact}
	for _, p := range s.Parts {
		w.Top += parts[p]
	}
	if s.Clipped() {
		w.Top += c.Lead
	}
	if !math.IsInf(s.Hand, 1) {
		w.Top += c.Hand(s.Hand)
	}
	if s.Core != "" {
		moved := 0.0
		if !s.Partly() {
			moved = c.Moved * c.Cw
		}
		w.Top += resonator.MovedToTop * moved
		w.Cores = []resonator.Stretch{{From: s.From, To: s.To, Gain: c.Gain, Capacitance: c.Core*(s.To-s.From) - moved, Core: ""}}
	}
	var r resonator.Resonance
	(&resonator.Line{}).Resonate(w, &r)
	return r.Omega / (2 * math.Pi)
}

// Bare returns the true effective inductance and capacitance.
func (c Truth) Bare() (l, capacitance, hz float64) {
	var r resonator.Resonance
	(&resonator.Line{}).Resonate(resonator.Winding{Inductance: c.L, Capacitance: c.Cw, Top: c.Ct}, &r)
	return 1 / (r.Omega * r.Omega * r.Capacitance), r.Capacitance, r.Omega / (2 * math.Pi)
}

// FullSession reads what a careful maker would.
func FullSession() []Step {
	return []Step{Added(), Added(2.2), Added(4.7), Added(10), Added(4.7, 10), Added(),
		Added().Rod(1), Added(4.7).Rod(1), Added(10).Rod(1),
		Added().Near(0.1), Added().Near(0.2), Added(Spike), Added(Spike, 4.7)}
}
