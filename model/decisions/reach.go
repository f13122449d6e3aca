package decisions

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
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

// preferred returns the values of the E24 series in one decade, of which every
// second one is the E12 series (IEC 60063:2015, table 1).
func preferred() [24]float64 {
	return [24]float64{1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0,
		3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1}
}

// series6 returns the values of the E6 series, every fourth one, from … to.
func series6(from, to float64) (list []float64) {
	series := preferred()
	for decade := math.Pow(10, math.Floor(math.Log10(from))); decade <= to; decade *= 10 {
		for i := 0; i < len(series); i += 4 {
			if c := series[i] * decade; c >= from && c <= to {
				list = append(list, c)
			}
		}
	}
	return list
}

// Preferred returns the nearest values of the E24 series at or below, and
// above, v > 0.
func Preferred(v float64) (below, above float64) {
	decade := math.Pow(10, math.Floor(math.Log10(v)))
	series := preferred()
	below, above = series[23]*decade/10, decade
	for _, e := range series {
		if c := e * decade; c <= v*(1+1e-12) {
			below = c
		} else {
			return below, c
		}
	}
	return below, 10 * decade
}

// mostAtHand is how many parts are tried in pairs: beyond, those that come nearest alone.
const mostAtHand = 60

// NearestAtHand predicts the best sums of up to two of the parts at hand on the top of
// state s, to bring it to target [Hz]: the n whose frequency is nearest, nearest first, as
// far as they come nearer than s itself.
// parts are indexes; extra lists the parts beyond those of the log, as for Predict.
func NearestAtHand(r *estimation.Result, target float64, s readings.State, extra []readings.Part, parts []int, n int) (out []Prediction) {
	f, x := r.With(extra)
	type set struct {
		parts []int
		off   float64
	}
	try := func(add ...int) set {
		with := s
		with.Parts = append(slices.Clone(s.Parts), add...)
		return set{add, math.Abs(math.Log(f.Frequency(x, &with, nil) / target))}
	}
	bare := try()
	nearer := func(a, b set) int { return cmp.Compare(a.off, b.off) }
	var sets []set
	for _, p := range parts {
		sets = append(sets, try(p))
	}
	stable.Sort(sets, nearer)
	single := slices.Clone(sets[:min(len(sets), mostAtHand)])
	for i, a := range single {
		for _, b := range single[i+1:] {
			sets = append(sets, try(a.parts[0], b.parts[0]))
		}
	}
	stable.Sort(sets, nearer)
	for _, c := range sets[:min(n, len(sets))] {
		if c.off >= bare.off {
			break
		}
		with := s
		with.Parts = append(slices.Clone(s.Parts), c.parts...)
		if p := Predict(r, with, extra); p.Frequency.Determined {
			out = append(out, p)
		}
	}
	return out
}

// Redrawn is the answer to which value of one quantity of a drawing gives a frequency.
type Redrawn struct {
	Reachable bool
	Setting   quantities.Estimate // in SI; undetermined unless Reachable
	Closest   float64             // the value tried that comes closest, unless Reachable
	At        Prediction          // at the setting, or at the closest value
}

// A quantity of a drawing is changed by a factor of redrawnRange at most, in at most
// redrawnSteps drawings, until the frequency is off by less than redrawnOff.
const (
	redrawnRange = 3
	redrawnSteps = 8
	redrawnOff   = 2e-5
)

// ReachRedrawn finds the value of one quantity of the drawing before that brings state s
// to target [Hz]; present is its value now, and draw the coil with another. A count is
// rounded by draw: whole tells so. extra is as for Predict.
//
// It goes by secants in the logarithms, in which most dependences are nearly straight.
// The error is that of draw.
func ReachRedrawn(r *estimation.Result, target float64, before *drawing.Drawn, s readings.State, extra []readings.Part,
	present float64, whole bool, draw func(v float64) (*drawing.Drawn, error)) (out Redrawn, err error) {
	out.Setting = quantities.Estimate{Key: quantities.Key{Name: "setting"}}.Forget()
	at := func(v float64) (Prediction, error) {
		d, err := draw(v)
		if err != nil {
			return Prediction{}, err
		}
		b, err := NewRebuild(before, d)
		if err != nil {
			return Prediction{}, err
		}
		return Rebuilt(r, b, s, extra), nil
	}
	now := Predict(r, s, extra)
	out.At, out.Closest = now, present
	if !now.Frequency.Determined {
		return out, nil
	}
	slope, err := out.search(at, target, present, whole)
	if err != nil || math.IsNaN(slope) {
		return out, err
	}
	e := &out.At.Frequency
	most := math.Max(redrawnOff, 0.1*e.Uncertainty/e.Value)
	if whole {
		most = math.Max(most, math.Abs(slope)*0.5/out.Closest) // half a bead
	}
	if math.Abs(math.Log(e.Value/target)) > most {
		return out, nil
	}
	out.Reachable = true
	out.Setting = setTo(out.Setting, out.Closest, e, slope)
	r.Cover(&out.Setting, true)
	if !(out.Setting.Uncertainty <= estimation.Vague*out.Closest) {
		out.Setting = out.Setting.Forget()
	}
	return out, nil
}

// search goes to the value at which the frequency is target, from the present one, and
// keeps the closest. It returns the slope ∂ln f/∂ln v there, NaN where the frequency
// hardly depends on the value.
func (out *Redrawn) search(at func(float64) (Prediction, error), target, present float64, whole bool) (slope float64, err error) {
	x0, y0 := math.Log(present), math.Log(out.At.Frequency.Value/target)
	nearest, x := math.Abs(y0), x0+0.1
	if whole { // of few, a tenth more is as many
		x = math.Max(x, math.Log(present+1))
	}
	for range redrawnSteps {
		if whole {
			x = math.Log(math.Round(math.Exp(x)))
		}
		if math.Abs(x-x0) < 1e-9 { // the next count is this one
			break
		}
		p, err := at(math.Exp(x))
		if err != nil || !p.Frequency.Determined {
			return math.NaN(), err
		}
		y := math.Log(p.Frequency.Value / target)
		if math.Abs(y) < nearest {
			nearest, out.At, out.Closest = math.Abs(y), p, math.Exp(x)
		}
		if slope = (y - y0) / (x - x0); !(math.Abs(slope) > 1e-4) {
			return math.NaN(), nil
		}
		if nearest < redrawnOff {
			break
		}
		x0, y0 = x, y
		x = math.Min(math.Max(x0-y/slope, math.Log(present/redrawnRange)), math.Log(present*redrawnRange))
	}
	return slope, nil
}

// setTo makes the estimate of a value v whose uncertainty is that of the frequency,
// through the slope of one against the other.
func setTo(e quantities.Estimate, v float64, f *quantities.Estimate, slope float64) quantities.Estimate {
	e.Value, e.Determined, e.Budget = v, true, f.Budget
	e.Uncertainty = v * f.Uncertainty / f.Value / math.Abs(slope)
	e.Stated = v * f.Stated / f.Value / math.Abs(slope)
	return e
}
