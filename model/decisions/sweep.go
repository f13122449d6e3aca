package decisions

import (
	"math"

	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

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
