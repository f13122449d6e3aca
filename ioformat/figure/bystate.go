package figure

import (
	"sort"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// ByState sorts the standardised residuals by core, by hand and by part. An
// effect that the model lacks shows as a row that lies to one side.
func ByState(r *model.Result) Figure {
	v := look(r)
	shown, exact := split(v.readings, standardised)
	f := Figure{Name: "residuals-by-state", Title: "Residuals by core, hand and part"}
	f.Table = v.table(v.capacitance(), "standardised residual", func(r *reading) string { return fixed(r.Standardised, 2) })
	f.Alt = residualAlt("sorted by core, hand and part", shown, noResiduals)
	f.Notes = append(residualNotes(shown, exact), v.thinned()...)
	if len(shown) == 0 {
		f.Panels = []chart.Panel{{Empty: noResiduals}}
		return f
	}
	f.Keys = v.keys(shown)
	for _, g := range []struct {
		title string
		rows  []strip
	}{
		{"by core", v.strips(shown, byCore)},
		{"by hand", v.strips(shown, byHand)},
		{"by part on the top", v.strips(shown, v.byPart)},
	} {
		if len(g.rows) > 1 {
			f.Panels = append(f.Panels, stripPanel(g.title, g.rows, shown))
		}
	}
	if len(f.Panels) == 0 {
		f.Panels = []chart.Panel{stripPanel("by part on the top", v.strips(shown, v.byPart), shown)}
	}
	for i := range f.Panels[:len(f.Panels)-1] {
		f.Panels[i].X.Label, f.Panels[i].X.Unshown = "", true
	}
	return f
}

// strip is one row: the readings that have something in common.
type strip struct {
	name     string
	rank     float64 // rows are sorted by it, the smallest on top
	readings []reading
}

// strips sorts readings into rows; a reading may be in several.
func (v *view) strips(shown []reading, rows func(*reading) []strip) (list []strip) {
	index := map[string]int{}
	for i := range shown {
		for _, s := range rows(&shown[i]) {
			k, ok := index[s.name]
			if !ok {
				k = len(list)
				index[s.name] = k
				list = append(list, s)
			}
			list[k].readings = append(list[k].readings, shown[i])
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].rank < list[j].rank })
	return list
}

func byCore(r *reading) []strip {
	c := r.State.Condition()
	if c.Core == "" {
		return []strip{{name: "no core", rank: -1}}
	}
	return []strip{{name: wording.Core(c)}}
}

func byHand(r *reading) []strip {
	c := r.State.Condition()
	if name := wording.Hand(c); name != "" {
		return []strip{{name: name, rank: -c.Hand}}
	}
	return []strip{{name: "nobody near", rank: -c.Hand}}
}

func (v *view) byPart(r *reading) (list []strip) {
	for _, p := range r.State.Parts {
		part := v.result.Parts()[p]
		list = append(list, strip{name: part.Name, rank: part.Capacitance})
	}
	if r.State.Exact > 0 {
		list = append(list, strip{name: quantity.Format(r.State.Exact, 0, "F").String(), rank: r.State.Exact})
	}
	if len(list) == 0 {
		return []strip{{name: "nothing", rank: -1}}
	}
	return list
}

const stripHeight = 17.0

// stripPanel draws rows from the top down.
func stripPanel(title string, rows []strip, shown []reading) chart.Panel {
	names := make([]string, len(rows))
	p := chart.Panel{Title: title, Height: stripHeight*float64(len(rows)) + 8, Rules: guides(true)}
	for i, s := range rows {
		place := len(rows) - 1 - i
		names[place] = s.name
		for _, r := range s.readings {
			d := r.point(r.Standardised, float64(place))
			d.Label = "" // the other figures name them
			p.Points = append(p.Points, d)
		}
	}
	p.X, p.Y = residualAxis(shown), chart.Named(names)
	return p
}
