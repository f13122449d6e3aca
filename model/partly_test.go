package model

import (
	"math"
	"testing"
)

// How far the line is off a winding whose turns all couple, with a core that
// slides in, is what it says of itself: what a fit of such readings leaves at the
// partly covered ones, against the coupled ladder of a drawing, has a root mean
// square near the uncertainty added for it. At higher gains: field.TestSweep.
func TestLineKnowsItsFailing(t *testing.T) {
	d := mustDraw(t, sketch())
	steps := []step{added(), added(2.2), added(4.7), added(10), added(22), added().rod(1), added(4.7).rod(1)}
	for i := 1; i < 10; i++ {
		steps = append(steps, added().rod(float64(i)/10), added(10).rod(float64(i)/10))
	}
	s := asDrawn(t, d, 0.4e-12, 1, steps...)
	s.Ladder, s.Drawn = nil, nil
	r := mustFit(t, s)
	var sum, worst, n float64
	for _, o := range r.Readings {
		if o.Core != "" && o.To < 1 {
			off := o.Residual / o.Fitted
			sum += off * off
			worst = math.Max(worst, math.Abs(off))
			t.Logf("%v %v %+.3f %%", o.To, len(o.Parts), 100*off)
			n++
		}
	}
	rms := math.Sqrt(sum / n)
	t.Logf("off by %.3f %% rms, %.3f %% at worst, of %v states", 100*rms, 100*worst, n)
	stated := partlyCovered(r.Find(CoreGain, "rod", "", 0).Value)
	if rms < stated/1.5 || rms > 1.5*stated {
		t.Errorf("off by %v rms, stated %v", rms, stated)
	}
}
