package figure

import (
	"fmt"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/drawing"
	"fitcoil/model/voltage"
)

// Voltage shows the section of a drawn coil, and below it the voltage along the winding and
// at which each bead floats, with volts [V] at the top: in the core drawn if there is one.
// Gaps that may spark are marked.
func Voltage(d *drawing.Drawn, volts float64) Figure {
	c := d.Drawing.Coil
	f := Figure{Name: "voltage", Title: fmt.Sprintf("Voltage in the coil with %s at the top", quantity.FormatValue(volts, 3, "V"))}
	u, v := unit(c.Length, "m"), unit(volts, "V")
	p := d.Bare
	if d.Core != nil {
		p = d.Core.Mode
	}
	s := voltage.Of(c, p, d.Core != nil)
	section := sectionPanel(c, u)
	section.X.Label, section.X.Unshown = "", true
	panel := chart.Panel{Height: 160, X: section.X, Y: chart.Over(axisLabel("voltage", v), 0, v.FromSI(volts), 5), Rules: []chart.Rule{{At: 0}}}
	panel.X.Label, panel.X.Unshown = axisLabel("height above the grounded end", u), false
	winding := chart.Line{Style: copper}
	for k, z := range p.Height {
		winding.Points = append(winding.Points, chart.XY{X: u.FromSI(z), Y: v.FromSI(volts * p.Voltage[k])})
	}
	panel.Lines = append(panel.Lines, winding)
	for i, b := range s.Beads {
		low := c.Beads.Start + float64(i)*(c.Beads.Length+c.Beads.Spacing)
		panel.Lines = append(panel.Lines, chart.Line{Style: chart.Ink, Points: []chart.XY{
			{X: u.FromSI(low), Y: v.FromSI(volts * b)}, {X: u.FromSI(low + c.Beads.Length), Y: v.FromSI(volts * b)}}})
	}
	f.Keys = []chart.Key{{Text: "winding", Style: copper, Line: true}}
	if len(s.Beads) > 0 {
		f.Keys = append(f.Keys, chart.Key{Text: "beads, floating", Style: chart.Ink, Line: true})
	}
	sparks := s.MaySpark(volts)
	for _, g := range sparks {
		panel.Points = append(panel.Points, chart.Point{XY: chart.XY{X: u.FromSI(g.Height), Y: 0}, Style: chart.Style(3)})
	}
	if len(sparks) > 0 {
		f.Keys = append(f.Keys, chart.Key{Text: "may spark there", Style: chart.Style(3)})
	}
	f.Panels = []chart.Panel{section, panel}
	f.Notes = []string{sectionText(c), "Peak values of the lowest mode. What is not marked may spark too."}
	f.Alt = fmt.Sprintf("Section of the coil to scale, with the voltage along the winding below. The steepest place has %s a centimetre.", quantity.FormatValue(s.Gradient*volts/100, 3, "V"))
	f.Table = chart.Table{Columns: []string{axisLabel("height", u), axisLabel("voltage", v)}}
	step := max(1, (len(p.Height)-1)/10)
	for k := 0; k < len(p.Height); k += step {
		f.Table.Rows = append(f.Table.Rows, []string{fixed(u.FromSI(p.Height[k]), 1), fixed(v.FromSI(volts*p.Voltage[k]), 3)})
	}
	return f
}
