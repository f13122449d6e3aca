package figure

import (
	"fmt"
	"math"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

// Section shows a coil cut along its axis, to scale and lying on its side with
// the grounded end to the left, and below it the voltage and the current along
// the winding in its lowest resonance.
func Section(c field.Coil, m *field.Mode) Figure {
	f := Figure{Name: "section", Title: "How do voltage and current spread along the winding?"}
	u := unit(c.Length, "m")
	drawing := sectionPanel(c, u)
	mode := modePanel(c, m, u)
	drawing.X.Label, drawing.X.Unshown = "", true
	mode.X = drawing.X
	mode.X.Label, mode.X.Unshown = axisLabel("height above the grounded end", u), false
	f.Panels = []chart.Panel{drawing, mode}
	f.Keys = []chart.Key{{Text: "winding", Style: copper, Area: true}}
	if c.Beads.Count > 0 {
		f.Keys = append(f.Keys, chart.Key{Text: "core", Style: chart.Faint, Area: true})
	}
	if c.Ball > 0 {
		f.Keys = append(f.Keys, chart.Key{Text: "ball", Style: chart.Mist, Area: true})
	}
	if c.Primary.Turns > 0 || c.Metal != (field.Metal{}) {
		f.Keys = append(f.Keys, chart.Key{Text: "metal", Style: chart.Ink, Area: true})
	}
	if groundDrawn(c) {
		f.Keys = append(f.Keys, chart.Key{Text: "ground", Style: chart.Ink, Line: true})
	}
	if mode.Empty == "" {
		f.Keys = append(f.Keys, chart.Key{Text: "voltage", Style: voltageStyle, Line: true}, chart.Key{Text: "current", Style: current(), Line: true})
	}
	f.Notes = []string{sectionText(c)}
	f.Alt = "Section of the coil to scale, with voltage and current along the winding. " + f.Notes[0] + modeText(m)
	f.Table = modeTable(c, m, u)
	return f
}

const (
	copper       chart.Style = 1
	voltageStyle chart.Style = 2
)

// current is the style of a line of its own colour, dashed.
func current() chart.Style { return chart.Series(3, 0, 1) }

// squat is the ratio of height to length from which a section gets room at its
// ends rather than more height.
const squat = 0.4

// slim is the ratio of radius to length below which the axis has no room for
// the radius.
const slim = 0.03

func sectionPanel(c field.Coil, u quantity.Unit) chart.Panel {
	p := chart.Panel{Equal: true}
	mm := func(x, y float64) chart.XY { return chart.XY{X: u.FromSI(x), Y: u.FromSI(y)} }
	box := func(x0, x1, y0, y1 float64, s chart.Style) {
		p.Areas = append(p.Areas, chart.Area{Outline: []chart.XY{mm(x0, y0), mm(x1, y0), mm(x1, y1), mm(x0, y1)}, Style: s})
	}
	wire := c.Wire
	if wire == 0 {
		wire = c.Length / c.Turns
	}
	radius := c.Diameter / 2
	for _, y := range []float64{radius, -radius} {
		box(0, c.Length, y-wire/2, y+wire/2, copper)
	}
	for i := range c.Beads.Count {
		at := c.Beads.Start + float64(i)*(c.Beads.Length+c.Beads.Spacing)
		box(at, at+c.Beads.Length, -c.Beads.Diameter/2, c.Beads.Diameter/2, chart.Faint)
	}
	var x, y span
	x.add(0, c.Length, c.Beads.Start)
	if c.Beads.Count > 0 {
		x.add(c.Beads.Start + float64(c.Beads.Count)*(c.Beads.Length+c.Beads.Spacing))
	}
	y.add(radius+wire, -radius-wire, c.Ball/2, -c.Ball/2)
	if c.Ball > 0 {
		centre := c.Length + c.BallGap + c.Ball/2
		p.Areas = append(p.Areas, chart.Area{Outline: circle(mm, centre, c.Ball/2), Style: chart.Mist})
		x.add(centre + c.Ball/2)
	}
	x, y = metalPanel(&p, c, mm, x, y)
	if groundDrawn(c) {
		x.add(-c.Height)
		p.Lines = append(p.Lines, chart.Line{Points: []chart.XY{mm(-c.Height, y.low), mm(-c.Height, y.high)}, Style: chart.Ink})
	}
	if lack := (y.high-y.low)/squat - (x.high - x.low); lack > 0 {
		x.add(x.low-lack/2, x.high+lack/2)
	}
	p.X = chart.Over("", u.FromSI(x.low), u.FromSI(x.high), 8)
	p.Y = chart.Axis{Label: axisLabel("distance from the axis", u), Min: u.FromSI(y.low), Max: u.FromSI(y.high)}
	p.Y.Ticks = []chart.Tick{{At: 0, Label: "0"}}
	if radius > slim*(x.high-x.low) {
		r := quantity.Format(u.FromSI(radius), 0, "").String()
		p.Y.Ticks = append(p.Y.Ticks, chart.Tick{At: u.FromSI(radius), Label: r}, chart.Tick{At: -u.FromSI(radius), Label: r})
	}
	return p
}

// groundDrawn tells whether the ground plane is near enough to be drawn.
func groundDrawn(c field.Coil) bool { return c.Height > 0 && c.Height < c.Length/2 }

func circle(at func(x, y float64) chart.XY, centre, radius float64) (outline []chart.XY) {
	const corners = 72
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		outline = append(outline, at(centre+radius*cos, radius*sin))
	}
	return outline
}

