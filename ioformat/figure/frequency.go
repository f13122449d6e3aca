package figure

import (
	"fmt"
	"math"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// Frequency shows what was read with the fitted curve of every condition and
// its 95 % band.
func Frequency(r *model.Result) Figure {
	v := look(r)
	f := Figure{Name: "frequency", Title: "Frequency against added capacitance: read and fitted"}
	placed, unplaceable := split(v.readings, func(r *reading) bool { return finite(r.added) })
	if len(placed) == 0 {
		f.Alt = "No reading has a place on an axis of added capacitance."
		f.Panels = []chart.Panel{{Empty: unplaced(unplaceable)}}
		f.Table = v.frequencyTable()
		return f
	}
	var reach span
	reach.add(0)
	for _, r := range placed {
		reach.add(r.added)
	}
	d := v.curves(reach.high)
	for i := range placed {
		r := &placed[i]
		d.point(r.point(r.added, r.Frequency))
	}
	f.Panels = []chart.Panel{d.panel()}
	f.Keys = append(d.keys(), stateKeys(flags(placed))...)
	f.Keys = append(f.Keys, chart.Key{Text: "fit, with its 95 % band", Style: chart.Ink, Line: true, Band: true})
	f.Notes = append(d.notes(), v.thinned()...)
	if len(unplaceable) > 0 {
		f.Notes = append(f.Notes, unplaced(unplaceable))
	}
	f.Alt = v.frequencyAlt(placed)
	f.Table = v.frequencyTable()
	return f
}

func flags(list []reading) (hollow, ring bool) {
	for _, r := range list {
		hollow = hollow || !r.Use
		ring = ring || r.Flagged
	}
	return hollow, ring
}

func (v *view) frequencyAlt(placed []reading) string {
	var x, y, d span
	for _, r := range placed {
		x.add(r.added)
		y.add(r.Frequency)
		d.add(math.Abs(r.Residual))
	}
	s := fmt.Sprintf("Frequencies of %s in %s, between %s and %s, ",
		plural(len(placed), "reading"), plural(len(v.conditions), "condition"),
		quantity.FormatValue(y.low, 4, "Hz"), quantity.FormatValue(y.high, 4, "Hz"))
	if x.high > 0 {
		s += fmt.Sprintf("against up to %s of added capacitance", quantity.FormatValue(x.high, 3, "F"))
	} else {
		s += "with nothing added"
	}
	s += ", with the fitted curves and their 95 % bands."
	if d.any {
		s += fmt.Sprintf(" The largest difference between read and fitted is %s.", quantity.FormatValue(d.high, 2, "Hz"))
	}
	return s
}

func (v *view) frequencyTable() chart.Table {
	u := v.capacitance()
	t := chart.Table{Columns: []string{"line", "state", axisLabel("added capacitance", u), "read", "fitted", "residual", "remark"}}
	for i := range v.readings {
		r := &v.readings[i]
		f := quantity.UnitFor(r.Frequency, r.Uncertainty, "Hz")
		fitted, residual := "-", "-"
		if finite(r.Fitted) {
			fitted = f.Format(r.Fitted, r.Uncertainty).Value + " " + f.Symbol
			residual = quantity.FormatValue(r.Residual, 3, "Hz").String()
		}
		t.Rows = append(t.Rows, []string{
			fmt.Sprint(r.Line), wording.State(r.State, v.result.Parts()), fixed(u.FromSI(r.added), 2),
			f.Format(r.Frequency, r.Uncertainty).String(), fitted, residual, r.remark(),
		})
	}
	return t
}
