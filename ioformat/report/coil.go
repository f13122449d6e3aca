package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

// CoilText writes what a drawing gives, for people to read.
// With a voltage at the top [V], it says where that stands.
func CoilText(w io.Writer, d *drawing.Drawn, c *drawing.CrossCheck, volts float64, src Source, v View) error {
	t := newText(v)
	t.line(fmt.Sprintf("%s: the coil from its drawing, before any reading", src.Log))
	t.doubts(nil, src.Warnings, v.terse())
	t.section("From the drawing", "± is one standard uncertainty")
	tab := newTable(left(""), right("value"), left("±"), left(""), left("95 % interval"))
	units := unitsOf(d.Estimates)
	hands := 0
	for _, e := range d.Estimates {
		if e.Hand > 0 {
			if hands++; hands > 6 && !v.Full {
				continue
			}
		}
		tab.row(append([]string{drawnLabel(&e)}, cells(&e, units)[:4]...)...)
	}
	t.table(tab)
	if hands > 6 && !v.Full {
		t.under("and more of the hand: --full")
	}
	t.voltages(drawnStress(d), volts, v.Full)
	t.blank()
	if d.Drawing.Coil.Ball > 0 {
		t.point("Limits", "bench, mount and wires add stray capacitance at the top, so that the coil will ring lower than this bare frequency")
	}
	for _, words := range metalWords(d) {
		t.point("Metal", words)
	}
	if p := d.Drawing.Coil.Primary; v.Full && p.Metal == field.Grounded {
		t.point("Primary", "its turns count as grounded metal in the electric field; a row \"primary metal\" in the sheet may say floating")
	}
	t.crossCheck(c, v)
	t.point("Next", "read the bare coil, and with a known capacitor on the top; then fitcoil fit LOG --coil SHEET gives the stray capacitance")
	t.blank()
	t.line(highVoltage)
	return t.to(w)
}

// crossCheck compares the winding with measured coils.
func (t *text) crossCheck(c *drawing.CrossCheck, v View) {
	drawn := quantity.Format(c.Drawn.Value, c.Drawn.Uncertainty, "F").String()
	m := c.Measured
	if m == nil {
		t.point("Cross-check", fmt.Sprintf("self-capacitance of the winding alone %s; Medhurst's table of measured coils (1947) has none of length over diameter %s", nobreak(drawn), quantity.Digits(c.Shape, 3)))
		return
	}
	text := fmt.Sprintf("self-capacitance of the winding alone, without ball and core, %s; coils of its length over diameter (%s) measured by Medhurst (1947): %s, %s", nobreak(drawn), quantity.Digits(c.Shape, 3),
		nobreak(quantity.Format(m.Value, m.Uncertainty, "F").String()), nobreak(change(m.Value/c.Drawn.Value)))
	t.point("Cross-check", text)
	if !v.Full {
		return
	}
	words := "Coils of this shape agree with the drawing within some 5 %, on a solid former."
	switch {
	case c.Shape > 2:
		words = "Medhurst's long coils had leads and supports beside them, whose capacitance is in his values: on a bench, expect some of that as stray capacitance."
	case c.Shape < 0.7:
		words = "For short coils, leads and the thickness of the turns matter; the drawing has neither."
	}
	t.point("", words)
}

func drawnLabel(e *quantities.Estimate) string {
	switch {
	case e.Name == quantities.CoreGain:
		return "core gain, " + coreName(e.Core) + " all along the winding"
	case e.Name == quantities.QualityCore:
		return "quality factor by core " + coreName(e.Core) + "'s material"
	case e.Core != "" || strings.HasSuffix(e.Name, "_core") || e.Name == "gain_as_placed":
		return strings.ReplaceAll(e.Name, "_", " ") + ", " + coreName(e.Core)
	case e.Hand > 0:
		return "hand " + wording.Quantity(e)
	}
	return wording.Quantity(e)
}

func coreName(core string) string {
	if core == "" {
		return "beads"
	}
	return core
}

type jsonCoil struct {
	jsonStart
	Sheet     string         `json:"sheet"`
	Estimates []jsonEstimate `json:"estimates"`
	Cross     jsonCrossCheck `json:"cross_check"`
	Voltage   []jsonVoltage  `json:"voltage,omitempty"`
	Warnings  []string       `json:"warnings"`
}

// jsonCrossCheck sets the winding against measured coils.
type jsonCrossCheck struct {
	Shape    float64       `json:"length_over_diameter"`
	Drawn    jsonEstimate  `json:"drawn"`
	Measured *jsonEstimate `json:"medhurst,omitempty"`
}

