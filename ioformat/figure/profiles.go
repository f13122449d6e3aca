package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/fit"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Profiles shows how χ² rises over each of some quantities and over each pair of them, beside
// what standard uncertainties and correlations make of it; list has the intervals of these
// quantities, for the table.
func Profiles(r *model.Result, s estimation.Surface, list []estimation.Profiled) Figure {
	f := Figure{Name: "profiles", Title: "Do standard uncertainties and correlations tell enough?", Width: matrixWidth}
	n := len(s.Curves)
	if n == 0 {
		return empty(f, "No quantity of these readings has a 95 % interval to compare with a profile.")
	}
	m := newMatrix(look(r), s)
	f.Across = n
	for i := range n {
		for j := range n {
			switch {
			case i == j:
				f.Panels = append(f.Panels, m.curve(i))
			case j < i:
				f.Panels = append(f.Panels, m.region(j, i))
			default:
				f.Panels = append(f.Panels, chart.Panel{Bare: true, X: unitAxis(), Y: unitAxis(), Height: matrixHeight,
					Texts: []chart.Text{{XY: chart.XY{X: 0.5, Y: 0.5}, Text: wording.Correlation(s.Correlation(j, i))}}})
			}
		}
	}
	f.Keys = []chart.Key{{Text: "profile likelihood: all else fitted anew", Style: profileStyle, Line: true},
		{Text: "standard uncertainties and correlations", Style: linearStyle, Line: true, Dashed: true}}
	f.Notes = []string{
		"On the diagonal: rise of χ²; the horizontal line is its value at the ends of a 95 % interval. Below: outlines of both quantities together, 95 %. Above: correlation coefficients.",
		"Where solid and dashed lines agree, the linear intervals hold. Both take the model as true, and tolerances and priors as normal.",
	}
	f.Notes = append(f.Notes, m.legend()...)
	f.Table, f.Alt = profileTable(s, list)
	return f
}

const (
	matrixWidth  = 520.0
	matrixHeight = 62.0

	profileStyle chart.Style = 2
	linearStyle  chart.Style = 1
)

func unitAxis() chart.Axis { return chart.Axis{Min: 0, Max: 1} }

// matrix is a surface with an axis for each quantity.
type matrix struct {
	*view
	estimation.Surface
	names []string
	units []quantity.Unit
	axes  []chart.Axis
}

func newMatrix(v *view, s estimation.Surface) *matrix {
	m := &matrix{view: v, Surface: s}
	for i, c := range s.Curves {
		var x span
		for _, q := range slices.Concat(c.Linear, c.Profile) {
			x.add(q.At)
		}
		for _, g := range s.Regions {
			for _, outline := range [][][2]float64{g.Profile, g.Linear} {
				for _, q := range outline {
					if g.First == i {
						x.add(q[0])
					}
					if g.Second == i {
						x.add(q[1])
					}
				}
			}
		}
		u := unit(x.largest(), quantity.BaseUnit(c.Unit))
		m.units = append(m.units, u)
		m.names = append(m.names, axisLabel(symbol(v.shortCore(c.Estimate)), u))
		a := chart.Over("", u.FromSI(x.low), u.FromSI(x.high), 2)
		for n := 3; len(a.Ticks) < 2 && n < 6; n++ {
			a = chart.Over("", u.FromSI(x.low), u.FromSI(x.high), n)
		}
		m.axes = append(m.axes, a)
	}
	return m
}

// axis is that of quantity i, below the last row and left of the first column.
func (m *matrix) axis(i int, shown bool) chart.Axis {
	a := m.axes[i]
	a.Unshown = !shown
	if shown {
		a.Label = m.names[i]
	}
	return a
}

// curve is a panel of the diagonal.
func (m *matrix) curve(i int) chart.Panel {
	c := &m.Curves[i]
	top := 1.3 * c.Limit
	p := chart.Panel{Height: matrixHeight, Title: m.names[i], X: m.axis(i, i == len(m.Curves)-1),
		Y:     chart.Axis{Max: top, Ticks: []chart.Tick{{At: 0, Label: "0"}, {At: c.Limit, Label: fixed(c.Limit, 1)}}, Unshown: i > 0},
		Rules: []chart.Rule{{At: c.Limit}}}
	line := func(style chart.Style, dashed bool, points []fit.CurvePoint) chart.Line {
		l := chart.Line{Style: style, Dashed: dashed}
		for _, q := range points {
			l.Points = append(l.Points, chart.XY{X: m.units[i].FromSI(q.At), Y: q.Rise})
		}
		return l
	}
	p.Lines = found(line(profileStyle, false, c.Profile), line(linearStyle, true, c.Linear))
	return p
}

