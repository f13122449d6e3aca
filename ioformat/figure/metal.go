package figure

import (
	"fmt"
	"math"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/field"
)

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