// modePanel shows voltage at the ends and current in the middle of each slice.
func modePanel(c field.Coil, m *field.Mode, u quantity.Unit) chart.Panel {
	p := chart.Panel{Height: 130, Rules: []chart.Rule{{At: 0}}}
	n := float64(len(m.Voltage))
	v := chart.Line{Style: voltageStyle, Points: []chart.XY{{}}}
	i := chart.Line{Style: current()}
	var y span
	y.add(0, 1)
	for k := range m.Voltage {
		if !quantities.Finite(m.Voltage[k], m.Current[k]) {
			p.Empty = "The coil as drawn has no resonance."
			return p
		}
		v.Points = append(v.Points, chart.XY{X: u.FromSI(c.Length * float64(k+1) / n), Y: m.Voltage[k]})
		i.Points = append(i.Points, chart.XY{X: u.FromSI(c.Length * (float64(k) + 0.5) / n), Y: m.Current[k]})
		y.add(m.Voltage[k], m.Current[k])
	}
	if len(m.Voltage) == 0 {
		p.Empty = "The resonance was not worked out."
		return p
	}
	p.Lines = []chart.Line{v, i}
	p.Y = chart.Over("voltage (top = 1) and current (grounded end = 1)", y.low, y.high, 5)
	return p
}

// sectionText gives the dimensions drawn.
func sectionText(c field.Coil) string {
	length := func(x float64) string { return quantity.Format(x, 0, "m").String() }
	s := fmt.Sprintf("%s turns, %s long, %s across.", quantity.Digits(c.Turns, 4), length(c.Length), length(c.Diameter))
	if c.Ball > 0 {
		s += fmt.Sprintf(" Ball of %s.", length(c.Ball))
	}
	switch b := c.Beads; {
	case b.Count == 1:
		s += fmt.Sprintf(" Core: one rod, %s across and %s long.", length(b.Diameter), length(b.Length))
	case b.Count > 1:
		s += fmt.Sprintf(" Core: %d beads, %s across and %s long, %s apart.", b.Count, length(b.Diameter), length(b.Length), length(b.Spacing))
	}
	if c.Height > 0 {
		s += fmt.Sprintf(" Grounded end %s above the ground", length(c.Height))
		if !groundDrawn(c) {
			s += ", which is not drawn"
		}
		s += "."
	}
	return s + metalText(c)
}

// modeText says how much of the current reaches the top.
func modeText(m *field.Mode) string {
	n := len(m.Current)
	if n == 0 || !quantities.Finite(m.Current...) {
		return ""
	}
	return fmt.Sprintf(" The current falls to %s %% at the top.", quantity.Decimals(100*m.Current[n-1], 0))
}

