package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// The scale begins and ends with a tick, each tick stands where its number is, and every
// reading has its place between them.
func TestDialHoldsAllReadings(t *testing.T) {
	for _, scale := range []float64{1, 1e-3} { // MHz and kHz
		var log readings.Log
		for i, f := range []float64{2.519e6, 1.785e6, 0.888e6, 2.485e6} {
			s := readings.Bare()
			switch i {
			case 1:
				s.Core, s.To = "rod", 1
			case 2:
				s.Exact = 22e-12
			case 3:
				s.Hand = 0.1
			}
			log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Frequency: scale * f, Uncertainty: 800 * scale, Use: true, Amplitude: math.NaN(), Quality: math.NaN()})
		}
		r := must.Get(model.Fit(estimation.Session{Log: log})).In(t)
		d := newDial(r, nil)
		place := func(at string) float64 {
			return must.Get(strconv.ParseFloat(at, 64)).In(t)
		}
		if d.Min > 0.888e6*scale || d.Max < 2.519e6*scale || d.Min < 0 || d.Max > 2*2.519e6*scale {
			t.Errorf("a scale from %g to %g", d.Min, d.Max)
		}
		if n := len(d.Ticks); n < 4 || n > 12 || d.Ticks[0].At != "0.000" || d.Ticks[n-1].At != "100.000" {
			t.Errorf("ticks %v", d.Ticks)
		}
		for _, k := range d.Ticks {
			if f := place(k.Label) * d.Scale; !(math.Abs(100*(f-d.Min)/(d.Max-d.Min)-place(k.At)) <= 1e-3) {
				t.Errorf("%s %s stands at %s %%", k.Label, d.Unit, k.At)
			}
		}
		kinds := []string{"plain", "core", "plain", "hand"}
		for i, s := range d.Stations {
			f := log.Readings[i].Frequency
			if !(math.Abs(100*(f-d.Min)/(d.Max-d.Min)-place(s.At)) <= 1e-3) || s.Kind != kinds[i] {
				t.Errorf("%g Hz stands at %s %%, as %s", f, s.At, s.Kind)
			}
		}
		if ends := fmt.Sprintf("the lowest at %s and the highest at %s.", quantity.FormatValue(0.888e6*scale, 4, "Hz"), quantity.FormatValue(2.519e6*scale, 4, "Hz")); len(d.Stations) != 4 || !strings.HasSuffix(d.Alt, ends) {
			t.Errorf("%d stations, %q", len(d.Stations), d.Alt)
		}
	}
}
