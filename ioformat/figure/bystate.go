package figure

import (
	"cmp"
	"math"
	"slices"

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
	f := Figure{Name: "residuals-by-state", Title: "Does one core, hand distance or part disagree?"}
	f.Notes = append(residualNotes(shown, exact), v.remarks()...)
	if len(shown) == 0 {
		return empty(f, noResiduals)
	}
	f.Alt, f.Keys = v.residualAlt("sorted by core, hand and part", shown), v.keys(shown)
	for _, g := range []struct {
		title string
		rows  []strip
	}{
		{"by core", v.strips(shown, v.byCore)},
		{"by hand", v.strips(shown, byHand)},
		{"by primary", v.strips(shown, byPrimary)},
		{"by part on the top", v.strips(shown, v.byPart)},
	} {
		if len(g.rows) > 1 {
			f.Panels = append(f.Panels, residualStrips(g.title, g.rows, shown))
		}
	}
	if len(f.Panels) == 0 {
		f.Panels = []chart.Panel{residualStrips("by part on the top", v.strips(shown, v.byPart), shown)}
	}
	for i := range f.Panels[:len(f.Panels)-1] {
		f.Panels[i].X.Label, f.Panels[i].X.Unshown = "", true
	}
	return f
}

func residualStrips(title string, rows []strip, shown []reading) chart.Panel {
	p := stripPanel(title, rows, func(r *reading) float64 { return r.Standardised })
	p.X, p.Rules = residualAxis(shown), guides(true)
	return p
}

// strip is one row: the readings that have something in common.
type strip struct {
	name     string
	rank     float64 // rows are sorted by it, the smallest on top
	readings []reading
}

// strips sorts readings into rows; a reading may be in several.
func (v *view) strips(shown []reading, rows func(*reading) []strip) (list []strip) {
	for i := range shown {
		for _, s := range rows(&shown[i]) {
			k := slices.IndexFunc(list, func(o strip) bool { return o.name == s.name })
			if k < 0 {
				k = len(list)
				list = append(list, s)
			}
			list[k].readings = append(list[k].readings, shown[i])
		}
	}
	slices.SortStableFunc(list, func(a, b strip) int { return cmp.Compare(a.rank, b.rank) })
	return gathered(list)
}

// mostStrips is the number of rows that a panel has room for.
const mostStrips = 14

// gathered puts neighbouring rows together where there are too many.
func gathered(list []strip) []strip {
	n := len(list)
	if n <= mostStrips {
		return list
	}
	var out []strip
	for i := range mostStrips {
		few := list[i*n/mostStrips : (i+1)*n/mostStrips]
		s := few[0]
		for _, o := range few[1:] {
			s.readings = append(s.readings, o.readings...)
		}
		if last := few[len(few)-1]; len(few) > 1 {
			s.name += " to " + last.name
		}
		out = append(out, s)
	}
	return out
}

// named is a row, or the first one, of those without.
func named(name string, rank float64, without string) []strip {
	if name == "" {
		return []strip{{name: without, rank: math.Inf(-1)}}
	}
	return []strip{{name: name, rank: rank}}
}

func (v *view) byCore(r *reading) []strip {
	return named(wording.Core(v.short(r.State.Condition())), 0, "no core")
}

func byHand(r *reading) []strip {
	return named(wording.Hand(r.State.Condition()), -r.State.Hand, "nobody near")
}

func byPrimary(r *reading) []strip {
	return named(wording.Primary(r.State.Condition()), 0, "no primary, or open")
}

func (v *view) byPart(r *reading) (list []strip) {
	for _, p := range r.State.Parts {
		part := v.parts[p]
		list = append(list, strip{name: part.Name, rank: part.Capacitance})
	}
	if r.State.Exact > 0 {
		list = append(list, strip{name: quantity.Format(r.State.Exact, 0, "F").String(), rank: r.State.Exact})
	}
	if len(list) == 0 {
		return named("", 0, "nothing")
	}
	return list
}

const stripHeight = 17.0

// stripPanel draws rows from the top down; the caller adds the axis of x.
func stripPanel(title string, rows []strip, x func(*reading) float64) chart.Panel {
	names := make([]string, len(rows))
	p := chart.Panel{Title: title, Height: stripHeight*float64(len(rows)) + 8}
	for i, s := range rows {
		place := len(rows) - 1 - i
		names[place] = s.name
		for _, r := range s.readings {
			d := r.point(x(&r), float64(place))
			d.Label = "" // the other figures name them
			p.Points = append(p.Points, d)
		}
	}
	p.Y = chart.Named(names)
	return p
}
