package model

import (
	"math"
	"slices"
)

// Prediction is what the fitted model says of a state that may not have been
// read.
type Prediction struct {
	State      State
	Frequency  Estimate   // of the coil itself, "frequency"; the interval is that of the mean
	NewReading [2]float64 // 95 % interval for one new reading [Hz]
	Missing    []Missing  // why the frequency is undetermined
	Outside    []Outside  // in what respects the state lies outside those read
	Nearest    int        // index in Result.Readings of the reading most like it
	Effects    []Effect   // what else the change does; undetermined ones included
}

// Missing names what a state needs and no reading tells of.
type Missing struct {
	Kind StateElement
	Name string
}

// Outside says in which respect a prediction reaches beyond the readings, and
// the range read.
type Outside struct {
	Element   StateElement
	From, To  float64 // range read in that condition; both NaN when the condition was never read
	Predicted float64
}

// StateElement is one respect in which states differ.
type StateElement int

// The elements of a state.
const (
	AddedElement    StateElement = iota // capacitance on the top, F
	CoreElement                         // which core
	CoveredElement                      // fraction covered
	HandElement                         // distance, m
	TogetherElement                     // core and hand at once
)

// Effect is a consequence of a state beside its frequency, compared with the
// bare coil.
type Effect struct {
	Estimate
	Ratio Estimate // to the bare coil
}

// Predict works out state s. Its parts may go beyond those of the log: extra
// lists the further ones, which indexes from len(Parts()) on refer to.
func (r *Result) Predict(s State, extra []Part) Prediction {
	f := r.problem.with(extra)
	p := Prediction{State: s, Missing: r.missing(f, &s), Nearest: -1}
	p.Frequency = Estimate{Name: "frequency", Unit: "Hz"}
	grad := make([]float64, f.n)
	hz := f.frequency(r.fit.X, &s, grad)
	if len(p.Missing) > 0 || !finite(hz) || !finite(grad...) {
		p.Frequency = p.Frequency.forget()
		return p
	}
	e := &p.Frequency
	e.Value = hz
	for i := range grad {
		grad[i] *= hz
	}
	r.uncertainty(e, grad)
	own := hz * math.Hypot(f.ownUncertainty(&s), s.modelUncertainty())
	e.Uncertainty, e.Stated = math.Hypot(e.Uncertainty, own), math.Hypot(e.Stated, own)
	if !e.Determined || e.Stated > vague*hz {
		p.Missing = append(p.Missing, Missing{Kind: AddedElement})
		*e = e.forget()
		return p
	}
	k := r.coverageFactor(e.Budget)
	e.Interval = interval(hz, e.Uncertainty, k, true)
	p.NewReading = interval(hz, math.Hypot(e.Uncertainty, hz*r.typicalUncertainty()), k, true)
	p.Outside = r.outside(f, &s)
	p.Nearest = r.nearest(&s, hz)
	p.Effects = r.effects(f, s)
	return p
}

// with returns f with further parts of known value.
func (f *forward) with(extra []Part) *forward {
	g := *f
	g.parts = append(slices.Clone(f.parts), extra...)
	g.partAt = slices.Clone(f.partAt)
	for range extra {
		g.partAt = append(g.partAt, -1)
	}
	return &g
}

// ownUncertainty returns the relative standard uncertainty that parts which no
// reading shares bring to the frequency of s, just worked out.
func (f *forward) ownUncertainty(s *State) float64 {
	var sum float64
	for _, p := range s.Parts {
		if f.partAt[p] < 0 {
			u := f.resonance.PerTop * f.parts[p].Uncertainty
			sum += u * u
		}
	}
	return math.Sqrt(sum)
}

// typicalUncertainty returns the relative standard uncertainty of one more
// reading like those used: their root mean square, scatter included.
func (r *Result) typicalUncertainty() float64 {
	var sum float64
	for _, i := range r.problem.rows {
		o := &r.session.Log.Readings[i]
		u := o.Uncertainty / o.Frequency
		sum += u * u
	}
	return r.scatter.Scale * math.Sqrt(sum/float64(len(r.problem.rows)))
}

// missing lists what s needs and the fit doesn't hold.
func (r *Result) missing(f *forward, s *State) (m []Missing) {
	for _, p := range s.Parts {
		if f.partAt[p] < 0 && !f.parts[p].Known {
			m = append(m, Missing{AddedElement, f.parts[p].Name})
		}
	}
	if s.Core != "" && f.core(s.Core) < 0 {
		m = append(m, Missing{CoreElement, s.Core})
	}
	if !math.IsInf(s.Hand, 1) && f.hand < 0 {
		m = append(m, Missing{Kind: HandElement})
	}
	return m
}

// effects works out what s does beside changing the frequency. Ratios compare
// with the bare coil, whose uncertainty is shared.
func (r *Result) effects(f *forward, s State) []Effect {
	bare := Bare()
	const kilovolt = 1e3
	list := []struct {
		name, unit string
		log        func() float64 // of the resonance just worked out
		absolute   bool
	}{
		{Impedance, "Ω", func() float64 { return -math.Log(f.resonance.Omega * f.resonance.Capacitance) }, true},
		{"energy_per_kilovolt", "J", func() float64 { return math.Log(f.resonance.Capacitance * kilovolt * kilovolt / 2) }, true},
		{"base_current_per_kilovolt", "A", func() float64 { return math.Log(f.resonance.BaseCurrent * kilovolt) }, true},
		{"top_voltage_at_equal_energy", "1", func() float64 { return -0.5 * math.Log(f.resonance.Capacitance) }, false},
	}
	var out []Effect
	for _, item := range list {
		at := func(x []float64, s *State) float64 {
			f.at(x, s)
			return item.log()
		}
		e := Effect{Estimate: Estimate{Name: item.name, Unit: item.unit}.forget()}
		if item.absolute {
			e.Estimate = r.numeric(f, item.name, item.unit, func(x []float64) float64 { return at(x, &s) })
		}
		e.Ratio = r.numeric(f, item.name, "1", func(x []float64) float64 { return at(x, &s) - at(x, &bare) })
		out = append(out, e)
	}
	return out
}

// numeric estimates exp(log(x)).
func (r *Result) numeric(f *forward, name, unit string, log func(x []float64) float64) Estimate {
	return r.estimate(quantity{name: name, unit: unit, positive: true,
		value: exponential(func(_ *forward, x, grad []float64) float64 {
			f.slopes(x, grad, log)
			return log(x)
		})})
}
