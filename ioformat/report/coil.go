package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// CoilText writes what a drawing says, for people to read.
func CoilText(w io.Writer, d *model.Drawn, c *model.CrossCheck, src Source) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: the coil from its drawing, before any reading\n", src.Log)
	b.WriteString(src.howRead())
	section(&b, "What the drawing says", "± is one standard uncertainty, of the model and the dimensions")
	t := newTable(left(""), right("value"), left("±"), left(""), left("95 % interval"))
	units := unitsOf(d.Estimates)
	for i := range d.Estimates {
		e := &d.Estimates[i]
		name := drawnLabel(e)
		t.row(append([]string{name}, cells(e, units)[:4]...)...)
	}
	b.WriteString(t.text())
	if d.Drawing.Coil.Ball > 0 {
		b.WriteString("\n  Bench, mount and wires add stray capacitance at the top: readings will lie lower than\n  the bare frequency above, and fitcoil fit --coil tells by how much.\n")
	}
	crossCheck(&b, c)
	b.WriteString("\n" + highVoltage)
	_, err := io.WriteString(w, b.String())
	return err
}

// crossCheck sets the winding against measured coils.
func crossCheck(b *strings.Builder, c *model.CrossCheck) {
	section(b, "Cross-check: the winding by itself, without ball and core, its lower end grounded", fmt.Sprintf("length over diameter %.3g", c.Shape))
	t := newTable(left(""), right("value"), left("±"), left(""), left(""))
	drawn := quantity.Format(c.Drawn.Value, c.Drawn.Uncertainty, "F")
	t.row("self-capacitance, as drawn", drawn.Value, drawn.Uncertainty, drawn.Unit, "")
	words := "Medhurst's table of measured coils (1947) has none of this shape."
	if m := c.Measured; m != nil {
		f := quantity.Format(m.Value, m.Uncertainty, "F")
		t.row("of coils measured by Medhurst (1947)", f.Value, f.Uncertainty, f.Unit, change(m.Value/c.Drawn.Value))
		switch {
		case c.Shape > 2:
			words = "Long coils on his bench held more than a winding by itself does, for what stood and\n  ran beside them: on yours, expect some of that as stray capacitance."
		case c.Shape < 0.7:
			words = "Of short coils leads and the thickness of the turns count, which the drawing leaves out."
		default:
			words = "Coils of this shape agree with the drawing within some 5 %, on a solid former."
		}
	}
	b.WriteString(t.text() + "  " + words + "\n")
}

func drawnLabel(e *model.Estimate) string {
	switch {
	case e.Name == model.CoreGain:
		return "core gain, " + coreName(e.Core) + " all along the winding"
	case e.Core != "" || strings.HasSuffix(e.Name, "_core") || e.Name == "gain_as_placed":
		return strings.ReplaceAll(e.Name, "_", " ") + ", " + coreName(e.Core)
	case e.Hand > 0:
		return "hand " + label(e)
	}
	return label(e)
}

func coreName(core string) string {
	if core == "" {
		return "beads"
	}
	return core
}

type jsonCoil struct {
	Schema    int            `json:"schema"`
	Sheet     string         `json:"sheet"`
	Estimates []jsonEstimate `json:"estimates"`
	Cross     jsonCrossCheck `json:"cross_check"`
	Warnings  []string       `json:"warnings"`
}

// jsonCrossCheck sets the winding against measured coils.
type jsonCrossCheck struct {
	Shape    float64       `json:"length_over_diameter"`
	Drawn    jsonEstimate  `json:"drawn"`
	Measured *jsonEstimate `json:"medhurst,omitempty"`
}

// CoilJSON writes the same as one JSON object, SI throughout.
func CoilJSON(w io.Writer, d *model.Drawn, c *model.CrossCheck, src Source) error {
	out := jsonCoil{Schema: Schema, Sheet: src.Log, Estimates: []jsonEstimate{}, Warnings: src.warnings(), Cross: jsonCrossCheck{Shape: c.Shape, Drawn: expected(&c.Drawn)}}
	if c.Measured != nil {
		m := expected(c.Measured)
		out.Cross.Measured = &m
	}
	for i := range d.Estimates {
		out.Estimates = append(out.Estimates, expected(&d.Estimates[i]))
	}
	return writeJSON(w, out)
}

