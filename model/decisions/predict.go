package decisions

import (
	"math"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Predict works out state s. Its parts may go beyond those of the log: extra
// lists the further ones, which indexes from len(Parts()) on refer to.
func Predict(r *estimation.Result, s readings.State, extra []readings.Part) Prediction {
	f, x := r.With(extra)
	p := Prediction{State: s, Missing: missing(f, &s), Nearest: -1}
	p.Frequency = r.FrequencyAt(f, x, &s)
	e := &p.Frequency
	if r.TypicalUncertainty() > estimation.Vague { // one more reading could be anything
		*e = e.Forget()
	}
	if !e.Determined {
		if len(p.Missing) == 0 {
			p.Missing = append(p.Missing, Missing{Kind: AddedElement})
		}
		return p
	}
	p.NewReading = r.NewReading(e)
	p.Outside = outside(r, f, x, &s)
	p.Nearest = nearest(r, &s, e.Value)
	p.Heats = r.Heats(f, x, s)
	p.Stress = stress(r, f, x, &s)
	p.Effects = effects(r, f, x, s)
	return p
}

// PredictAll predicts each state; parts lists those that the states refer to,
// the log's own first.
func PredictAll(r *estimation.Result, states []readings.State, parts []readings.Part) []Prediction {
	out := make([]Prediction, len(states))
	for i, s := range states {
		out[i] = Predict(r, s, parts[len(r.Parts()):])
	}
	return out
}

// missing lists what s needs and the fit doesn't hold.
func missing(f *forward.Model, s *readings.State) (m []Missing) {
	for _, p := range s.Parts {
		if f.PartAt[p] < 0 && !f.Parts[p].Known {
			m = append(m, Missing{AddedElement, f.Parts[p].Name})
		}
	}
	if s.Core != "" && f.Core(s.Core) == nil {
		m = append(m, Missing{CoreElement, s.Core})
	}
	if c := f.Coupled(s); s.Primary.Kind != readings.PrimaryOpen && (c == nil || s.Primary.Kind == readings.PrimaryTuned && c.TunedAt(s) < 0) {
		m = append(m, Missing{PrimaryElement, s.Core})
	}
	if !math.IsInf(s.Hand, 1) && f.Hand < 0 {
		m = append(m, Missing{Kind: HandElement})
	}
	return m
}

// effects works out what s does beside changing the frequency. Ratios compare
// with the bare coil, whose uncertainty is shared.
func effects(r *estimation.Result, f *forward.Model, x []float64, s readings.State) []Effect {
	bare := readings.Bare()
	const kilovolt = 1e3
	var out []Effect
	for _, item := range []struct {
		name, unit string
		log        func(m *resonator.Resonance) float64
		absolute   bool
	}{
		{quantities.Impedance, "Ω", func(m *resonator.Resonance) float64 { return -math.Log(m.Omega * m.Capacitance) }, true},
		{"energy_at_1_kV", "J", func(m *resonator.Resonance) float64 { return math.Log(m.Capacitance * kilovolt * kilovolt / 2) }, true},
		{"base_current_at_1_kV", "A", func(m *resonator.Resonance) float64 { return math.Log(m.BaseCurrent * kilovolt) }, true},
		{"top_voltage_at_equal_energy", "1", func(m *resonator.Resonance) float64 { return -0.5 * math.Log(m.Capacitance) }, false},
	} {
		at := func(x []float64, s *readings.State) float64 {
			f.At(x, s)
			return item.log(&f.Resonance)
		}
		e := Effect{Estimate: quantities.Estimate{Key: quantities.Key{Name: item.name}, Unit: item.unit}.Forget()}
		if item.absolute {
			e.Estimate = r.Numeric(f, x, item.name, item.unit, func(x []float64) float64 { return at(x, &s) })
		}
		e.Ratio = r.Numeric(f, x, item.name, "1", func(x []float64) float64 { return at(x, &s) - at(x, &bare) })
		out = append(out, e)
	}
	return out
}
