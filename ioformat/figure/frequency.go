package figure

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// Frequency shows what was measured with the fitted curve of the conditions and
// their 95 % bands.
func Frequency(r *model.Result) Figure {
	v := look(r)
	f := Figure{Name: "frequency", Title: "Does the model fit the measured frequencies?"}
	placed, unplaceable := split(v.readings, func(r *reading) bool { return quantities.Finite(r.added) })
	if len(placed) == 0 {
		f.Alt = "No reading has a place on an axis of added capacitance."
		f.Panels = []chart.Panel{{Empty: unplaced(unplaceable)}}
		return f
	}
	f.Alt = v.frequencyAlt(placed)
	most := addedUpTo(placed)
	if most == 0 {
		v.byCondition(&f, placed)
		return f
	}
	d := v.curves(most)
	for i := range placed {
		r := &placed[i]
		d.point(r.point(r.added, r.Frequency))
	}
	f.Panels = []chart.Panel{d.panel()}
	f.Keys = d.keys()
	for _, k := range v.marksBeside(placed) {
		if !slices.ContainsFunc(f.Keys, func(o chart.Key) bool { return o.Text == k.Text }) { // a curve of that name has the shape
			f.Keys = append(f.Keys, k)
		}
	}
	f.Keys = append(f.Keys, chart.Key{Text: "fit, with 95 % band of the mean", Style: chart.Ink, Line: true, Band: true})
	f.Notes = append(append(d.notes(v), v.smallerThanMarks(placed)...), v.remarks()...)
	if len(unplaceable) > 0 {
		f.Notes = append(f.Notes, unplaced(unplaceable))
	}
	return f
}

// addedUpTo returns the most that readings have on the top [F].
func addedUpTo(list []reading) (most float64) {
	for _, r := range list {
		if quantities.Finite(r.added) {
			most = math.Max(most, r.added)
		}
	}
	return most
}

// marksBeside explains the marks of a figure whose curves have their names beside them:
// the shapes of a hand, and what stands out.
func (v *view) marksBeside(shown []reading) []chart.Key {
	shapes := map[int]bool{}
	for _, r := range shown {
		shapes[v.shape(r.State.Condition())] = true
	}
	return append(v.shapeKeys(shapes), stateKeys(flags(shown))...)
}

// smallerThanMarks says why no error bars are drawn: a mark covers about a fiftieth of
// the frequencies' range.
func (v *view) smallerThanMarks(shown []reading) []string {
	most := 0.0
	for _, r := range shown {
		most = math.Max(most, r.Uncertainty)
	}
	return []string{fmt.Sprintf("No error bars: the standard uncertainties of the readings, at most %s, are shown with the residuals.", quantity.FormatValue(most, 2, "Hz"))}
}

// byCondition fills f where nothing was added: a row for each condition.
func (v *view) byCondition(f *Figure, placed []reading) {
	f.Title = "Which frequency was measured in each condition?"
	p, _ := conditionPanel(gathered(v.conditionRows(placed)))
	f.Panels = []chart.Panel{p}
	f.Keys = v.keys(placed)
	f.Notes = append([]string{"Nothing was added in any reading, so there is no curve to draw."}, v.remarks()...)
}

// conditionRows sorts readings into a row for each condition of v.
func (v *view) conditionRows(placed []reading) []strip {
	rows := make([]strip, len(v.conditions))
	for i, c := range v.conditions {
		rows[i].name = v.condition(c)
	}
	for _, r := range placed {
		i := slices.Index(v.conditions, r.State.Condition())
		rows[i].readings = append(rows[i].readings, r)
	}
	return rows
}

// conditionPanel shows the frequencies of rows, in the unit returned.
func conditionPanel(rows []strip) (p chart.Panel, u quantity.Unit) {
	var x span
	for _, row := range rows {
		for _, r := range row.readings {
			x.add(r.Frequency)
		}
	}
	u = unit(x.largest(), "Hz")
	p = stripPanel("", rows, func(r *reading) float64 { return u.FromSI(r.Frequency) })
	p.X = x.axis("frequency", u, 6)
	return p, u
}

func (v *view) frequencyAlt(placed []reading) string {
	var x, y, d span
	for _, r := range placed {
		x.add(r.added)
		y.add(r.Frequency)
		d.add(math.Abs(r.Residual))
	}
	s := fmt.Sprintf("Frequencies of %s in %s, between %s and %s, ",
		quantity.Count(len(placed), "reading"), quantity.Count(len(v.conditions), "condition"),
		quantity.FormatValue(y.low, 4, "Hz"), quantity.FormatValue(y.high, 4, "Hz"))
	if x.high > 0 {
		s += fmt.Sprintf("against up to %s of added capacitance, with fitted curves and their 95 %% bands.", quantity.FormatValue(x.high, 3, "F"))
	} else {
		s += "with nothing added."
	}
	if d.any {
		s += fmt.Sprintf(" The largest difference between measured and fitted is %s.", quantity.FormatValue(d.high, 2, "Hz"))
	}
	return s
}
