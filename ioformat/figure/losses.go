package figure

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// Losses shows the inverse of each quality factor read beside what each loss brings to it; nil
// where none was read.
func Losses(r *model.Result) *Figure {
	of, list := r.Losses()
	if len(list) == 0 {
		return nil
	}
	v := look(r)
	f := Figure{Name: "losses", Title: "What damps the coil?"}
	f.Table.Columns = []string{"line", "state", "Q as read"}
	var words []string
	for k, e := range of {
		f.Table.Columns = append(f.Table.Columns, "1000/Q, "+wording.Loss(e))
		f.Keys = append(f.Keys, chart.Key{Text: wording.Loss(v.shortCore(e)), Style: lossStyle(k), Area: true})
		words = append(words, wording.Loss(e)+" "+quantity.Format(e.Value, e.Uncertainty, "").String())
	}
	f.Table.Columns = append(f.Table.Columns, "Q by the sum")
	f.Keys = append(f.Keys, chart.Key{Text: "as read, ± 5 % (a guess)", Style: chart.Ink, Mark: true, Line: true})
	shown := list[:min(len(list), mostLosses)]
	p := chart.Panel{Height: priorHeight*float64(len(shown)) + 8}
	var names []string
	var x span
	x.add(0)
	for i, o := range list {
		row := []string{fmt.Sprint(o.Line), v.state(o.State), fixed(o.Quality, 0)}
		at, from := float64(len(shown)-1-i), 0.0
		var parts []chart.Area
		for k, part := range o.Parts {
			to := from + 1000*part
			parts = append(parts, chart.Area{Style: lossStyle(k), Outline: box(from, to, at-0.34, at+0.34)})
			row, from = append(row, fixed(1000*part, 2)), to
		}
		f.Table.Rows = append(f.Table.Rows, append(row, fixed(1000/from, 0)))
		if i >= len(shown) {
			continue
		}
		for _, a := range parts {
			if a.Outline[1].X > a.Outline[0].X {
				p.Areas = append(p.Areas, a)
			}
		}
		names = append([]string{v.state(o.State)}, names...)
		read, u := 1000/o.Quality, 1000*o.Uncertainty
		p.Lines = append(p.Lines, chart.Line{Style: chart.Ink, Points: []chart.XY{{X: read - u, Y: at}, {X: read + u, Y: at}}})
		p.Points = append(p.Points, chart.Point{XY: chart.XY{X: read, Y: at}, Style: chart.Ink})
		x.add(from, read+u)
	}
	p.X, p.Y = chart.Over("1000/Q", 0, x.high, 6), chart.Named(names)
	f.Panels = []chart.Panel{p}
	f.Notes = []string{"Bars: the split of 1/Q by how each loss grows with frequency and with what is added. A core's holds what its field adds to the winding's loss. Where marks leave the ends of the bars, another loss is at work."}
	if left := len(list) - len(shown); left > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("Not drawn: %s more.", quantity.Count(left, "quality factor")))
	}
	f.Notes = append(f.Notes, v.remarks()...)
	f.Alt = fmt.Sprintf("The inverse of %s beside what each loss brings to it. Quality factors by themselves: %s.", quantity.Count(len(list), "quality factor"), strings.Join(words, ", "))
	return &f
}

const mostLosses = 18

// lossStyle is the colour of a loss, in the order of the estimates.
func lossStyle(k int) chart.Style { return chart.Style([]int{1, 2, 3, 4}[min(k, 3)]) }

// shortCore is an estimate with the name of its core that figures have room for.
func (v *view) shortCore(e *quantities.Estimate) *quantities.Estimate {
	out := *e
	if name, known := v.names[e.Core]; known && e.Core != "" {
		out.Core = name
	}
	return &out
}