// modeTable lists the resonance at ten places.
func modeTable(c field.Coil, m *field.Mode, u quantity.Unit) chart.Table {
	t := chart.Table{Columns: []string{axisLabel("height", u), "voltage", "current"}}
	n := len(m.Voltage)
	step := max(1, n/10)
	for k := step - 1; k < n; k += step {
		t.Rows = append(t.Rows, []string{fixed(u.FromSI(c.Length*float64(k+1)/float64(n)), 1), fixed(m.Voltage[k], 3), fixed(m.Current[k], 3)})
	}
	return t
}

// Drawing is Section with what a drawing predicts: the mode of the coil in air.
func Drawing(d *drawing.Drawn) Figure {
	p := d.Bare
	n := len(p.Current) - 1
	m := &field.Mode{Omega: 2 * math.Pi * d.Prediction.Frequency.Value, Voltage: p.Voltage[1:], Current: make([]float64, n)}
	for k := range n {
		m.Current[k] = (p.Current[k] + p.Current[k+1]) / 2
	}
	return Section(d.Drawing.Coil, m)
}

// metalPanel adds the metal around c to its section, and what room it takes to that of the
// panel, x along the axis and y across. What is wider than the coil is long is cut off.
func metalPanel(p *chart.Panel, c field.Coil, at func(x, y float64) chart.XY, x, y span) (span, span) {
	most := c.Length / 2
	across := func(z, from, to float64) {
		if to = math.Min(to, most); from >= to {
			return
		}
		for _, side := range []float64{1, -1} {
			p.Lines = append(p.Lines, chart.Line{Points: []chart.XY{at(z, side*from), at(z, side*to)}, Style: chart.Ink})
		}
		x.add(z)
		y.add(to, -to)
	}
	round := func(z, radius, thickness float64) {
		if radius > most {
			return
		}
		for _, side := range []float64{1, -1} {
			ring := func(u, v float64) chart.XY { return at(u, v+side*radius) }
			p.Areas = append(p.Areas, chart.Area{Outline: circle(ring, z, thickness/2), Style: chart.Ink})
		}
		x.add(z-thickness/2, z+thickness/2)
		y.add(radius+thickness/2, -radius-thickness/2)
	}
	if q := c.Primary; q.Turns > 0 {
		for i := 0.0; i < q.Turns; i++ {
			round(q.Height+i*q.Spacing, q.Diameter/2, q.Wire)
		}
	}
	if r := c.Ring; r.Diameter > 0 {
		round(r.Height, r.Diameter/2, r.Thickness)
	}
	if q := c.Plate; q.Diameter > 0 {
		across(q.Height, q.Hole/2, q.Diameter/2)
	}
	if b := c.Box; b.Diameter > 0 {
		across(b.Bottom, 0, b.Diameter/2)
		across(b.Top, 0, b.Diameter/2)
		if r := b.Diameter / 2; r <= most {
			for _, side := range []float64{1, -1} {
				p.Lines = append(p.Lines, chart.Line{Points: []chart.XY{at(b.Bottom, side*r), at(b.Top, side*r)}, Style: chart.Ink})
			}
		}
	}
	return x, y
}

// metalText gives the dimensions of metal drawn.
func metalText(c field.Coil) (s string) {
	length := func(x float64) string { return quantity.Format(math.Round(x*1e4)/1e4, 0, "m").String() }
	if q := c.Primary; q.Turns > 0 {
		turns := " turns"
		if q.Turns == 1 {
			turns = " turn"
		}
		s += fmt.Sprintf(" Primary: %s%s, %s across.", quantity.Digits(q.Turns, 3), turns, length(q.Diameter))
	}
	if r := c.Ring; r.Diameter > 0 {
		s += fmt.Sprintf(" %s ring of %s.", map[bool]string{true: "Slit", false: "Closed"}[r.Slit], length(r.Diameter))
	}
	if q := c.Plate; q.Diameter > 0 {
		s += fmt.Sprintf(" Plate of %s.", length(q.Diameter))
	}
	if b := c.Box; b.Diameter > 0 {
		s += fmt.Sprintf(" In a box %s wide and %s high.", length(b.Diameter), length(b.Top-b.Bottom))
	}
	return s
}
