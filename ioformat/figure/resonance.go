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
	n := len(r.Points)
	low, high := r.Points[0].Frequency, r.Points[n-1].Frequency
	ux := unit(high, "Hz")
	var y, rest span
	y.add(0, r.Peak.Value)
	for i, p := range r.Points {
		y.add(p.Amplitude)
		rest.add(100 * (p.Amplitude - r.Fitted[i]) / r.Peak.Value)
	}
	uy := unit(y.largest(), quantity.BaseUnit(amplitude))
	curve := chart.Line{Style: fitted}
	for i := range steps + 1 {
		at := low + (high-low)*float64(i)/steps
		curve.Points = append(curve.Points, chart.XY{X: ux.FromSI(at), Y: uy.FromSI(r.At(at))})
	}
	whole := chart.Panel{Title: "resonance curve", Height: 180, Lines: []chart.Line{curve}}
	left := chart.Panel{Height: 80, Rules: []chart.Rule{{At: 0}}}
	f.Table.Columns = []string{axisLabel("frequency", ux), axisLabel("amplitude", uy), axisLabel("curve", uy)}
	for i, p := range r.Points {
		x := ux.FromSI(p.Frequency)
		whole.Points = append(whole.Points, chart.Point{XY: chart.XY{X: x, Y: uy.FromSI(p.Amplitude)}, Style: captured, Small: n > 60})
		left.Points = append(left.Points, chart.Point{XY: chart.XY{X: x, Y: 100 * (p.Amplitude - r.Fitted[i]) / r.Peak.Value}, Style: captured, Small: n > 60})
		f.Table.Rows = append(f.Table.Rows, []string{quantity.Digits(x, 7), quantity.Digits(uy.FromSI(p.Amplitude), 5), quantity.Digits(uy.FromSI(r.Fitted[i]), 5)})
	}
	whole.Rules = []chart.Rule{{At: ux.FromSI(r.Resonance.Value), Upright: true, Dashed: true}}
	whole.X = chart.Over("", ux.FromSI(low), ux.FromSI(high), 8)
	whole.X.Unshown = true
	left.X = chart.Over(axisLabel("frequency", ux), ux.FromSI(low), ux.FromSI(high), 8)
	whole.Y = chart.Over(axisLabel("amplitude", uy), 0, 1.05*uy.FromSI(y.high), 6)
	most := 1.1 * rest.largest()
	left.Y = chart.Over("residual (measured − curve) [% of the peak]", -most, most, 5)
	f.Panels = []chart.Panel{whole, left}
	f.Keys = []chart.Key{{Text: "readings", Style: captured, Mark: true}, {Text: "resonance curve", Style: fitted, Line: true}}
	f.Notes = []string{"Dashed: the resonance frequency."}
	f.Alt = fmt.Sprintf("%d amplitudes over frequency with a resonance curve at %s, quality factor %s.", n,
		quantity.Format(r.Resonance.Value, r.Resonance.Uncertainty, "Hz"), quantity.Format(r.Quality.Value, r.Quality.Uncertainty, ""))
	return f
}
