package decisions

import (
	"errors"
	"math"
	"slices"

	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Rebuild is how a coil will differ after a change of its drawing: the
// difference of two drawings, to be carried onto what the readings say.
type Rebuild struct {
	Inductance, Winding float64 // factors on the winding's inductance and capacitance
	Top                 float64 // F, added to the top's capacitance
	Core                string  // the core drawn, "" for none
	Gain                float64 // factor on g − 1 of that core
	was, is             placed  // what its beads cover as drawn, before and after
	beadsAlone          bool    // nothing else of the drawing changes
	ladder              *resonator.Ladder
}

// placed is a stretch that a core covers as drawn.
type placed struct {
	from, to float64
	allIn    bool // or nearly
}

// How well a difference of two drawings is known, as a fraction of itself: the
// errors of both are much alike and cancel; what stays is that of the change.
const (
	rebuildInductance = 0.02 // a change of turns or size enters by a closed form
	rebuildWinding    = 0.1
	rebuildTop        = 0.2 // ball and winding screen each other
	rebuildGain       = 0.1
)

// NewRebuild returns the difference of two drawings. It fails where the new
// winding is impossible.
func NewRebuild(before, after *drawing.Drawn) (Rebuild, error) {
	ratio := func(name string) float64 { return after.Find(name).Value / before.Find(name).Value }
	r := Rebuild{
		Inductance: ratio(quantities.Inductance), Winding: ratio(quantities.WindingCapacitance), Gain: 1,
		Top: after.Find(quantities.TopCapacitance).Value - before.Find(quantities.TopCapacitance).Value,
	}
	coil := before.Drawing.Coil
	coil.Beads = after.Drawing.Coil.Beads
	r.beadsAlone = coil == after.Drawing.Coil
	if before.Core != nil && after.Core != nil {
		r.Core = after.Drawing.Core
		r.Gain = (after.Core.Full.Value - 1) / (before.Core.Full.Value - 1)
		r.was.from, r.was.to, r.was.allIn = before.Beads()
		r.is.from, r.is.to, r.is.allIn = after.Beads()
		switch {
		case r.was != r.is && !r.was.allIn:
			return r, ErrCoversPart
		case after.BeyondTop() > before.BeyondTop():
			return r, ErrBeyondTop
		}
	}
	l, err := after.Drawing.Ladder()
	if err != nil {
		return r, err
	}
	r.ladder = resonator.NewLadder(l, after.KnownCore())
	return r, nil
}

// ErrCoversPart means that the beads as drawn before a change cover the winding partly:
// then all in, in a log, is not all along.
var ErrCoversPart = errors.New("the beads cover the winding partly")

// ErrBeyondTop means that the beads drawn reach beyond the winding's top, where what they do to its
// capacitance isn't carried over.
var ErrBeyondTop = errors.New("the beads reach beyond the winding's top")

// ErrIdle means that a change of the beads changes none of the frequencies asked for.
var ErrIdle = errors.New("the beads change no frequency asked for")

// moves tells whether state s has the core drawn in as it was drawn, so that it then covers what the
// beads do after the rebuild.
func (b Rebuild) moves(s *readings.State) bool {
	return b.was.allIn && s.Core == b.Core && s.From == 0 && s.To == 1
}

// on returns s with the core where it is drawn.
func (p placed) on(s readings.State) readings.State {
	s.From, s.To = p.from, p.to
	return s
}

// Apply returns the unknowns x after the rebuild.
func (b Rebuild) Apply(f *forward.Model, x []float64) []float64 {
	y := slices.Clone(x)
	y[forward.AtL] += math.Log(b.Inductance)
	c, share := math.Exp(x[forward.AtC]), 1.0
	if f.Share >= 0 {
		share = x[f.Share]
	}
	winding, top := (1-share)*c*b.Winding, math.Max(0, share*c+b.Top)
	y[forward.AtC] = math.Log(winding + top)
	if f.Share >= 0 {
		y[f.Share] = top / (winding + top)
	}
	if k := f.Core(b.Core); b.Core != "" && k != nil {
		y[k.At] = math.Log(1 + (math.Exp(x[k.At])-1)*b.Gain)
	}
	return y
}

// spread returns ln f's shift for one standard uncertainty of each part of the
// rebuild.
func (b Rebuild) spread(value func(Rebuild) float64) float64 {
	var sum float64
	at := value(b)
	for _, move := range []func(*Rebuild){
		func(c *Rebuild) { c.Inductance *= math.Exp(rebuildInductance * math.Log(b.Inductance)) },
		func(c *Rebuild) { c.Winding *= math.Exp(rebuildWinding * math.Log(b.Winding)) },
		func(c *Rebuild) { c.Top *= 1 + rebuildTop },
		func(c *Rebuild) { c.Gain *= math.Exp(rebuildGain * math.Log(b.Gain)) },
	} {
		c := b
		move(&c)
		d := value(c) - at
		sum += d * d
	}
	return math.Sqrt(sum)
}

// logFrequency returns ln f of state s after b as a function of b and the unknowns, and the state that it then
// is. A core all in is a little less than that as drawn, before and after: the frequency goes as that of where it is drawn.
func (b Rebuild) logFrequency(r *estimation.Result, s readings.State, extra []readings.Part) (f *forward.Model, x []float64, state readings.State, logf func(Rebuild, []float64) float64) {
	now, x := r.With(extra)
	f = now.Fresh(now.Resonator) // With gives the same one to all
	if _, ok := now.Resonator.(*resonator.Ladder); ok {
		own := *b.ladder // each keeps its working memory
		f.Resonator = &own
	}
	of := func(f *forward.Model, x []float64, s readings.State) float64 {
		return math.Log(f.Frequency(x, &s, nil))
	}
	if !b.moves(&s) {
		return f, x, s, func(b Rebuild, x []float64) float64 { return of(f, b.Apply(f, x), s) }
	}
	was, is := b.was.on(s), b.is.on(s)
	if state = is; b.is.allIn {
		state = s
	}
	return f, x, state, func(b Rebuild, x []float64) float64 {
		return of(f, b.Apply(f, x), is) + of(now, x, s) - of(now, x, was)
	}
}

// Rebuilt predicts state s of the coil after a rebuild. parts lists those that s
// refers to beyond those of the log, as for Predict.
func Rebuilt(r *estimation.Result, b Rebuild, s readings.State, extra []readings.Part) Prediction {
	f, x, s, logf := b.logFrequency(r, s, extra)
	p := Prediction{State: s, Missing: missing(f, &s), Nearest: -1}
	e := r.Numeric(f, x, "frequency", "Hz", func(x []float64) float64 { return logf(b, x) })
	if r.TypicalUncertainty() > estimation.Vague { // as for Predict
		e = e.Forget()
	}
	if !e.Determined {
		if len(p.Missing) == 0 {
			p.Missing = append(p.Missing, Missing{Kind: AddedElement})
		}
		p.Frequency = e
		return p
	}
	e.Widen(e.Value * math.Hypot(f.ModelUncertainty(x, &s), b.spread(func(c Rebuild) float64 { return logf(c, x) })))
	r.Cover(&e, true)
	p.NewReading = r.NewReading(&e)
	p.Frequency = e
	p.Outside = []Outside{{Element: DrawingElement, From: math.NaN(), To: math.NaN()}}
	p.Nearest = nearest(r, &s, e.Value)
	return p
}

// RebuiltAll is Rebuilt for several states, or ErrIdle.
func RebuiltAll(r *estimation.Result, b Rebuild, states []readings.State, extra []readings.Part) (list []Prediction, err error) {
	changes := !b.beadsAlone
	for _, s := range states {
		p := Rebuilt(r, b, s, extra)
		list = append(list, p)
		changes = changes || differ(p.Frequency, Predict(r, s, extra).Frequency)
	}
	if !changes {
		return nil, ErrIdle
	}
	return list, nil
}

// differ tells whether two estimates differ by more than rounding.
func differ(a, b quantities.Estimate) bool {
	const rounding = 1e-9
	return !a.Determined || !b.Determined || math.Abs(a.Value-b.Value) > rounding*b.Value
}

// SweepPoint is the coil of one drawing of a sweep.
type SweepPoint struct {
	Gain      float64 // of the core drawn, all along the winding, as the fit has it now times the change; NaN without one
	Frequency quantities.Estimate
}

// Sweep predicts state s for each of several drawings, from the present one. It fails with ErrIdle where
// all have the same frequency.
func Sweep(r *estimation.Result, before *drawing.Drawn, after []*drawing.Drawn, s readings.State, extra []readings.Part) ([]SweepPoint, error) {
	var out []SweepPoint
	changes := false
	for _, d := range after {
		b, err := NewRebuild(before, d)
		if err != nil {
			return nil, err
		}
		p := SweepPoint{Gain: math.NaN(), Frequency: Rebuilt(r, b, s, extra).Frequency}
		if e := r.Find(quantities.Key{Name: quantities.CoreGain, Core: b.Core}); b.Core != "" && e != nil && e.Determined {
			p.Gain = 1 + (e.Value-1)*b.Gain
		}
		out = append(out, p)
		changes = changes || !b.beadsAlone || differ(p.Frequency, out[0].Frequency)
	}
	if !changes {
		return nil, ErrIdle
	}
	return out, nil
}
