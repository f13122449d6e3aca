package coilsheet

import (
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/field"
)

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
	if strings.Trim(text, "0") == "" && 0 < len(text) && len(text) <= 4 {
		return float64(1 - len(text)), true
	}
	q, err := quantity.Form{Mark: mark}.Parse(text)
	return q.Value, err == nil && q.Value >= 0 && q.Value <= 50 && 2*q.Value == math.Trunc(2*q.Value)
}
