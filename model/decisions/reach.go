package decisions

import (
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Control is what may be changed to reach a frequency.
type Control int

// Controls.
const (
	ByAdded   Control = iota // capacitance on the top
	ByCovered                // how much of the winding the core covers, from the grounded end
	ByHand                   // distance of a hand
)

// Reached is the answer to which setting gives a frequency.
type Reached struct {
	Target    float64 // Hz
	By        Control
	Start     readings.State // what it starts from
	Reachable bool
	Setting   quantities.Estimate // in F, as a fraction, or in m; undetermined unless Reachable
	At        Prediction          // at the setting, or at the closest one possible
	Closest   float64             // the closest setting possible, unless Reachable
	Standard  []Prediction        // with the preferred capacitors on both sides, for ByAdded
	Values    []readings.Part     // those capacitors
}

// Reach finds the setting of by that brings the frequency of state s to target
// [Hz]. tolerance is the relative standard uncertainty of a preferred capacitor
// bought for it. extra lists the parts of s beyond those of the log, as for
// Predict.
func Reach(r *estimation.Result, target float64, s readings.State, extra []readings.Part, by Control, tolerance float64) Reached {
	out := Reached{Target: target, By: by, Start: s}
	f, x := r.With(extra)
	lo, hi := settings(r, by)
	at := func(v float64) readings.State {
		c := s
		c.Parts = slices.Clone(s.Parts)
		switch by {
		case ByAdded:
			c.Exact = s.Exact + v
		case ByCovered:
			c.From, c.To = 0, v
			if v == 0 { // no stretch at all: the core is out
				c.Core, c.To = "", 1
			}
		case ByHand:
			c.Hand = v
		}
		return c
	}
	predict := func(v float64) Prediction {
		p := Predict(r, at(v), extra)
		if !p.Frequency.Determined { // then the setting says nothing
			p.State = s
		}
		return p
	}
	frequency := func(v float64) float64 {
		state := at(v)
		return f.Frequency(x, &state, nil)
	}
	out.Setting = quantities.Estimate{Key: quantities.Key{Name: "setting"}, Unit: [...]string{"F", "1", "m"}[by]}.Forget()
	flo, fhi := frequency(lo), frequency(hi)
	if !quantities.Finite(flo, fhi) {
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
	out.Setting = carryOver(r, out.Setting, by, setting, out.At.Frequency, frequency, least, most)
	if by == ByAdded && setting >= smallest {
		standard(r, &out, s, extra, setting, tolerance)
	}
	return out
}

// settings returns the range that a control can be set to; that of capacitance goes on
// where a target requires it.
func settings(r *estimation.Result, by Control) (lo, hi float64) {
	switch by {
	case ByAdded:
		return 0, 1000 * math.Exp(r.Solution.X[forward.AtC])
	case ByCovered:
		return 0, 1
	}
	return 1e-3, 100
}

// smallest is the least capacitance that parts are sold of [F] (common practice).
const smallest = 0.1e-12

// yardstick is what the uncertainty of setting v is held against: a picofarad
// more or less matters by what else is at the top, a centimetre by the distance.
func yardstick(r *estimation.Result, by Control, v float64) float64 {
	switch by {
	case ByAdded:
		return v + math.Exp(r.Solution.X[forward.AtC])
	case ByCovered:
		return 1
	}
	return v
}

// carryOver carries the uncertainty of the frequency over to the setting, through
// the slope of one against the other; it can lie between least and most.
func carryOver(r *estimation.Result, e quantities.Estimate, by Control, v float64, f quantities.Estimate, frequency func(float64) float64, least, most float64) quantities.Estimate {
	yardstick := yardstick(r, by, v)
	lo, hi := math.Max(v-1e-4*yardstick, least), math.Min(v+1e-4*yardstick, most)
	slope := (frequency(hi) - frequency(lo)) / (hi - lo)
	e.Value, e.Determined = v, true
	e.Uncertainty = f.Uncertainty / math.Abs(slope)
	e.Stated = f.Stated / math.Abs(slope)
	e.Budget = f.Budget
	r.Cover(&e, false)
	if !(e.Uncertainty <= estimation.Vague*yardstick) {
		return e.Forget()
	}
	e.Interval[0], e.Interval[1] = math.Max(e.Interval[0], least), math.Min(e.Interval[1], most)
	return e
}

// standard predicts what the preferred capacitors on both sides of the wanted
// one would give.
func standard(r *estimation.Result, out *Reached, s readings.State, extra []readings.Part, wanted, tolerance float64) {
	below, above := Preferred(wanted)
	for _, c := range []float64{below, above} {
		part := readings.Part{Capacitance: c, Uncertainty: tolerance * c, Known: true}
		out.Values = append(out.Values, part)
		state := s
		state.Parts = append(slices.Clone(s.Parts), len(r.Parts())+len(extra))
		out.Standard = append(out.Standard, Predict(r, state, append(slices.Clone(extra), part)))
	}
}
