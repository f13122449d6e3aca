package figure

import (
	"fmt"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/resonance"
)

// Resonance shows a sweep with the resonance curve through it, and what the
// curve leaves. amplitude is the unit of the amplitudes.
func Resonance(r *resonance.Result, amplitude string) Figure {
	const steps = 400
	f := Figure{Name: "resonance", Title: "Does the resonance curve fit the measured amplitudes?"}
	var x, y, rest span
	y.add(0, r.Peak.Value)
	for i, p := range r.Points {
		x.add(p.Frequency)
		y.add(p.Amplitude)
		rest.add(100 * (p.Amplitude - r.Fitted[i]) / r.Peak.Value)
	}
	u := plane{unit(x.high, "Hz"), unit(y.largest(), quantity.BaseUnit(amplitude))}
	curve := chart.Line{Style: fitted}
	for i := range steps + 1 {
		at := x.low + (x.high-x.low)*float64(i)/steps
		curve.Points = append(curve.Points, u.xy(at, r.At(at)))
	}
	whole := chart.Panel{Title: "resonance curve", Height: 180, Lines: []chart.Line{curve}}
	left := chart.Panel{Height: 80, Rules: []chart.Rule{{At: 0}}}
	f.Table.Columns = []string{axisLabel("frequency", u.x), axisLabel("amplitude", u.y), axisLabel("curve", u.y)}
	for i, p := range r.Points {
		d := chart.Point{XY: u.xy(p.Frequency, p.Amplitude), Style: captured, Small: len(r.Points) > 60}
		f.Table.Rows = append(f.Table.Rows, []string{quantity.Digits(d.X, 7), quantity.Digits(d.Y, 5), quantity.Digits(u.y.FromSI(r.Fitted[i]), 5)})
		whole.Points = append(whole.Points, d)
		d.Y = 100 * (p.Amplitude - r.Fitted[i]) / r.Peak.Value
		left.Points = append(left.Points, d)
	}
	whole.Rules = []chart.Rule{{At: u.x.FromSI(r.Resonance.Value), Upright: true, Dashed: true}}
	left.X = x.axis("frequency", u.x, 8)
	whole.X = left.X
	whole.X.Label, whole.X.Unshown = "", true
	whole.Y = chart.Over(axisLabel("amplitude", u.y), 0, 1.05*u.y.FromSI(y.high), 6)
	most := 1.1 * rest.largest()
	left.Y = chart.Over("residual (measured − curve) [% of the peak]", -most, most, 5)
	f.Panels = []chart.Panel{whole, left}
	f.Keys = []chart.Key{{Text: "readings", Style: captured, Mark: true}, {Text: "resonance curve", Style: fitted, Line: true}}
	f.Notes = []string{"Dashed: the resonance frequency."}
	f.Alt = fmt.Sprintf("%d amplitudes over frequency with a resonance curve at %s, quality factor %s.", len(r.Points),
		quantity.Format(r.Resonance.Value, r.Resonance.Uncertainty, "Hz"), quantity.Format(r.Quality.Value, r.Quality.Uncertainty, ""))
	return f
}
