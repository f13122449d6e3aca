package estimation

import (
	"math"
	"slices"

	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// mostCarried is the number of readings above which a later session can't take them: their
// covariance grows with the square of it.
const mostCarried = 500

// Carry returns what r knows of the coil for a later session: the sessions that it follows
// itself, and its own; nil where there are too many readings. Those with a primary stay behind.
func (r *Result) Carry() []Earlier {
	if len(r.Problem.Rows) > mostCarried {
		return nil
	}
	p := r.Problem
	e := Earlier{Scale: r.Scatter.Scale, Checked: r.Scatter.Redundancy}
	e.Squares, e.Freedom = r.Quality.ChiSquare, float64(r.Quality.DegreesOfFreedom)
	for i := range p.Earlier {
		e.Squares, e.Freedom = e.Squares-p.Earlier[i].Squares, e.Freedom-p.Earlier[i].Freedom
	}
	if e.Scale > 1 { // enlarged uncertainties explain it
		e.Squares = e.Freedom
	}
	weights := r.Solution.RowWeights()
	moment, own := p.expectedDrift()
	drift := make([]float64, 0, len(p.Rows))
	places := map[int][]float64{}
	for k, i := range p.Rows {
		o := &p.Log.Readings[i]
		if o.Primary.Kind != readings.PrimaryOpen || !(weights[k] > 0) {
			continue
		}
		n := len(e.States)
		e.States = append(e.States, o.State)
		e.Hertz = append(e.Hertz, o.Frequency*math.Exp(-moment*p.moments[i]))
		e.Relative = append(e.Relative, p.Weighed[k]/o.Frequency/weights[k])
		drift = append(drift, own*p.moments[i])
		if at := p.Place(&o.State); p.model != nil && p.model[k] > 0 {
			places[at] = append(places[at], make([]float64, n+1-len(places[at]))...)
			places[at][n] = forward.InCommon * p.model[k]
		}
	}
	if own > 0 {
		e.Shared = append(e.Shared, drift)
	}
	for _, l := range p.Places {
		if v := places[l.At]; v != nil {
			e.Shared = append(e.Shared, append(v, make([]float64, len(e.States)-len(v))...))
		}
	}
	for _, k := range p.Knowns {
		if !k.Drawn && k.Name != quantities.Drift {
			e.Known = append(e.Known, k.Known)
		}
	}
	all := append(slices.Clone(r.Session.Earlier), e)
	for i := range all {
		all[i].keepParts(p.Parts)
	}
	return all
}

// expectedDrift is what was known of the drift before any reading, in ln f from the first to
// the last, and its standard uncertainty.
func (p *Problem) expectedDrift() (mean, u float64) {
	if p.Drift < 0 {
		return 0, 0
	}
	for i := range p.Knowns {
		if k := &p.Knowns[i]; k.Name == quantities.Drift {
			per := make([]float64, p.N)
			k.q.Value(p.Model, make([]float64, p.N), per)
			scale := forward.DriftSigma / per[p.Drift]
			return k.Value * scale, k.Uncertainty * scale
		}
	}
	return 0, p.room(p.Drift) * forward.DriftSigma
}

// keepParts gives e the parts that its states name, out of list, as they are stated there.
func (e *Earlier) keepParts(list []readings.Part) {
	index := map[int]int{}
	e.Parts, e.States = nil, slices.Clone(e.States)
	for i := range e.States {
		own := make([]int, len(e.States[i].Parts))
		for k, p := range e.States[i].Parts {
			if _, ok := index[p]; !ok {
				index[p] = len(e.Parts)
				e.Parts = append(e.Parts, list[p])
			}
			own[k] = index[p]
		}
		e.States[i].Parts = own
	}
}
