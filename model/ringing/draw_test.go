package ringing

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

func TestDrawing(t *testing.T) {
	const columns = 250
	c := invented{n: 20000, interval: coilInterval, sigma: 0.005, pretrig: 2000, timeStart: -8e-6, tones: []sine{natural(1, 1.5e6, 50, 0.4)}}
	s := c.signal(rand.New(rand.NewPCG(1, 1)))
	s.Samples[1234] = 0.4 // a spike that thinning must not lose
	r := must.Get(Analyse(s, Settings{Columns: columns})).In(t)
	v := r.Drawing.Whole
	if len(v.Trace.Time) != columns || v.Trace.Time[0] < s.Start || v.Trace.Time[columns-1] > s.Start+20000*coilInterval {
		t.Errorf("%d columns from %g to %g s", len(v.Trace.Time), v.Trace.Time[0], v.Trace.Time[columns-1])
	}
	if got := v.Trace.Max[1234*columns/20000]; got != 0.4 {
		t.Errorf("the spike is drawn as %g V", got)
	}
	if !math.IsNaN(v.Fit.Min[0]) {
		t.Error("a fit is drawn before the burst")
	}
	last := columns - 1
	for i := range columns {
		if v.Trace.Min[i] > v.Trace.Max[i] || v.Fit.Min[i] > v.Fit.Max[i] {
			t.Errorf("column %d upside down", i)
		}
	}
	near.To(t, "residual", v.Residual.Max[last], 0, 0.04)

	// Where each sample has its column, trace = fit + residual.
	r = must.Get(Analyse(s, Settings{Columns: 1e6})).In(t)
	for i, y := range r.Drawing.Detail.Trace.Min {
		d := r.Drawing.Detail
		if fit := d.Fit.Min[i]; !math.IsNaN(fit) {
			near.To(t, "fit + residual", fit+d.Residual.Min[i], y, 1e-12)
		}
	}
}

// The spectrum is in amplitudes of a sine, whatever the averaging.
func TestSpectrumAmplitude(t *testing.T) {
	for _, interval := range []float64{coilInterval, 1e-9} {
		r := analyse(t, invented{n: 8000, interval: interval, sigma: 1e-3, tones: []sine{{0.7, 6e6, 0, 0}}}, 1)
		s := r.Drawing.Spectrum
		best := 0
		for i, a := range s.Trace {
			if a > s.Trace[best] {
				best = i
			}
		}
		near.To(t, "amplitude", s.Trace[best], 0.7, 0.02)
		near.To(t, "frequency", s.Frequency[best], 6e6, 0.5/(8000*interval))
		if s.Residual[best] > 0.01 {
			t.Errorf("residual of %g V at the tone", s.Residual[best])
		}
	}
}
