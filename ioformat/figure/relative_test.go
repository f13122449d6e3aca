package figure

import (
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/estimation"
)

// Where frequencies are far apart, residuals are parts in a million of the fitted frequency, not of the one read.
func TestRelativeResiduals(t *testing.T) {
	v := byLine(2, func(i int, o *estimation.ReadingResult) {
		o.State.Hand = 0.1 // no condition with bands
		o.Fitted, o.Residual, o.Standardised = []float64{1e6, 2e5}[i], []float64{5e5, -5e4}[i], 1
		o.Frequency = o.Fitted + o.Residual
	})
	p := v.plainResiduals(v.readings, addedAxis{most: 1e-12, shift: 1e-12, unit: quantity.UnitFor(1e-12, 0, "F")})
	for i, want := range []float64{5e5, -2.5e5} {
		if math.Abs(p.Points[i].Y-want) > 1e-6 {
			t.Errorf("%d: %g ppm, want %g", i, p.Points[i].Y, want)
		}
	}
	if p.Y.Label != "relative residual, (measured − fitted)/fitted [ppm]" {
		t.Errorf("%q", p.Y.Label)
	}
}

// Who can't see the figure of losses hears of all quality factors read, those that have no room among them.
func TestAllQualitiesAreTold(t *testing.T) {
	log := damped()
	for len(log.Readings) < 30 {
		log.Readings = append(log.Readings, log.Readings[len(log.Readings)%7])
	}
	r := solved(t, log)
	_, list := r.Losses()
	f := Losses(r)
	if want := "The inverse of " + quantity.Count(len(list), "quality factor") + " beside what each loss brings to it."; len(list) <= mostLosses || !strings.HasPrefix(f.Alt, want) {
		t.Errorf("%q, want %q", f.Alt, want)
	}
}
