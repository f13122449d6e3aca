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
	DrawingElement                      // the coil itself, after a rebuild
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
	f, x := r.with(extra)
	p := Prediction{State: s, Missing: r.missing(f, &s), Nearest: -1}
	p.Frequency = r.frequency(f, x, &s)
	e := &p.Frequency
	if r.typicalUncertainty() > vague { // one more reading could be anything
		*e = e.forget()
	}
	if !e.Determined {
		if len(p.Missing) == 0 {
			p.Missing = append(p.Missing, Missing{Kind: AddedElement})
		}
		return p
	}
	p.NewReading = r.newReading(e)
	p.Outside = r.outside(f, x, &s)
	p.Nearest = r.nearest(&s, e.Value)
	p.Effects = r.effects(f, x, s)
	return p
}

// Frequency returns the frequency of Predict alone, in a fraction of the time.
func (r *Result) Frequency(s State, extra []Part) Estimate {
	f, x := r.with(extra)
	return r.frequency(f, x, &s)
}

// Spread returns the frequency of s [Hz] and its standard uncertainty, as Frequency does
// without saying where that comes from, and whether they are determined.
func (r *Result) Spread(s State) (hz, u float64, determined bool) {
	f, x := r.with(nil)
	grad := make([]float64, f.n)
	hz = f.frequency(x, &s, grad)
	if !finite(hz) || !finite(grad...) {
		return hz, u, false
	}
	shift, model := r.atPlace(f, x, &s, grad)
	variance, determined := r.cov.Variance(grad)
	relative := math.Sqrt(variance)
	if !(relative < vague/2) { // what priors bring decides
		e := r.frequency(f, x, &s)
		return e.Value, e.Uncertainty, e.Determined
	}
	hz *= math.Exp(shift)
	return hz, hz * math.Hypot(relative, math.Hypot(model, f.lawUncertainty(x, &s))), determined
}

func (r *Result) frequency(f *forward, x []float64, s *State) Estimate {
	e := Estimate{Name: "frequency", Unit: "Hz"}
	grad := make([]float64, f.n)
	hz := f.frequency(x, s, grad)
	if !finite(hz) || !finite(grad...) {
		return e.forget()
	}
	shift, model := r.atPlace(f, x, s, grad)
	hz *= math.Exp(shift)
	e.Value = hz
	for i := range grad {
		grad[i] *= hz
	}
	r.uncertainty(&e, grad)
	e.widen(hz * math.Hypot(model, f.lawUncertainty(x, s)))
	q := quantity{name: e.Name, positive: true}
	if !e.Determined || !q.deserves(hz, e.Uncertainty, true, e.Budget) {
		return e.forget()
	}
	e.Interval = interval(hz, e.Uncertainty, r.coverageFactor(e.Budget), true)
	return e
}

// widen adds what the model errs by, own.
func (e *Estimate) widen(own float64) {
	e.Uncertainty, e.Stated = math.Hypot(e.Uncertainty, own), math.Hypot(e.Stated, own)
	if share := math.Pow(own/e.Uncertainty, 2); share > 0 {
		e.Budget = e.Budget.scaled(1 - share)
		e.Budget.Model += share
	}
}

// newReading returns the 95 % interval for one new reading where the frequency e is
// predicted. Its scatter is known as well as that of the readings used, as is what they
// bring to the uncertainty of e.
func (r *Result) newReading(e *Estimate) [2]float64 {
	own := e.Value * r.typicalUncertainty()
	u := math.Hypot(e.Uncertainty, own)
	share := math.Pow(own/u, 2)
	b := e.Budget.scaled(1 - share)
	b.Readings += share
	return interval(e.Value, u, r.coverageFactor(b), true)
}

// PredictAll predicts each state; parts lists those that the states refer to,
// the log's own first.
func (r *Result) PredictAll(states []State, parts []Part) []Prediction {
	out := make([]Prediction, len(states))
	for i, s := range states {
		out[i] = r.Predict(s, parts[len(r.Parts()):])
	}
	return out
}

// with returns the forward model and the unknowns with room for the errors of
// parts that no reading shares: those of extra, and those of the log that are in
// no reading used. Each is one more unknown, nil with standard uncertainty one.
func (r *Result) with(extra []Part) (*forward, []float64) {
	if len(extra) > 0 {
		return r.extra(extra)
	}
	if r.further.forward == nil {
		r.further.forward, r.further.x = r.extra(nil)
	}
	return r.further.forward, r.further.x
}