// region is a panel below the diagonal.
func (m *matrix) region(j, i int) chart.Panel {
	p := chart.Panel{Height: matrixHeight, X: m.axis(j, i == len(m.Curves)-1), Y: m.axis(i, j == 0)}
	for _, g := range m.Regions {
		if g.First != j || g.Second != i {
			continue
		}
		outline := func(style chart.Style, dashed bool, points [][2]float64) (l chart.Line) {
			l = chart.Line{Style: style, Dashed: dashed}
			for k := range points {
				l.Points = append(l.Points, m.place(points[k], j, i))
			}
			if len(points) > 0 {
				l.Points = append(l.Points, l.Points[0])
			}
			return l
		}
		p.Lines = found(outline(profileStyle, false, g.Profile), outline(linearStyle, true, g.Linear))
	}
	at := m.place([2]float64{m.Curves[j].Value, m.Curves[i].Value}, j, i)
	p.Points = []chart.Point{{XY: at, Style: chart.Ink, Small: true}}
	return p
}

func (m *matrix) place(q [2]float64, j, i int) chart.XY {
	return chart.XY{X: m.units[j].FromSI(q[0]), Y: m.units[i].FromSI(q[1])}
}

// found leaves out lines that could not be.
func found(list ...chart.Line) (out []chart.Line) {
	for _, l := range list {
		if len(l.Points) > 1 {
			out = append(out, l)
		}
	}
	return out
}

// legend says what the symbols are, and which lines could not be found.
func (m *matrix) legend() (notes []string) {
	var list []*quantities.Estimate
	for i := range m.Curves {
		list = append(list, m.Curves[i].Estimate)
	}
	notes = append(m.symbols(list), m.remarks()...)
	missing := 0
	for _, c := range m.Curves {
		if len(c.Profile) < 3 {
			missing++
		}
	}
	for _, g := range m.Regions {
		if g.Profile == nil {
			missing++
		}
	}
	if missing > 0 {
		notes = append(notes, fmt.Sprintf("Not found, and not drawn: %s.", quantity.Count(missing, "solid line")))
	}
	return notes
}

// symbol is a short name for an axis.
func symbol(e *quantities.Estimate) string {
	return cmp.Or(map[string]string{
		quantities.EffectiveInductance:  "L",
		quantities.EffectiveCapacitance: "C",
		quantities.LCProduct:            "L × C",
		quantities.Inductance:           "L, air",
		quantities.CoreGain:             "gain, " + e.Core,
		quantities.CoreCapacitance:      "C of " + e.Core,
		quantities.HandFrequencyDrop:    "drop, " + wording.Distance(e.Hand),
		quantities.CouplingAtResonance:  strings.TrimSuffix("k, "+e.Core, ", "),
		quantities.BareFrequency:        "f",
		quantities.WindingCapacitance:   "C, winding",
		quantities.TopCapacitance:       "C, top",
		quantities.LeadCapacitance:      "C, leads",
	}[e.Name], wording.QuantityOf(e))
}

// symbols says what those of list stand for.
func (v *view) symbols(list []*quantities.Estimate) (notes []string) {
	var words []string
	for _, e := range list {
		e := v.shortCore(e)
		if s, name := symbol(e), wording.QuantityOf(e); s != name {
			words = append(words, s+": "+name)
		}
	}
	if len(words) > 0 {
		notes = append(notes, strings.Join(words, "; ")+".")
	}
	return notes
}

// profileTable has the intervals of what is drawn.
func profileTable(s estimation.Surface, list []estimation.Profiled) (t chart.Table, alt string) {
	t.Columns = []string{"95 % interval", "linear", "profile"}
	var differ []string
	for i := range s.Curves {
		e := s.Curves[i].Estimate
		for k := range list {
			p := &list[k]
			if p.Key != e.Key {
				continue
			}
			t.Rows = append(t.Rows, []string{wording.QuantityOf(e), interval(e, e.LinearInterval()), interval(e, p.Profile)})
			if p.Differs() {
				differ = append(differ, wording.QuantityOf(e))
			}
		}
	}
	alt = fmt.Sprintf("Profiles of %s and regions of each pair, beside what standard uncertainties and correlations make of them.", quantity.Count(len(s.Curves), "quantity"))
	alt = strings.Replace(alt, "quantitys", "quantities", 1)
	if len(differ) == 0 {
		return t, alt + " All linear intervals agree with those by the profile within a tenth of the standard uncertainty."
	}
	return t, alt + " Linear intervals that differ by more than a tenth of the standard uncertainty: " + strings.Join(differ, "; ") + "."
}

// interval writes one with its unit.
func interval(e *quantities.Estimate, of [2]float64) string {
	u := unit(math.Abs(e.Value), quantity.BaseUnit(e.Unit))
	return strings.TrimSpace(u.End(of[0], e.Uncertainty) + " to " + u.End(of[1], e.Uncertainty) + " " + u.Symbol)
}
