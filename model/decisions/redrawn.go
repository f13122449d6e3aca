package decisions

import (
	"math"

	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

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