// further is what with returns for no extra parts, made when first asked for.
type further struct {
	*forward
	x []float64
}

func (r *Result) extra(extra []Part) (*forward, []float64) {
	f := *r.problem.forward
	f.parts = append(slices.Clone(f.parts), extra...)
	f.partAt = slices.Clone(f.partAt)
	f.lotAt = slices.Clone(f.lotAt)
	for i := range extra {
		f.partAt, f.lotAt = append(f.partAt, -1), append(f.lotAt, f.lotOf(&extra[i]))
	}
	if f.lead < 0 && !rulesOut(r.session.Known, LeadCapacitance) {
		f.lead = f.take(1)
	}
	for i, p := range f.parts {
		if f.partAt[i] < 0 && p.Known && p.Uncertainty > 0 && (f.lotAt[i] < 0 || p.Common < 1) {
			f.partAt[i] = f.take(1)
			if f.owned > 0 {
				f.owned++ // these stand after the others
			}
		}
	}
	x := make([]float64, f.n)
	copy(x, r.fit.X)
	return &f, x
}

// typicalUncertainty returns the relative standard uncertainty of one more
// reading like those used: their root mean square, scatter included. Behind a
// mean, one reading scatters more.
func (r *Result) typicalUncertainty() float64 {
	var sum float64
	for _, i := range r.problem.rows {
		o := &r.session.Log.Readings[i]
		u := r.scatter.Scale * o.Uncertainty
		if o.Repeats != nil {
			u = math.Hypot(u, o.Repeats.Deviation)
		}
		u /= o.Frequency
		sum += u * u
	}
	return math.Sqrt(sum / float64(len(r.problem.rows)))
}

// missing lists what s needs and the fit doesn't hold.
func (r *Result) missing(f *forward, s *State) (m []Missing) {
	for _, p := range s.Parts {
		if f.partAt[p] < 0 && !f.parts[p].Known {
			m = append(m, Missing{AddedElement, f.parts[p].Name})
		}
	}
	if s.Core != "" && f.core(s.Core) == nil {
		m = append(m, Missing{CoreElement, s.Core})
	}
	if !math.IsInf(s.Hand, 1) && f.hand < 0 {
		m = append(m, Missing{Kind: HandElement})
	}
	return m
}

// effects works out what s does beside changing the frequency. Ratios compare
// with the bare coil, whose uncertainty is shared.
func (r *Result) effects(f *forward, x []float64, s State) []Effect {
	bare := Bare()
	const kilovolt = 1e3
	var out []Effect
	for _, item := range []struct {
		name, unit string
		log        func(m *Resonance) float64
		absolute   bool
	}{
		{Impedance, "Ω", func(m *Resonance) float64 { return -math.Log(m.Omega * m.Capacitance) }, true},
		{"energy_at_1_kV", "J", func(m *Resonance) float64 { return math.Log(m.Capacitance * kilovolt * kilovolt / 2) }, true},
		{"base_current_at_1_kV", "A", func(m *Resonance) float64 { return math.Log(m.BaseCurrent * kilovolt) }, true},
		{"top_voltage_at_equal_energy", "1", func(m *Resonance) float64 { return -0.5 * math.Log(m.Capacitance) }, false},
	} {
		at := func(x []float64, s *State) float64 {
			f.at(x, s)
			return item.log(&f.resonance)
		}
		e := Effect{Estimate: Estimate{Name: item.name, Unit: item.unit}.forget()}
		if item.absolute {
			e.Estimate = r.numeric(f, x, item.name, item.unit, func(x []float64) float64 { return at(x, &s) })
		}
		e.Ratio = r.numeric(f, x, item.name, "1", func(x []float64) float64 { return at(x, &s) - at(x, &bare) })
		out = append(out, e)
	}
	return out
}

// numeric estimates exp(log(x)).
func (r *Result) numeric(f *forward, x []float64, name, unit string, log func(x []float64) float64) Estimate {
	return r.estimateAt(f, x, quantity{name: name, unit: unit, positive: true,
		value: exponential(func(_ *forward, x, grad []float64) float64 {
			f.slopes(x, grad, log)
			return log(x)
		})})
}
