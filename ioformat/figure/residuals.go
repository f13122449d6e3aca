package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Residuals shows the residuals against the capacitance added, standardised, and as they
// are with the 95 % bands of the mean and of one new reading: a bend would say that the
// model of the coil is too simple.
func Residuals(r *model.Result) Figure {
	v := look(r)
	known, unknown := split(v.readings, func(r *reading) bool { return quantities.Finite(r.added) })
	shown, exact := split(known, standardised)
	f := Figure{Name: "residuals-added-capacitance", Title: "Do the residuals bend with added capacitance?"}
	most := addedUpTo(known)
	if most == 0 || len(shown) == 0 {
		if len(shown) > 0 {
			return empty(f, "Nothing was added in any reading, so there is no capacitance to plot residuals against.")
		}
		return empty(f, noResiduals)
	}
	a := v.newAddedAxis(most)
	upper := v.standardisedPanel(shown, func(r *reading) float64 { return a.unit.FromSI(r.added) })
	upper.Height = 120
	upper.X = a.axis()
	upper.X.Label, upper.X.Unshown = "", true
	lower := v.plainResiduals(shown, a)
	lower.X = a.axis()
	f.Panels = []chart.Panel{upper, lower}
	f.Keys = append(v.keys(shown), bandKeys(lower)...)
	f.Notes = append(residualNotes(shown, exact), v.remarks()...)
	if len(unknown) > 0 {
		f.Notes = append(f.Notes, unplaced(unknown))
	}
	f.Alt = v.residualAlt("against added capacitance", shown)
	return f
}

// residualScale puts residuals into the unit of an axis: hertz, or millionths of the fitted
// frequency where frequencies are far apart.
type residualScale struct {
	label string
	of    func(hz, fitted float64) float64
}

func newResidualScale(most float64, relative bool) residualScale {
	if relative {
		return residualScale{"relative residual, (measured − fitted)/fitted [ppm]", func(hz, fitted float64) float64 { return 1e6 * hz / fitted }}
	}
	u := unit(most, "Hz")
	return residualScale{axisLabel("residual (measured − fitted)", u), func(hz, _ float64) float64 { return u.FromSI(hz) }}
}

// plainResiduals shows residuals with the two bands of one condition.
func (v *view) plainResiduals(shown []reading, a addedAxis) chart.Panel {
	bands, of := v.residualBands(shown)
	var hz span
	for _, r := range shown {
		hz.add(r.Residual)
	}
	for _, q := range bands {
		hz.add(q.fresh...)
	}
	scale := newResidualScale(hz.largest(), a.shift > 0)
	p := chart.Panel{Height: 120, Rules: []chart.Rule{{At: 0}}}
	var y span
	y.add(0)
	for i := range shown {
		r := &shown[i]
		d := r.point(a.unit.FromSI(r.added), scale.of(r.Residual, r.Fitted))
		d.Label = ""
		p.Points = append(p.Points, d)
		y.add(d.Y)
	}
	if len(bands) < 2 {
		bands = nil
	}
	mean, fresh := chart.Band{Style: chart.Ink}, chart.Band{Style: chart.Faint}
	for _, q := range bands {
		at := func(list []float64) chart.BandPoint {
			b := chart.BandPoint{X: a.unit.FromSI(q.added), Low: scale.of(list[0], q.fitted), High: scale.of(list[1], q.fitted)}
			y.add(b.Low, b.High)
			return b
		}
		mean.Points, fresh.Points = append(mean.Points, at(q.mean)), append(fresh.Points, at(q.fresh))
	}
	if bands != nil {
		p.Bands = []chart.Band{fresh, mean}
		p.Title = "with the 95 % bands of the " + of
	}
	p.Y = chart.Over(scale.label, y.low, y.high, 5)
	return p
}

// bandsAt is how far the mean and one new reading lie from the fitted frequency of a state
// measured, with 95 % probability [Hz].
type bandsAt struct {
	added, fitted float64
	mean, fresh   []float64
}

