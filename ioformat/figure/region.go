package figure

import (
	"fmt"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// Region shows the 50 and 95 % regions of effective inductance and capacitance: by all
// that is known, and with a drawing also by the readings and by the drawing alone.
func Region(r *model.Result) Figure {
	f := Figure{Name: "inductance-capacitance", Title: "How well are L and C known together?"}
	all := r.Pairs.All
	if all == nil {
		f.Alt = "Effective inductance and capacitance are not determined by these readings."
		if lc := r.Find(quantities.Key{Name: quantities.LCProduct}); lc != nil && lc.Determined {
			f.Alt += " Their product is: " + estimate(lc) + "."
		}
		return empty(f, f.Alt)
	}
	list := []pairShown{{"readings, with the parts' tolerances", all, 0}}
	if r.Pairs.Drawing != nil {
		list = []pairShown{{"drawing alone", r.Pairs.Drawing, 1}, {"readings alone", r.Pairs.Readings, 2}, {"both", all, 0}}
		f.Notes = []string{"The drawing knows only the ball at the top: what stands around the coil adds to its capacitance."}
	}
	f.Panels = []chart.Panel{regionPanel(&f, list)}
	f.Notes = append(f.Notes, "Bold: 50 %, thin: 95 % region of both together. Frequencies fix the product of L and C, so that the readings' region is a narrow strip.")
	f.Table.Columns = []string{"by", "effective inductance", "effective capacitance", "correlation of ln L and ln C"}
	for _, s := range list {
		if s.pair != nil {
			f.Table.Rows = append(f.Table.Rows, []string{s.name, estimate(&s.pair.Inductance), estimate(&s.pair.Capacitance), fixed(s.pair.Correlation, 4)})
		}
	}
	f.Alt = fmt.Sprintf("Regions of effective inductance %s and effective capacitance %s.", estimate(&all.Inductance), estimate(&all.Capacitance))
	if d := r.Pairs.Drawing; d != nil {
		f.Alt += fmt.Sprintf(" The drawing alone says %s and %s.", estimate(&d.Inductance), estimate(&d.Capacitance))
	}
	return f
}

// pairShown is one pair with its name and colour.
type pairShown struct {
	name   string
	pair   *quantities.Pair
	colour int
}

const regionCorners = 96

func regionPanel(f *Figure, list []pairShown) chart.Panel {
	var x, y span
	for _, s := range list {
		if s.pair == nil {
			continue
		}
		for _, q := range s.pair.Region(0.95, regionCorners) {
			x.add(q[0])
			y.add(q[1])
		}
	}
	u := plane{unit(x.high, "H"), unit(y.high, "F")}
	p := chart.Panel{Height: 210}
	for _, s := range list {
		if s.pair == nil {
			f.Notes = append(f.Notes, "Not determined by the "+s.name+".")
			continue
		}
		style := chart.Series(s.colour, s.colour, 0)
		for i, probability := range []float64{0.95, 0.5} {
			line := chart.Line{Style: style, Thin: i == 0, Bold: i == 1}
			for _, q := range s.pair.Region(probability, regionCorners) {
				line.Points = append(line.Points, u.xy(q[0], q[1]))
			}
			line.Points = append(line.Points, line.Points[0])
			p.Lines = append(p.Lines, line)
		}
		p.Points = append(p.Points, chart.Point{XY: u.xy(s.pair.Inductance.Value, s.pair.Capacitance.Value), Style: style})
		f.Keys = append(f.Keys, chart.Key{Text: s.name, Style: style, Mark: true, Line: true})
	}
	p.X, p.Y = x.axis("effective inductance", u.x, 7), y.axis("effective capacitance", u.y, 6)
	return p
}
