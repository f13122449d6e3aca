package figure

import (
	"fmt"
	"math"
	"strconv"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// Residuals shows the standardised residuals against the capacitance added: a
// bend would say that the model of the coil is too simple.
func Residuals(r *model.Result) Figure {
	v := look(r)
	known, unknown := split(v.readings, func(r *reading) bool { return finite(r.added) })
	shown, exact := split(known, standardised)
	var reach span
	for _, r := range known {
		reach.add(r.added)
	}
	u := unit(reach.largest(), "F")
	f := v.scatter(shown, func(r *reading) float64 { return u.FromSI(r.added) })
	f.Name, f.Title = "residuals-added-capacitance", "Residuals against added capacitance"
	f.Panels[0].X = chart.Over(axisLabel("added capacitance", u), u.FromSI(reach.low), u.FromSI(reach.high), 8)
	f.Notes = append(residualNotes(shown, exact), v.thinned()...)
	if len(unknown) > 0 {
		f.Notes = append(f.Notes, unplaced(unknown))
	}
	f.Alt = residualAlt("against added capacitance", shown, f.Panels[0].Empty)
	f.Table = v.table(u, "standardised residual", func(r *reading) string { return fixed(r.Standardised, 2) })
	return f
}

// unplaced says why readings have no place on an axis of added capacitance.
func unplaced(list []reading) string {
	return fmt.Sprintf("Not shown: %s, with a part on the top whose capacitance the readings don't fix.", lines(list))
}

// standardised tells whether a reading has a standardised residual.
func standardised(r *reading) bool { return finite(r.Standardised) }

// scatter is a panel of standardised residuals against x.
func (v *view) scatter(shown []reading, x func(*reading) float64) (f Figure) {
	p := chart.Panel{Y: residualAxis(shown), Rules: guides(false)}
	for i := range shown {
		r := &shown[i]
		p.Points = append(p.Points, r.point(x(r), r.Standardised))
	}
	if len(shown) == 0 {
		p.Empty = noResiduals
	}
	f.Keys, f.Panels = v.keys(shown), []chart.Panel{p}
	return f
}

const noResiduals = "No residual can be shown: there are no more readings than unknowns, so the fit passes through every one."

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
		notes = append(notes, "Standardised: read less fitted frequency, over the standard deviation of that difference. Dashed: ±2, beyond which about one in twenty falls by chance.")
	}
	if len(shown) > 0 && len(exact) > 0 {
		notes = append(notes, fmt.Sprintf("Not shown: %s; the fit passes through such a reading wherever it lies, or can't say where it should lie.", lines(exact)))
	}
	return notes
}

// residualAlt describes a residual figure to who can't see it.
func residualAlt(against string, shown []reading, empty string) string {
	if len(shown) == 0 {
		return empty
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
		plural(len(shown), "reading"), against, inside, fixed(largest.Standardised, 1), largest.Line,
		wording.Condition(largest.State.Condition()))
	if len(suspect) > 0 {
		s += " Suspect: " + lines(suspect) + "."
	}
	return s
}

// capacitance is the unit of added capacitance in tables.
func (v *view) capacitance() quantity.Unit {
	var reach span
	for _, r := range v.readings {
		reach.add(r.added)
	}
	return unit(reach.largest(), "F")
}

// table lists all readings with one value each.
func (v *view) table(u quantity.Unit, what string, value func(*reading) string) chart.Table {
	t := chart.Table{Columns: []string{"line", "state", axisLabel("added capacitance", u), what, "remark"}}
	for i := range v.readings {
		r := &v.readings[i]
		t.Rows = append(t.Rows, []string{
			strconv.Itoa(r.Line), wording.State(r.State, v.result.Parts()), fixed(u.FromSI(r.added), 2), value(r), r.remark(),
		})
	}
	return t
}
