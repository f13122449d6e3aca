package model

import (
	"math"
	"math/rand/v2"
	"slices"
)

// truth is an invented coil and all that is put to it.
type truth struct {
	l, cw, ct  float64
	gain, core float64 // of the core "rod": local gain, capacitance of full coverage [F]
	k, d0, p   float64 // hand
	spike      float64 // F, the part "spike" of unknown value
	lead       float64 // F, what comes with anything added
	drift      float64 // relative, from the first reading to the last
}

func lighthouse() truth {
	return truth{l: 1.25e-3, cw: 5.9e-12, ct: 0.9e-12, gain: 1.6, core: 0.3e-12, k: 2.6e-15, d0: 0.045, p: 2, spike: 2.8e-12}
}

// spike is how a step names the part without a value.
const spike = -1

// step is one reading of a simulated session: nominal capacitors on the top
// [pF] or spike, core fraction covered from the ground, hand distance [m].
type step struct {
	added   []float64
	covered float64
	hand    float64
	clip    bool
}

func added(pF ...float64) step { return step{added: pF} }

func emptyClip() step { return step{clip: true} }

func (s step) rod(covered float64) step { s.covered = covered; return s }
func (s step) near(d float64) step      { s.hand = d; return s }

// session simulates readings. The parts' true values scatter by tolerance
// (relative, standard) and the frequencies by noise (relative).
func (c truth) session(rng *rand.Rand, noise, tolerance float64, steps ...step) Log {
	log, _ := c.sessionOf(rng, noise, tolerance, steps...)
	return log
}

// sessionOf is session with the parts' true values.
func (c truth) sessionOf(rng *rand.Rand, noise, tolerance float64, steps ...step) (log Log, actual []float64) {
	index := map[float64]int{}
	for i, st := range steps {
		s := Bare()
		s.Clip = st.clip
		for _, a := range st.added {
			k, ok := index[a]
			if !ok {
				k = len(log.Parts)
				index[a] = k
				part := Part{Name: "spike"}
				value := c.spike
				if a != spike {
					part = Part{Name: string(rune('a' + k)), Capacitance: a * 1e-12, Uncertainty: tolerance * a * 1e-12, Known: true}
					value = a * 1e-12 * (1 + tolerance*rng.NormFloat64())
				}
				log.Parts = append(log.Parts, part)
				actual = append(actual, value)
			}
			s.Parts = append(s.Parts, k)
		}
		if st.covered > 0 {
			s.Core, s.To = "rod", st.covered
		}
		if st.hand > 0 {
			s.Hand = st.hand
		}
		f := c.frequency(s, actual)
		log.Readings = append(log.Readings, Reading{State: s, Line: i + 2, Use: true,
			Frequency: f * (1 + noise*rng.NormFloat64()) * c.drifted(i, len(steps)), Uncertainty: f * noise,
			Amplitude: math.NaN(), Quality: math.NaN()})
	}
	return log, actual
}

// drifted returns the factor on the frequency of reading i of n.
func (c truth) drifted(i, n int) float64 {
	if c.drift == 0 {
		return 1
	}
	return 1 + c.drift*(float64(i)/float64(n-1)-0.5)
}

// frequency returns the true frequency of a state, with the parts' true values.
func (c truth) frequency(s State, parts []float64) float64 {
	w := Winding{Inductance: c.l, Capacitance: c.cw, Top: c.ct + s.Exact}
	for _, p := range s.Parts {
		w.Top += parts[p]
	}
	if s.clipped() {
		w.Top += c.lead
	}
	if !math.IsInf(s.Hand, 1) {
		w.Top += c.k / math.Pow(s.Hand+c.d0, c.p)
	}
	if s.Core != "" {
		w.Cores = []Stretch{{s.From, s.To, c.gain, c.core * (s.To - s.From), ""}}
	}
	var r Resonance
	(&Line{}).Resonate(w, &r)
	return r.Omega / (2 * math.Pi)
}

// bare returns the true effective inductance and capacitance.
func (c truth) bare() (l, capacitance, hz float64) {
	var r Resonance
	(&Line{}).Resonate(Winding{Inductance: c.l, Capacitance: c.cw, Top: c.ct}, &r)
	return 1 / (r.Omega * r.Omega * r.Capacitance), r.Capacitance, r.Omega / (2 * math.Pi)
}

// fullSession reads what a careful maker would.
func fullSession() []step {
	return []step{added(), added(2.2), added(4.7), added(10), added(4.7, 10), added(),
		added().rod(1), added(4.7).rod(1), added(10).rod(1),
		added().near(0.1), added().near(0.2), added(spike), added(spike, 4.7)}
}

// idealBench declares that nothing is at the bench but what the log says: no lead, no
// drift, and errors of parts that have nothing in common.
func idealBench(s Session) Session {
	s.Known = slices.DeleteFunc(slices.Clone(s.Known), func(k Known) bool { return ofBench(k.Name) })
	s.Known = append(s.Known, Known{Name: LeadCapacitance}, Known{Name: Drift})
	s.Log.Parts = slices.Clone(s.Log.Parts)
	for i := range s.Log.Parts {
		s.Log.Parts[i].Common = 0
	}
	return s
}
