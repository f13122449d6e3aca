package decisions

import (
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
	"fitcoil/model/voltage"
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

// Prediction is what the fitted model says of a state that may not have been
// read.
type Prediction struct {
	State      readings.State
	Frequency  quantities.Estimate // of the coil itself, "frequency"; the interval is that of the mean
	NewReading [2]float64          // 95 % interval for one new reading [Hz]
	Missing    []Missing           // why the frequency is undetermined
	Outside    []Outside           // in what respects the state lies outside those read
	Nearest    int                 // index in Result.Readings of the reading most like it
	Stress     *voltage.Stress     // where the voltage stands; nil where the winding isn't drawn
	Heats      []estimation.Heat   // what is lost where; none where no quality factor determines it
	Effects    []Effect            // what else the change does; undetermined ones included
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
	CombinedElement                     // core and hand at once
	PrimaryElement                      // the primary, with a core or without
	DrawingElement                      // the coil itself, after a rebuild
)

// Effect is a consequence of a state beside its frequency, compared with the
// bare coil.
type Effect struct {
	quantities.Estimate
	Ratio quantities.Estimate // to the bare coil
}

// HandDrop returns by how much the hand of s lowers the frequency that s has with nobody
// near [Hz]. Between the distances read, and beyond, it counts what the hand's law leaves
// open.
func HandDrop(r *estimation.Result, s readings.State) quantities.Estimate {
	away := s
	away.Hand = math.Inf(1)
	near := 0.0
	e := r.Estimate(forward.Quantity{Key: quantities.Key{Name: quantities.HandFrequencyDrop, Hand: s.Hand}, Unit: "Hz", Unsigned: true,
		Value: func(f *forward.Model, x, grad []float64) float64 {
			other := make([]float64, len(grad))
			near = f.Frequency(x, &s, grad)
			far := f.Frequency(x, &away, other)
			for i := range grad {
				grad[i] = far*other[i] - near*grad[i]
			}
			return far - near
		}})
	r.Problem.At(r.Solution.X, &s)
	if own := near * r.Problem.LawUncertainty(r.Solution.X, &s); e.Determined && own > 0 {
		e.Widen(own)
		r.Cover(&e, false)
		e.Interval[0] = math.Max(e.Interval[0], 0)
	}
	return e
}

// stress returns where the voltage stands in state s, by the fitted mode; nil where the
// winding isn't drawn. A core partly in sticks out at the end that it covers.
func stress(r *estimation.Result, f *forward.Model, x []float64, s *readings.State) *voltage.Stress {
	l, ok := f.Resonator.(*resonator.Ladder)
	if !ok || r.Session.Drawn == nil {
		return nil
	}
	c := r.Session.Drawn.Drawing.Coil
	core := s.Core != "" && l.Knows(s.Core)
	switch b := &c.Beads; {
	case core && s.From == 0 && s.To < 1:
		b.Start = s.To*c.Length - b.Whole() + b.Spacing/2
	case core && s.From > 0 && s.To == 1:
		b.Start = s.From*c.Length + b.Spacing/2
	}
	f.At(x, s)
	if !quantities.Finite(f.Resonance.Omega) {
		return nil
	}
	out := voltage.Of(c, l.Profile(c.Length), core)
	return &out
}

// Beyond returns Prediction.Outside of s alone, in a fraction of the time.
func Beyond(r *estimation.Result, s readings.State) []Outside {
	f, x := r.With(nil)
	return outside(r, f, x, &s)
}

// outside tells in what respects s reaches beyond the readings used, those of earlier sessions among them: a core or
// a hand in a combination never read, or a setting beyond the range read.
func outside(r *estimation.Result, f *forward.Model, x []float64, s *readings.State) (out []Outside) {
	var added, covered, hand []float64 // as read
	together := false
	near := !math.IsInf(s.Hand, 1)
	for o := range r.Session.StatesRead() {
		isNear := !math.IsInf(o.Hand, 1)
		if o.Core == s.Core && s.Core != "" {
			covered = append(covered, o.To-o.From)
		}
		if isNear && near {
			hand = append(hand, o.Hand)
		}
		if o.Core == s.Core && isNear == near {
			together = true
		}
		if o.Core == s.Core {
			added = append(added, f.Added(x, o))
		}
	}
	check := func(element StateElement, read []float64, v float64) {
		var from, to float64
		if len(read) > 0 {
			from, to = slices.Min(read), slices.Max(read)
		}
		slack := 1e-9 * math.Max(math.Abs(from), math.Abs(to)) // rounding
		if len(read) == 0 || !(v >= from-slack && v <= to+slack) {
			out = append(out, Outside{element, from, to, v})
		}
	}
	check(AddedElement, added, f.Added(x, s))
	if s.Core != "" {
		check(CoveredElement, covered, s.To-s.From)
	}
	if near {
		check(HandElement, hand, s.Hand)
	}
	if near && s.Core != "" && !together {
		out = append(out, Outside{Element: CombinedElement, From: math.NaN(), To: math.NaN()})
	}
	return out
}

// nearest returns the index in Readings of the used reading most like s: of the
// same condition if there is one, then of the nearest frequency.
func nearest(r *estimation.Result, s *readings.State, hz float64) int {
	best, least := -1, math.Inf(1)
	for i := range r.Readings {
		o := &r.Readings[i]
		if !o.Use {
			continue
		}
		far := math.Abs(math.Log(o.Frequency / hz))
		if o.Core != s.Core {
			far += 2
		}
		if math.IsInf(o.Hand, 1) != math.IsInf(s.Hand, 1) {
			far++
		}
		if far < least {
			best, least = i, far
		}
	}
	return best
}