// Checks compares the drawing with the readings alone, a row for each quantity.
func Checks(list []model.Check) *Table {
	t := newTable(left(""), right("drawing"), left("±"), right("readings alone"), left("±"), left(""), right("readings give"), right("sigmas"))
	var drawn []model.Estimate
	for i := range list {
		drawn = append(drawn, list[i].Drawn)
	}
	units := unitsOf(drawn)
	for i := range list {
		c := &list[i]
		name := drawnLabel(&c.Drawn)
		u := units.of(c.Drawn.Value, c.Drawn.Uncertainty, c.Drawn.Unit)
		drawn := u.Format(c.Drawn.Value, c.Drawn.Uncertainty)
		if math.IsNaN(c.Sigmas) {
			t.row(name, drawn.Value, drawn.Uncertainty, quantity.Undetermined, "", u.Symbol, "", "")
			continue
		}
		read := u.Format(c.Readings.Value, c.Readings.Uncertainty)
		t.row(name, drawn.Value, drawn.Uncertainty, read.Value, read.Uncertainty, u.Symbol,
			change(c.Readings.Value/c.Drawn.Value), fmt.Sprintf("%+.1f", c.Sigmas))
	}
	return t
}

// change writes a ratio as a change in percent.
func change(ratio float64) string {
	if percent := 100 * (ratio - 1); math.Abs(percent) < 10 {
		return fmt.Sprintf("%+.2g %%", percent)
	}
	return fmt.Sprintf("%+.0f %%", 100*(ratio-1))
}

// SweepText writes what a change of the drawing does, for people to read.
func SweepText(w io.Writer, s Sweep, src Source) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: what a change of %s does\n", src.Log, s.Name)
	b.WriteString(src.howRead() + "\n")
	t := newTable(right(s.Name), right("core gain"), right("frequency"), left("±"), left(""))
	for i, p := range s.Points {
		gain := "-"
		if !math.IsNaN(p.Gain) {
			gain = quantity.FormatValue(p.Gain, 4, "").String()
		}
		f := quantity.Format(p.Frequency.Value, p.Frequency.Uncertainty, "Hz")
		t.row(s.At[i], gain, f.Value, f.Uncertainty, f.Unit)
	}
	b.WriteString(t.text())
	_, err := io.WriteString(w, b.String())
	return err
}

// Sweep is the outcome of a change of one quantity of a drawing.
type Sweep struct {
	Name   string
	At     []string  // the values with their unit
	Values []float64 // SI
	Points []model.SweepPoint
}

// NewSweep pairs values with what they give; text writes a value with its unit.
func NewSweep(name string, values []float64, text func(v float64) string, points []model.SweepPoint) Sweep {
	s := Sweep{Name: name, Values: values, Points: points}
	for _, v := range values {
		s.At = append(s.At, text(v))
	}
	return s
}

type jsonSweep struct {
	Schema   int              `json:"schema"`
	Log      string           `json:"log"`
	SHA256   string           `json:"log_sha256,omitempty"`
	Quantity string           `json:"quantity"`
	Points   []jsonSweepPoint `json:"points"`
	Warnings []string         `json:"warnings"`
}

type jsonSweepPoint struct {
	Value     float64      `json:"value"`
	Gain      *float64     `json:"core_gain,omitempty"`
	Frequency jsonEstimate `json:"frequency"`
}

// SweepJSON writes the same as one JSON object, SI throughout.
func SweepJSON(w io.Writer, s Sweep, src Source) error {
	out := jsonSweep{Schema: Schema, Log: src.Log, SHA256: src.SHA256, Quantity: s.Name, Points: []jsonSweepPoint{}, Warnings: src.warnings()}
	for i := range s.Points {
		p := &s.Points[i]
		out.Points = append(out.Points, jsonSweepPoint{s.Values[i], number(p.Gain), expected(&p.Frequency)})
	}
	return writeJSON(w, out)
}
