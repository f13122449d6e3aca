package figure

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
)

// Sweep is what a change of one quantity does to others. All in SI.
type Sweep struct {
	Name     string    // of the quantity changed, "bead spacing"
	Unit     string    // of the same, "m"
	At       []float64 // its values, rising
	Now      float64   // its present value; NaN for none
	Outcomes []Outcome
}

// Outcome is one quantity over a sweep.
type Outcome struct {
	Name      string // "core gain"
	Unit      string // "Hz", "" for a plain number
	Value     []float64
	Low, High []float64 // of its band; NaN where there is none
	Band      string    // what the band is: "95 % interval"
}

// Swept shows each outcome of a sweep in a panel of its own. Values that are
// not finite are left out.
func Swept(s Sweep) Figure {
	x := over(s.At)
	ux := unit(x.largest(), s.Unit)
	f := Figure{Name: "sweep", Title: "What does a change of " + s.Name + " do?"}
	f.Table.Columns = []string{axisLabel(s.Name, ux)}
	for _, v := range s.At {
		f.Table.Rows = append(f.Table.Rows, []string{quantity.Format(ux.FromSI(v), 0, "").String()})
	}
	bands := map[string]bool{}
	for i, o := range s.Outcomes {
		p := o.panel(s, ux, chart.Style(i), &f.Table)
		p.X = x.axis(s.Name, ux, 8)
		if quantities.Finite(s.Now) && s.Now >= x.low && s.Now <= x.high && p.Empty == "" {
			p.Rules = append(p.Rules, chart.Rule{At: ux.FromSI(s.Now), Upright: true, Dashed: true})
		}
		if i < len(s.Outcomes)-1 && p.Empty == "" {
			p.X.Label, p.X.Unshown = "", true
		}
		if len(p.Bands) > 0 && o.Band != "" && !bands[o.Band] {
			bands[o.Band] = true
			f.Keys = append(f.Keys, chart.Key{Text: o.Band, Style: chart.Ink, Band: true, Line: true})
		}
		f.Panels = append(f.Panels, p)
	}
	if quantities.Finite(s.Now) {
		f.Notes = []string{fmt.Sprintf("Dashed: the present %s, %s.", s.Name, quantity.Format(s.Now, 0, s.Unit))}
	}
	f.Alt = s.alt()
	return f
}

// panel draws one outcome, and writes its column of the table.
func (o *Outcome) panel(s Sweep, ux quantity.Unit, style chart.Style, t *chart.Table) chart.Panel {
	values, y := over(o.Value), over(o.Value, o.Low, o.High)
	u := plane{ux, unit(values.largest(), o.Unit)}
	t.Columns = append(t.Columns, axisLabel(o.Name, u.y))
	p := chart.Panel{Height: 150}
	line, band := chart.Line{Style: style}, chart.Band{Style: style}
	for i, v := range o.Value {
		cell := "-"
		if quantities.Finite(v) {
			at := u.xy(s.At[i], v)
			cell = quantity.FormatValue(at.Y, 5, "").String()
			line.Points = append(line.Points, at)
			p.Points = append(p.Points, chart.Point{XY: at, Style: style, Small: len(s.At) > 40})
		}
		t.Rows[i] = append(t.Rows[i], cell)
		if i < len(o.Low) && i < len(o.High) && quantities.Finite(o.Low[i], o.High[i]) {
			band.Points = append(band.Points, chart.BandPoint{X: ux.FromSI(s.At[i]), Low: u.y.FromSI(o.Low[i]), High: u.y.FromSI(o.High[i])})
		}
	}
	if len(line.Points) == 0 {
		p.Empty = "The " + o.Name + " can't be worked out for any of these values."
		return p
	}
	p.Lines = []chart.Line{line}
	if len(band.Points) > 0 {
		p.Bands = []chart.Band{band}
	}
	p.Y = y.axis(o.Name, u.y, 5)
	return p
}

func (s *Sweep) alt() string {
	x := over(s.At)
	text := fmt.Sprintf("A change of %s from %s to %s.", s.Name, quantity.Format(x.low, 0, s.Unit), quantity.Format(x.high, 0, s.Unit))
	for _, o := range s.Outcomes {
		if v := slices.DeleteFunc(slices.Clone(o.Value), func(v float64) bool { return !quantities.Finite(v) }); len(v) > 0 {
			text += fmt.Sprintf(" The %s goes from %s to %s.", o.Name, quantity.FormatValue(v[0], 3, o.Unit), quantity.FormatValue(v[len(v)-1], 3, o.Unit))
		}
	}
	return text
}

// Rebuilds shows gain and frequency over a sweep of one quantity of a drawing,
// in the SI unit given.
func Rebuilds(name, unit string, values []float64, now float64, points []decisions.SweepPoint) Figure {
	gain := Outcome{Name: "core gain"}
	f := Outcome{Name: "frequency", Unit: "Hz", Band: "95 % interval"}
	for _, p := range points {
		gain.Value = append(gain.Value, p.Gain)
		v, lo, hi := math.NaN(), math.NaN(), math.NaN()
		if p.Frequency.Determined {
			v, lo, hi = p.Frequency.Value, p.Frequency.Interval[0], p.Frequency.Interval[1]
		}
		f.Value, f.Low, f.High = append(f.Value, v), append(f.Low, lo), append(f.High, hi)
	}
	s := Sweep{Name: name, Unit: unit, At: values, Now: now, Outcomes: []Outcome{f}}
	if len(points) > 0 && quantities.Finite(points[0].Gain) {
		s.Outcomes = []Outcome{gain, f}
	}
	return Swept(s)
}
