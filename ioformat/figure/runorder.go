package figure

import (
	"fmt"
	"math"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// RunOrder shows the residuals in the order in which the readings were taken,
// standardised, and as they are with the uncertainty of each reading: a drift or a
// step would say that the coil or the bench changed.
func RunOrder(r *model.Result) Figure {
	v := look(r)
	shown, exact := split(v.readings, standardised)
	upper := v.standardisedPanel(shown, func(r *reading) float64 { return float64(r.order) })
	upper.Height = 120
	f := Figure{Name: "residuals-run-order", Title: "Did the coil or the bench drift during the session?"}
	lower, notes := v.barredResiduals()
	f.Panels = []chart.Panel{upper, lower}
	for i := range f.Panels {
		f.Panels[i].X = chart.Counts("reading, in the order of the log", len(r.Readings), 10)
	}
	if len(shown) > 0 {
		f.Panels[0].X.Label, f.Panels[0].X.Unshown = "", true
	}
	f.Keys = v.keys(v.readings)
	f.Notes = append(append(residualNotes(shown, exact), notes...), v.remarks()...)
	f.Alt = v.residualAlt("in the order in which the readings were taken", shown)
	return f
}

// mostBars is the number of readings up to which error bars keep apart.
const mostBars = 100

// barredResiduals shows residuals with the uncertainty of the reading, and apart from it
// that of the model, where it has one: the axis is made for the former. Notes say what
// the bars are.
func (v *view) barredResiduals() (p chart.Panel, notes []string) {
	fitted, _ := split(v.readings, func(r *reading) bool { return quantities.Finite(r.Residual) })
	p = chart.Panel{Height: 120, Rules: []chart.Rule{{At: 0}}}
	if len(fitted) == 0 {
		p.Empty = "No residual in hertz: the fitted frequencies are not determined."
		return p, nil
	}
	var y, f span
	y.add(0)
	for i := range fitted {
		r := &fitted[i]
		f.add(r.Fitted)
		own, _ := v.uncertainties(r)
		y.add(r.Residual-own, r.Residual+own)
	}
	relative := f.high > wideFrequencies*f.low
	scale := newResidualScale(y.largest(), relative)
	y = span{}
	y.add(0)
	bars, widest := len(fitted) <= mostBars, 0.0
	for i := range fitted {
		r := &fitted[i]
		at := func(hz float64) float64 { return scale.of(hz, r.Fitted) }
		d := r.point(float64(r.order), at(r.Residual))
		d.Label = ""
		own, model := v.uncertainties(r)
		if bars {
			d.Low, d.High = at(r.Residual-own), at(r.Residual+own)
			y.add(d.Low, d.High)
		}
		y.add(d.Y)
		if bars && model > 0 {
			d.Wide, d.WideLow, d.WideHigh = true, at(-model), at(model)
			widest = math.Max(widest, model)
		}
		p.Points = append(p.Points, d)
	}
	p.Y = chart.Over(scale.label, y.low, y.high, 5)
	return p, barNotes(bars, widest, v.result.Quality.Scale)
}

// wideFrequencies is the ratio of frequencies from which on one scale in hertz hides the
// residuals of the low ones.
const wideFrequencies = 6

func barNotes(bars bool, widest, scale float64) []string {
	if !bars {
		return []string{fmt.Sprintf("No error bars: beyond %d readings they would hide each other.", mostBars)}
	}
	s := "Bars: ± one standard uncertainty of the reading"
	if scale > 1 {
		s += fmt.Sprintf(", multiplied by the Birge ratio %s", quantity.Decimals(scale, 2))
	}
	s += "."
	if widest > 0 {
		s += fmt.Sprintf(" Broad and pale, about 0: that of the model with a core partly in, up to %s; a bar that ends in a point goes on beyond the panel.", quantity.FormatValue(widest, 2, "Hz"))
	}
	return []string{s}
}

// uncertainties parts the standard uncertainty that a reading has in the fit into that of
// the reading, as large as the scatter says it is, and that of the model [Hz].
func (v *view) uncertainties(r *reading) (own, model float64) {
	own = math.Min(r.Uncertainty*v.result.Quality.Scale, r.Weighed)
	model = math.Sqrt(r.Weighed*r.Weighed - own*own)
	if model < 1e-3*own {
		model = 0
	}
	return own, model
}