// residualBands returns the bands of the coil without core and hand, or else of the
// condition read most, at the states measured.
func (v *view) residualBands(shown []reading) (list []bandsAt, of string) {
	c := v.drawn(nil)[0]
	if plain := readings.Bare(); slices.Contains(v.conditions, plain.Condition()) {
		c = plain.Condition()
	}
	for _, r := range shown {
		if r.State.Condition() != c || slices.ContainsFunc(list, func(b bandsAt) bool { return b.added == r.added }) {
			continue
		}
		if e := v.result.Frequency(r.State, nil); e.Determined {
			fresh := v.result.NewReading(&e)
			list = append(list, bandsAt{r.added, e.Value, []float64{e.Interval[0] - e.Value, e.Interval[1] - e.Value},
				[]float64{fresh[0] - e.Value, fresh[1] - e.Value}})
		}
	}
	slices.SortFunc(list, func(a, b bandsAt) int { return cmp.Compare(a.added, b.added) })
	if of = v.condition(c); of == "bare" {
		of = "coil without core and hand"
	}
	return list, of
}

func bandKeys(p chart.Panel) []chart.Key {
	if len(p.Bands) == 0 {
		return nil
	}
	return []chart.Key{{Text: "95 % of the mean", Style: chart.Ink, Band: true}, {Text: "95 % of one new reading", Style: chart.Faint, Band: true}}
}

// unplaced says why readings have no place on an axis of added capacitance.
func unplaced(list []reading) string {
	return fmt.Sprintf("Not shown: %s, with a part on the top whose capacitance is not determined by these readings.", lines(list))
}

// standardised tells whether a reading has a standardised residual.
func standardised(r *reading) bool { return quantities.Finite(r.Standardised) }

// standardisedPanel shows standardised residuals against x.
func (v *view) standardisedPanel(shown []reading, x func(*reading) float64) chart.Panel {
	p := chart.Panel{Y: residualAxis(shown), Rules: guides(false)}
	for i := range shown {
		r := &shown[i]
		p.Points = append(p.Points, r.point(x(r), r.Standardised))
	}
	if len(shown) == 0 {
		p.Empty = noResiduals
	}
	return p
}

const noResiduals = "No residual can be shown: there are no more readings than parameters, so the fit passes through every one."

// residualAxis is symmetrical, and wide enough to show the guides.
func residualAxis(shown []reading) chart.Axis {
	most := 2.5
	for _, r := range shown {
		most = math.Max(most, math.Abs(r.Standardised))
	}
	return chart.Over("standardised residual", -most, most, 6)
}

// guides are the lines at 0 and ±2 of a standardised residual.
func guides(upright bool) []chart.Rule {
	return []chart.Rule{
		{At: 0, Upright: upright},
		{At: 2, Upright: upright, Dashed: true},
		{At: -2, Upright: upright, Dashed: true},
	}
}

func residualNotes(shown, exact []reading) (notes []string) {
	if len(shown) > 0 {
		notes = append(notes, "Standardised: residual (measured − fitted) over its standard deviation. Dashed: ±2; about one in twenty lies beyond by chance.")
	}
	if len(shown) > 0 && len(exact) > 0 {
		notes = append(notes, fmt.Sprintf("Not shown: %s; the fit passes through such a reading, or its frequency is not determined by the others.", lines(exact)))
	}
	return notes
}

// residualAlt describes a residual figure to who can't see it.
func (v *view) residualAlt(against string, shown []reading) string {
	if len(shown) == 0 {
		return noResiduals
	}
	inside, largest := 0, shown[0]
	var suspect []reading
	for _, r := range shown {
		if math.Abs(r.Standardised) <= 2 {
			inside++
		}
		if math.Abs(r.Standardised) > math.Abs(largest.Standardised) {
			largest = r
		}
		if r.Flagged {
			suspect = append(suspect, r)
		}
	}
	s := fmt.Sprintf("Standardised residuals of %s %s. %d lie within ±2; the largest is %s (line %d, %s).",
		quantity.Count(len(shown), "reading"), against, inside, fixed(largest.Standardised, 1), largest.Line, v.state(largest.State))
	if len(suspect) > 0 {
		s += " Suspect: " + lines(suspect) + "."
	}
	return s
}
