package coilsheet

import (
	"cmp"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/field"
)

// entry is a quantity that a sheet knows by name.
type entry struct {
	name      string
	dimension quantity.Dimension
	least     float64 // SI; the value lies above it
	orEqual   bool    // or on it
	whole     bool    // a count of things
}

// entries lists the quantities of a drawing, all in SI units.
func entries() []entry {
	const l, pure = quantity.Length, quantity.Pure
	return []entry{
		{name: "turns", dimension: pure},
		{name: "winding diameter", dimension: l}, // from wire centre to wire centre
		{name: "winding length", dimension: l},
		{name: wire, dimension: l}, // bare
		{name: "ball diameter", dimension: l},
		{name: "ball gap", dimension: l, orEqual: true},            // from the upper end of the winding to the ball
		{name: "height above ground", dimension: l, orEqual: true}, // of the grounded end
		{name: "hand diameter", dimension: l},                      // of the sphere that stands for a hand
		{name: "bead diameter", dimension: l},
		{name: "bead length", dimension: l},
		{name: "bead spacing", dimension: l, orEqual: true}, // gap between two beads
		{name: "bead count", dimension: pure, whole: true},
		{name: permeability, dimension: pure, least: 1},              // relative
		{name: "bead start", dimension: l, least: math.Inf(-1)},      // lowest face of the beads above the grounded end
		{name: "bead loss tangent", dimension: pure},                 // of the beads' material
		{name: "bead loss frequency", dimension: quantity.Frequency}, // at which it has that
		{name: "former outer diameter", dimension: l},                // of the tube that the turns lie on
		{name: "former inner diameter", dimension: l, orEqual: true},
		{name: "former permittivity", dimension: pure, least: 1},
		{name: "coating thickness", dimension: l}, // of what covers the winding
		{name: "coating permittivity", dimension: pure, least: 1},
		{name: "top voltage", dimension: quantity.Voltage}, // peak, at which the coil shall work
		{name: "primary turns", dimension: pure},
		{name: "primary diameter", dimension: l},                    // from wire centre to wire centre
		{name: "primary height", dimension: l, least: math.Inf(-1)}, // of its lowest turn above the winding's grounded end
		{name: "primary spacing", dimension: l},                     // from turn to turn, centre to centre
		{name: primaryWire, dimension: l},                           // bare
		{name: "ring diameter", dimension: l},                       // from the middle of the section to the middle
		{name: "ring thickness", dimension: l},
		{name: "ring height", dimension: l, least: math.Inf(-1)}, // of its middle above the grounded end
		{name: "plate diameter", dimension: l},
		{name: "plate hole", dimension: l, orEqual: true},
		{name: "plate height", dimension: l, least: math.Inf(-1)}, // above the grounded end
		{name: boxDiameter, dimension: l},
		{name: boxWidth, dimension: l},                          // of a square one
		{name: "box bottom", dimension: l, least: math.Inf(-1)}, // above the grounded end
		{name: "box top", dimension: l, least: math.Inf(-1)},
	}
}

const (
	wire         = "wire diameter"
	permeability = "bead permeability"
	primaryWire  = "primary wire diameter"
	boxDiameter  = "box diameter"
	boxWidth     = "box width"
)

// find returns the entry that name means.
func find(name string) (entry, bool) {
	short := map[string]string{"wire": wire, "permeability": permeability, "beads": "bead count", "height": "height above ground"}
	name = cmp.Or(short[name], name)
	for _, e := range entries() {
		if e.name == name {
			return e, true
		}
	}
	return entry{}, false
}

// check refuses values that no coil has.
func (e entry) check(q quantity.Quantity) error {
	switch {
	case q.Value < e.least || q.Value == e.least && !e.orEqual:
		expected := "a value above " + quantity.FormatValue(e.least, 2, "").Value
		if e.orEqual {
			expected = "a value of 0 or more"
		}
		return &quantity.Error{Read: q.Text, Expected: expected, Do: "leave the row out when it is not known"}
	case e.whole && q.Value != math.Round(q.Value):
		return &quantity.Error{Read: q.Text, Expected: "a whole number", Do: "count them"}
	}
	return nil
}

// counts tells whether e counts turns, which may be half ones.
func (e entry) counts() bool { return e.name == "turns" || e.name == "primary turns" }

// unstated returns the standard uncertainty of a value without a ±.
func (e entry) unstated(q quantity.Quantity) float64 {
	switch {
	case e.name == permeability:
		return 0.2 * q.Value // common practice: ferrite grades keep ±20 % or so
	case e.whole || e.counts():
		return 0
	}
	return q.DigitUncertainty()
}

// gauge reads a wire diameter in AWG: the letters stand in front of the number,
// behind it, or in the column of units.
func (rd *reader) gauge(e entry) {
	t := rd.table
	text := gaugeText(t.Cell(rd.value))
	mark, err := t.Number(text)
	if err != nil {
		t.Report(rd.value, err)
		return
	}
	d, err := gaugeDiameter(text, mark)
	if err != nil {
		t.Report(rd.value, err)
		return
	}
	// common practice: makers of winding wire keep the diameter within 1 %
	v := Given{Known: true, Value: d, Uncertainty: 0.01 * d / math.Sqrt(3), Line: t.Line(), Text: text + " AWG"}
	mm, _ := quantity.ParseUnit("mm", quantity.Length)
	pm, stated, ok := rd.spread(quantity.Quantity{Value: d, Unit: mm})
	switch {
	case !ok:
		return
	case stated && (pm == 0 || !strings.ContainsAny(rd.cell(rd.plusMinus), "%mµui")):
		t.Refuse(rd.plusMinus, rd.cell(rd.plusMinus), "a ± in % or with a unit of length", "")
		return
	case stated:
		v.Uncertainty = pm
	}
	rd.sheet.given[e.name] = v
}

// isGauge tells whether the diameter of the wire is written as a gauge.
func isGauge(e entry, text string) bool {
	return (e.name == wire || e.name == primaryWire) && strings.Contains(strings.ToUpper(text), "AWG")
}

// gaugeText is the number of a gauge, without its letters.
func gaugeText(text string) string {
	return quantity.Trim(strings.Replace(strings.ToUpper(text), "AWG", "", 1))
}

// gaugeDiameter returns the diameter [m] of the gauge written in text.
func gaugeDiameter(text string, mark quantity.Mark) (float64, error) {
	n, ok := gaugeNumber(text, mark)
	if !ok {
		return 0, &quantity.Error{Read: text, Expected: "a gauge from 0000 to 50, whole or half, such as 28 or 28.5", Do: "for a diameter, write it with mm"}
	}
	return field.AWG(n), nil
}

// gaugeNumber reads 0000, 000, 00 (−3, −2, −1 in the formula) and 0 to 50,
// whole or half: winding wire is made in half gauges too (common practice).
func gaugeNumber(text string, mark quantity.Mark) (n float64, ok bool) {
	if text != "" && strings.Trim(text, "0") == "" {
		return float64(1 - len(text)), len(text) <= 4
	}
	q, err := quantity.Form{Mark: mark}.Parse(text)
	return q.Value, err == nil && q.Value >= 0 && q.Value <= 50 && 2*q.Value == math.Trunc(2*q.Value)
}