// CoilJSON writes the same as one JSON object, SI throughout.
func CoilJSON(w io.Writer, d *drawing.Drawn, c *drawing.CrossCheck, volts float64, src Source) error {
	out := jsonCoil{jsonStart: start(src), Sheet: src.Log, Estimates: each(d.Estimates, expected), Warnings: append([]string{}, src.Warnings...),
		Cross: jsonCrossCheck{Shape: c.Shape, Drawn: expected(&c.Drawn)}, Voltage: voltagesJSON(drawnStress(d), volts)}
	if c.Measured != nil {
		m := expected(c.Measured)
		out.Cross.Measured = &m
	}
	return writeJSON(w, out)
}

// Checks compares the drawing with the readings alone, a row for each quantity.
func Checks(list []estimation.Check) *Table {
	t := newTable(left(""), right("drawing"), left("±"), right("readings"), left("±"), left(""), right("change"), right("sigmas"))
	units := unitsIn(list, func(c estimation.Check) *quantities.Estimate { return &c.Drawn })
	for _, c := range list {
		name := drawnLabel(&c.Drawn)
		u := units.of(c.Drawn.Value, c.Drawn.Uncertainty, c.Drawn.Unit)
		drawn := u.Format(c.Drawn.Value, c.Drawn.Uncertainty)
		if math.IsNaN(c.Sigmas) {
			t.row(name, drawn.Value, drawn.Uncertainty, quantity.Undetermined, "", u.Symbol, "", "")
			continue
		}
		read := u.Format(c.Readings.Value, c.Readings.Uncertainty)
		t.row(name, drawn.Value, drawn.Uncertainty, read.Value, read.Uncertainty, u.Symbol,
			change(c.Readings.Value/c.Drawn.Value), wording.Moved(c.Sigmas))
	}
	return t
}

// change writes a ratio as a change in percent.
func change(ratio float64) string {
	percent := 100 * (ratio - 1)
	text := quantity.SignedDecimals(percent, 0) + " %"
	if math.Abs(percent) < 10 {
		text = quantity.SignedDigits(percent, 2) + " %"
	}
	return minus(text)
}

// SweepText writes what a change of the drawing does, for people to read.
func SweepText(w io.Writer, r *model.Result, s Sweep, src Source, v View) error {
	t := newText(v)
	t.line(fmt.Sprintf("%s: the effect of %s", src.Log, s.Name))
	t.warnings(r, src, 2)
	t.blank()
	tab := newTable(right(s.Name), right("core gain"), right("frequency"), left("±"), left(""))
	for i, p := range s.Points {
		gain := "-"
		if !math.IsNaN(p.Gain) {
			gain = quantity.FormatValue(p.Gain, 4, "").String()
		}
		f := quantity.Format(p.Frequency.Value, p.Frequency.Uncertainty, "Hz")
		tab.row(s.At[i], gain, f.Value, f.Uncertainty, f.Unit)
	}
	t.table(tab)
	t.blank()
	t.line("± is one standard uncertainty. --plots DIR draws it.")
	return t.to(w)
}

// Sweep is the outcome of a change of one quantity of a drawing.
type Sweep struct {
	Name   string
	At     []string  // the values with their unit
	Values []float64 // SI
	Points []decisions.SweepPoint
}

// NewSweep pairs values with what they give; text writes a value with its unit.
func NewSweep(name string, values []float64, text func(v float64) string, points []decisions.SweepPoint) Sweep {
	s := Sweep{Name: name, Values: values, Points: points}
	for _, v := range values {
		s.At = append(s.At, text(v))
	}
	return s
}

type jsonSweep struct {
	jsonHead
	Quantity string           `json:"quantity"`
	Points   []jsonSweepPoint `json:"points"`
	jsonTold
}

type jsonSweepPoint struct {
	Value     float64      `json:"value"`
	Gain      *float64     `json:"core_gain,omitempty"`
	Frequency jsonEstimate `json:"frequency"`
}

// SweepJSON writes the same as one JSON object, SI throughout.
func SweepJSON(w io.Writer, r *model.Result, s Sweep, src Source) error {
	out := jsonSweep{jsonHead: head(src), Quantity: s.Name, Points: []jsonSweepPoint{}, jsonTold: src.told(r)}
	for i, p := range s.Points {
		out.Points = append(out.Points, jsonSweepPoint{s.Values[i], number(p.Gain), expected(&p.Frequency)})
	}
	return writeJSON(w, out)
}
