package figure

import (
	"fitcoil/ioformat/figure/chart"
	"fitcoil/model"
)

// RunOrder shows the residuals in the order in which the readings were taken,
// standardised, and in hertz with the uncertainty of each reading: a drift or a
// step would say that the coil or the bench changed.
func RunOrder(r *model.Result) Figure {
	v := look(r)
	shown, exact := split(v.readings, standardised)
	f := v.scatter(shown, func(r *reading) float64 { return float64(r.order) })
	f.Name, f.Title = "residuals-run-order", "Residuals in run order"
	f.Panels[0].Height = 130
	f.Panels = append(f.Panels, v.residualPanel())
	for i := range f.Panels {
		f.Panels[i].X = chart.Counts("reading, in the order of the log", len(r.Readings), 10)
	}
	if len(shown) > 0 {
		f.Panels[0].X.Label, f.Panels[0].X.Unshown = "", true
	}
	if len(v.readings) <= mostBars {
		f.Keys = append(f.Keys, chart.Key{Text: "± one standard uncertainty", Style: chart.Ink, Bar: true, Mark: true})
	}
	f.Notes = append(residualNotes(shown, exact), v.thinned()...)
	f.Alt = residualAlt("in the order in which the readings were taken", shown, f.Panels[0].Empty)
	f.Table = v.table(v.capacitance(), "standardised residual", func(r *reading) string { return fixed(r.Standardised, 2) })
	return f
}

// mostBars is the number of readings up to which error bars keep apart.
const mostBars = 200

// residualPanel shows residuals in hertz with the uncertainty of the reading.
func (v *view) residualPanel() chart.Panel {
	fitted, _ := split(v.readings, func(r *reading) bool { return finite(r.Residual) })
	var y span
	for i := range fitted {
		low, high := v.bar(&fitted[i])
		y.add(low, high, 0)
	}
	u := unit(y.largest(), "Hz")
	p := chart.Panel{Height: 130, Rules: []chart.Rule{{At: 0}}}
	for i := range fitted {
		r := &fitted[i]
		d := r.point(float64(r.order), u.FromSI(r.Residual))
		d.Label = ""
		if low, high := v.bar(r); len(v.readings) <= mostBars {
			d.Low, d.High = u.FromSI(low), u.FromSI(high)
		}
		p.Points = append(p.Points, d)
	}
	if len(fitted) == 0 {
		p.Empty = "No residual in hertz: the fit can't say what the frequencies should be."
	}
	p.Y = chart.Over(axisLabel("read less fitted", u), u.FromSI(y.low), u.FromSI(y.high), 5)
	return p
}

// bar returns the residual less and plus the standard uncertainty of the
// reading, as large as the scatter says it is.
func (v *view) bar(r *reading) (low, high float64) {
	u := r.Weighed
	return r.Residual - u, r.Residual + u
}
