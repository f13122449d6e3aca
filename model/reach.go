package model

import (
	"math"
	"slices"
)

// Lever is what may be changed to reach a frequency.
type Lever int

// Levers.
const (
	ByAdded   Lever = iota // capacitance on the top
	ByCovered              // how much of the winding the core covers, from the grounded end
	ByHand                 // distance of a hand
)

// Reach is the answer to which setting gives a frequency.
type Reach struct {
	Target    float64 // Hz
	By        Lever
	Reachable bool
	Setting   Estimate     // in F, as a fraction, or in m; undetermined unless Reachable
	At        Prediction   // at the setting, or at the closest one possible
	Closest   float64      // the closest setting possible, unless Reachable
	Standard  []Prediction // with the preferred capacitors on both sides, for ByAdded
	Values    []Part       // those capacitors
}

// Reach finds the setting of by that brings the frequency of state s to target
// [Hz]. tolerance is the relative standard uncertainty of a preferred capacitor
// bought for it. extra lists the parts of s beyond those of the log, as for
// Predict.
func (r *Result) Reach(target float64, s State, extra []Part, by Lever, tolerance float64) Reach {
	out := Reach{Target: target, By: by}
	f, x := r.with(extra)
	lo, hi := r.settings(by)
	at := func(v float64) State {
		c := s
		c.Parts = slices.Clone(s.Parts)
		switch by {
		case ByAdded:
			c.Exact = s.Exact + v
		case ByCovered:
			c.From, c.To = 0, v
		case ByHand:
			c.Hand = v
		}
		return c
	}
	predict := func(v float64) Prediction {
		p := r.Predict(at(v), extra)
		if !p.Frequency.Determined { // then the setting says nothing
			p.State = s
		}
		return p
	}
	frequency := func(v float64) float64 {
		state := at(v)
		return f.frequency(x, &state, nil)
	}
	out.Setting = Estimate{Name: "setting", Unit: [...]string{"F", "1", "m"}[by]}.forget()
	flo, fhi := frequency(lo), frequency(hi)
	if !finite(flo, fhi) {
		out.At = predict(hi)
		return out
	}
	if by == ByAdded && fhi > target { // there is no limit to what can be added
		hi *= 2 * (fhi / target) * (fhi / target)
		fhi = frequency(hi)
	}
	least, most := lo, hi
	if (flo-target)*(fhi-target) > 0 {
		out.Closest = lo
		if math.Abs(fhi-target) < math.Abs(flo-target) {
			out.Closest = hi
		}
		out.At = predict(out.Closest)
		return out
	}
	rising := fhi > flo
	for range 200 {
		mid := (lo + hi) / 2
		if (frequency(mid) < target) == rising {
			lo = mid
		} else {
			hi = mid
		}
	}
	setting := (lo + hi) / 2
	out.At = predict(setting)
	if !out.At.Frequency.Determined {
		return out
	}
	out.Reachable = true
	out.Setting = r.setting(out.Setting, by, setting, out.At.Frequency, frequency, least, most)
	if by == ByAdded && setting >= smallest {
		r.standard(&out, s, extra, setting, tolerance)
	}
	return out
}

// settings returns the range that a lever can be set to; that of capacitance goes on
// where a target asks for it.
func (r *Result) settings(by Lever) (lo, hi float64) {
	switch by {
	case ByAdded:
		return 0, 1000 * math.Exp(r.fit.X[atC])
	case ByCovered:
		return 0, 1
	}
	return 1e-3, 100
}

// smallest is the least capacitance that parts are sold of [F] (common practice).
const smallest = 0.1e-12

// yardstick is what the uncertainty of setting v is held against: a picofarad
// more or less matters by what else is at the top, a centimetre by the distance.
func (r *Result) yardstick(by Lever, v float64) float64 {
	switch by {
	case ByAdded:
		return v + math.Exp(r.fit.X[atC])
	case ByCovered:
		return 1
	}
	return v
}

// setting carries the uncertainty of the frequency over to the setting, through
// the slope of one against the other; it can lie between least and most.
func (r *Result) setting(e Estimate, by Lever, v float64, f Estimate, frequency func(float64) float64, least, most float64) Estimate {
	yardstick := r.yardstick(by, v)
	lo, hi := math.Max(v-1e-4*yardstick, least), math.Min(v+1e-4*yardstick, most)
	slope := (frequency(hi) - frequency(lo)) / (hi - lo)
	e.Value, e.Determined = v, true
	e.Uncertainty = f.Uncertainty / math.Abs(slope)
	e.Stated = f.Stated / math.Abs(slope)
	e.Budget = f.Budget
	e.Interval = interval(v, e.Uncertainty, r.coverageFactor(f.Budget), false)
	if !(e.Uncertainty <= vague*yardstick) {
		return e.forget()
	}
	e.Interval[0], e.Interval[1] = math.Max(e.Interval[0], least), math.Min(e.Interval[1], most)
	return e
}

// standard predicts what the preferred capacitors on both sides of the wanted
// one would give.
func (r *Result) standard(out *Reach, s State, extra []Part, wanted, tolerance float64) {
	below, above := Preferred(wanted)
	for _, c := range []float64{below, above} {
		part := Part{Capacitance: c, Uncertainty: tolerance * c, Known: true}
		out.Values = append(out.Values, part)
		state := s
		state.Parts = append(slices.Clone(s.Parts), len(r.Parts())+len(extra))
		out.Standard = append(out.Standard, r.Predict(state, append(slices.Clone(extra), part)))
	}
}
