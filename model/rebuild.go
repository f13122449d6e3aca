package model

import (
	"errors"
	"math"
	"runtime"
	"slices"
	"sync"

	"fitcoil/fit"
)

// Rebuild is how a coil will differ after a change of its drawing: the
// difference of two drawings, to be carried onto what the readings say.
type Rebuild struct {
	Inductance, Winding float64 // factors on the winding's inductance and capacitance
	Top                 float64 // F, added to the top's capacitance
	Core                string  // the core drawn, "" for none
	Gain                float64 // factor on g − 1 of that core
	moved               bool    // its beads cover another stretch than before, all in
	from, to            float64 // which
	ladder              *ladder
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
func NewRebuild(before, after *Drawn) (Rebuild, error) {
	ratio := func(name string) float64 { return after.Find(name).Value / before.Find(name).Value }
	r := Rebuild{
		Inductance: ratio(Inductance), Winding: ratio(WindingCapacitance), Gain: 1,
		Top: after.Find(TopCapacitance).Value - before.Find(TopCapacitance).Value,
	}
	if before.Core != nil && after.Core != nil {
		r.Core = after.Drawing.Core
		r.Gain = (after.Core.Full.Value - 1) / (before.Core.Full.Value - 1)
		from, to := before.beads()
		r.from, r.to = after.beads()
		r.moved = from != r.from || to != r.to
		if r.moved && (from != 0 || to != 1) {
			return r, ErrCoversPart
		}
	}
	l, err := after.Drawing.Ladder()
	if err != nil {
		return r, err
	}
	r.ladder = newLadder(l, after.core())
	return r, nil
}

// ErrCoversPart means that the beads as drawn before a change cover the winding partly:
// then all in, in a log, is not all along.
var ErrCoversPart = errors.New("the beads as drawn cover the winding only partly, so that what a log calls 100 % is not what the change is made to; give the drawing as many beads as fill the winding")

// beads returns the stretch that the beads cover as drawn, to the ends of the winding where
// less than a thirtieth is left, as of the last gap.
func (d *Drawn) beads() (from, to float64) {
	c := &d.Drawing.Coil
	from, to = c.Beads.Start/c.Length, (c.Beads.Start+c.Beads.Whole())/c.Length
	if from < 1.0/30 {
		from = 0
	}
	if to > 1-1.0/30 {
		to = 1
	}
	return from, to
}

// state returns what state s, as the log has it, is after the rebuild: a core all in covers
// what the beads as drawn then do.
func (b Rebuild) state(s State) State {
	if b.moved && s.Core == b.Core && s.From == 0 && s.To == 1 {
		s.From, s.To = b.from, b.to
	}
	return s
}

// apply returns the unknowns x after the rebuild.
func (b Rebuild) apply(f *forward, x []float64) []float64 {
	y := slices.Clone(x)
	y[atL] += math.Log(b.Inductance)
	c, share := math.Exp(x[atC]), 1.0
	if f.share >= 0 {
		share = x[f.share]
	}
	winding, top := (1-share)*c*b.Winding, math.Max(0, share*c+b.Top)
	y[atC] = math.Log(winding + top)
	if f.share >= 0 {
		y[f.share] = top / (winding + top)
	}
	if k := f.core(b.Core); b.Core != "" && k != nil {
		y[k.at] = math.Log(1 + (math.Exp(x[k.at])-1)*b.Gain)
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

// Rebuilt predicts state s of the coil after a rebuild. parts lists those that s
// refers to beyond those of the log, as for Predict.
func (r *Result) Rebuilt(b Rebuild, s State, extra []Part) Prediction {
	s = b.state(s)
	f, x := r.with(extra)
	if _, ok := f.resonator.(*ladder); ok {
		own := *b.ladder // each keeps its working memory
		f.resonator = &own
	}
	p := Prediction{State: s, Missing: r.missing(f, &s), Nearest: -1}
	logf := func(b Rebuild, x []float64) float64 { return math.Log(f.frequency(b.apply(f, x), &s, nil)) }
	e := r.numeric(f, x, "frequency", "Hz", func(x []float64) float64 { return logf(b, x) })
	if r.typicalUncertainty() > vague { // as for Predict
		e = e.forget()
	}
	if !e.Determined {
		if len(p.Missing) == 0 {
			p.Missing = append(p.Missing, Missing{Kind: AddedElement})
		}
		p.Frequency = e
		return p
	}
	e.widen(e.Value * math.Hypot(f.modelUncertainty(x, &s), b.spread(func(c Rebuild) float64 { return logf(c, x) })))
	e.Interval = interval(e.Value, e.Uncertainty, r.coverageFactor(e.Budget), true)
	p.NewReading = r.newReading(&e)
	p.Frequency = e
	p.Outside = []Outside{{Element: DrawingElement, From: math.NaN(), To: math.NaN()}}
	p.Nearest = r.nearest(&s, e.Value)
	return p
}

// PredictAll works out several drawings on all processors, and calls done after
// each. The first failure is returned.
func PredictAll(drawings []Drawing, done func()) ([]*Drawn, error) {
	out, failed := make([]*Drawn, len(drawings)), make([]error, len(drawings))
	var lock sync.Mutex
	locked := func(do func()) {
		lock.Lock()
		defer lock.Unlock()
		do()
	}
	next := 0
	fit.OnWorkers(min(runtime.GOMAXPROCS(0), len(drawings)), func(int) {
		for {
			var i int
			locked(func() { i, next = next, next+1 })
			if i >= len(drawings) {
				return
			}
			out[i], failed[i] = drawings[i].Predict()
			locked(done)
		}
	})
	return out, errors.Join(failed...)
}

// SweepPoint is the coil of one drawing of a sweep.
type SweepPoint struct {
	Gain      float64 // of the core drawn, all along the winding, as the fit has it now times the change; NaN without one
	Frequency Estimate
}

// Sweep predicts state s for each of several drawings, from the present one.
func (r *Result) Sweep(before *Drawn, after []*Drawn, s State, extra []Part) ([]SweepPoint, error) {
	var out []SweepPoint
	for _, d := range after {
		b, err := NewRebuild(before, d)
		if err != nil {
			return nil, err
		}
		p := SweepPoint{Gain: math.NaN(), Frequency: r.Rebuilt(b, s, extra).Frequency}
		if e := r.Find(CoreGain, b.Core, "", 0); b.Core != "" && e != nil && e.Determined {
			p.Gain = 1 + (e.Value-1)*b.Gain
		}
		out = append(out, p)
	}
	return out, nil
}
