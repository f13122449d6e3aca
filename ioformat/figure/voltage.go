package figure

import (
	"fmt"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/voltage"
)

// Stressed is a state with where its voltage stands; without beads where no core is in.
type Stressed struct {
	Name string
	*voltage.Stress
}

// DrawnVoltage is Voltage of a coil as drawn: in the core drawn if there is one.
func DrawnVoltage(d *drawing.Drawn, volts float64) Figure {
	c, p := d.Drawing.Coil, d.Bare
	if d.Core != nil {
		p = d.Core.Mode
	}
	s := voltage.Of(c, p, d.Core != nil)
	return Voltage(c, []Stressed{{"winding", &s}}, volts)
}

// Voltage shows the section of a drawn coil, and below it the voltage along the winding in some
// states, and at which each bead floats in the last of these that has beads: with volts [V] at
// the top. Gaps that may spark there are marked.
func Voltage(c field.Coil, states []Stressed, volts float64) Figure {
	f := Figure{Name: "voltage", Title: fmt.Sprintf("Where does the voltage stand with %s at the top?", quantity.FormatValue(volts, 3, "V"))}
	u := plane{unit(c.Length, "m"), unit(volts, "V")}
	section := sectionPanel(c, u.x)
	section.X.Label, section.X.Unshown = "", true
	panel := chart.Panel{Height: 160, X: section.X, Y: chart.Over(axisLabel("voltage", u.y), 0, u.y.FromSI(volts), 5), Rules: []chart.Rule{{At: 0}}}
	panel.X.Label, panel.X.Unshown = axisLabel("height above the grounded end", u.x), false
	f.Table = chart.Table{Columns: []string{axisLabel("height", u.x)}}
	for i, s := range states {
		line := chart.Line{Style: stateStyle(i)}
		for k, z := range s.Profile.Height {
			line.Points = append(line.Points, u.xy(z, volts*s.Profile.Voltage[k]))
		}
		panel.Lines = append(panel.Lines, line)
		f.Keys = append(f.Keys, chart.Key{Text: s.Name, Style: line.Style, Line: true})
		f.Table.Columns = append(f.Table.Columns, axisLabel(s.Name, u.y))
	}
	last := states[0]
	for _, s := range states {
		if len(s.Beads) > 0 {
			last = s
		}
	}
	for i, b := range last.Beads {
		low := c.Beads.Start + float64(i)*(c.Beads.Length+c.Beads.Spacing)
		panel.Lines = append(panel.Lines, u.line(chart.Ink, []float64{low, low + c.Beads.Length}, []float64{volts * b, volts * b}))
	}
	if len(last.Beads) > 0 {
		f.Keys = append(f.Keys, chart.Key{Text: "beads, floating", Style: chart.Ink, Line: true})
	}
	panel.Points = append(panel.Points, chart.Point{XY: u.xy(last.GradientAt, volts*last.At(last.GradientAt)), Style: steepStyle(), Hollow: true})
	f.Keys = append(f.Keys, chart.Key{Text: "steepest, " + quantity.FormatValue(last.Gradient*volts/100, 3, "V").String() + "/cm", Style: steepStyle(), Mark: true, Hollow: true})
	if sparks := last.MaySpark(volts); len(sparks) > 0 {
		for _, g := range sparks {
			panel.Points = append(panel.Points, chart.Point{XY: u.xy(g.Height, 0), Style: sparkStyle})
		}
		f.Keys = append(f.Keys, chart.Key{Text: "may spark there", Style: sparkStyle, Mark: true})
	}
	f.Panels = []chart.Panel{section, panel}
	f.Notes = []string{sectionText(c), "Peak values of the lowest mode. What is not marked may spark too."}
	f.Alt = fmt.Sprintf("Section of the coil to scale, with the voltage along the winding below. The steepest place has %s a centimetre, at %s above the grounded end.",
		quantity.FormatValue(last.Gradient*volts/100, 3, "V"), quantity.FormatValue(last.GradientAt, 2, "m"))
	f.Table.Rows = voltageRows(states, volts, u)
	return f
}

const sparkStyle chart.Style = 3

func steepStyle() chart.Style { return chart.Ink.Shaped(3) }

// stateStyle is the line of a state: the first as the winding is drawn, others apart in colour
// and dashes.
func stateStyle(i int) chart.Style { return chart.Series([]int{1, 2, 4, 0}[i%4], 0, i%4) }

// voltageRows has the voltage at ten heights.
func voltageRows(states []Stressed, volts float64, u plane) (rows [][]string) {
	heights := states[0].Profile.Height
	step := max(1, (len(heights)-1)/10)
	for k := 0; k < len(heights); k += step {
		row := []string{fixed(u.x.FromSI(heights[k]), 1)}
		for _, s := range states {
			row = append(row, fixed(u.y.FromSI(volts*s.Profile.Voltage[k]), 3))
		}
		rows = append(rows, row)
	}
	return rows
}
