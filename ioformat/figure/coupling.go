package figure

import (
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// Coupling shows both couplings of the primary in each state of the core, beside those drawn;
// nil where none is determined.
func Coupling(r *model.Result) *Figure {
	var rows []couplingRow
	for _, core := range append([]string{""}, r.Cores()...) {
		for k, name := range []string{quantities.CouplingAtResonance, quantities.CouplingOfWindings} {
			key := quantities.Key{Name: name, Core: core}
			if e := r.Find(key); e != nil && e.Determined {
				rows = append(rows, couplingRow{e, drawnCoupling(r, key), k})
			}
		}
	}
	if len(rows) == 0 {
		return nil
	}
	v := look(r)
	f := Figure{Name: "coupling", Title: "How does the primary couple, and what does the core change?"}
	f.Table.Columns = []string{"coupling", "read", "drawn"}
	p := chart.Panel{Height: couplingHeight*float64(len(rows)) + 8}
	var names, words []string
	var x span
	drawn := false
	for i, c := range rows {
		at := float64(len(rows) - 1 - i)
		names = append([]string{couplingName(v.shortCore(c.read))}, names...)
		bar := func(e *quantities.Estimate, y float64, style chart.Style, hollow bool) {
			p.Lines = append(p.Lines, chart.Line{Style: style, Points: []chart.XY{{X: e.Interval[0], Y: y}, {X: e.Interval[1], Y: y}}})
			p.Points = append(p.Points, chart.Point{XY: chart.XY{X: e.Value, Y: y}, Style: style, Hollow: hollow})
			x.add(e.Interval[:]...)
		}
		row := []string{couplingName(c.read), estimate(c.read), "-"}
		if c.drawn != nil {
			drawn, row[2] = true, estimate(c.drawn)
			bar(c.drawn, at-0.22, chart.Faint, true)
		}
		bar(c.read, at+0.12, couplingStyle(c.kind), false)
		f.Table.Rows = append(f.Table.Rows, row)
		words = append(words, couplingName(c.read)+" "+estimate(c.read))
	}
	p.X, p.Y = chart.Over("coupling coefficient k", x.low, x.high, 6), chart.Named(names)
	f.Panels = []chart.Panel{p}
	f.Keys = []chart.Key{{Text: "at resonance", Style: couplingStyle(0), Mark: true, Line: true}, {Text: "of the windings, low frequency", Style: couplingStyle(1), Mark: true, Line: true}}
	if drawn {
		f.Keys = append(f.Keys, chart.Key{Text: "as drawn", Style: chart.Faint, Mark: true, Line: true, Hollow: true})
	}
	f.Notes = []string{"Bars: 95 % intervals. At resonance the current is largest at the grounded end, so that a primary there couples more than at low frequency, where it is the same in all turns."}
	f.Notes = append(f.Notes, v.remarks()...)
	f.Alt = "Coupling of the primary: " + strings.Join(words, "; ") + "."
	return &f
}

// couplingRow is one coupling as read and, unless nil, as drawn; kind 0 at resonance, 1 of the
// windings.
type couplingRow struct {
	read, drawn *quantities.Estimate
	kind        int
}

const couplingHeight = 24.0

func couplingStyle(kind int) chart.Style { return chart.Series([]int{2, 1}[kind], kind, 0) }

// couplingName says in which state of the core, and where it is of what.
func couplingName(e *quantities.Estimate) string {
	where := "core out"
	if e.Core != "" {
		where = "core " + e.Core
	}
	what := "at resonance"
	if e.Name == quantities.CouplingOfWindings {
		what = "of windings"
	}
	return where + ", " + what
}

// drawnCoupling is what the sheet's drawing says of one; nil where it doesn't.
func drawnCoupling(r *model.Result, key quantities.Key) *quantities.Estimate {
	for i := range r.Checks {
		if d := &r.Checks[i].Drawn; d.Key == key && d.Determined {
			return d
		}
	}
	return nil
}
