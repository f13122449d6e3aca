package coilsheet

import (
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
	"fitcoil/model/quantities"
)

// row reads the current row. What is wrong is reported to the table.
func (rd *reader) row() {
	t := rd.table
	label := strings.Join(strings.Fields(strings.ReplaceAll(t.Cell(rd.quantity), "_", " ")), " ")
	name := strings.ToLower(label)
	e, isEntry := find(name)
	key := strings.ReplaceAll(name, " ", "")
	if isEntry {
		key = e.name
	} else if isWords(name) {
		key = name
	}
	if line, twice := rd.lines[key]; twice {
		t.Refuse(rd.quantity, label, "each quantity once", fmt.Sprintf("it stands on line %d already", line))
		return
	}
	rd.lines[key] = t.Line()
	meter, byMeter := strings.CutSuffix(name, " by meter")
	switch {
	case name == "":
		t.Refuse(rd.quantity, "", "the name of a quantity", "name it, or delete the row")
	case name == "core":
		rd.sheet.Core = quantity.Visible(strings.Join(strings.Fields(t.Cell(rd.value)), " "))
		if rd.sheet.Core == "" {
			t.Refuse(rd.value, "", "the name that the log has for the core", "")
		}
	case isWords(name):
		if err := rd.sheet.say(name, t.Cell(rd.value)); err != nil {
			t.Report(rd.value, err)
		}
	case byMeter:
		rd.known(strings.ReplaceAll(label[:len(meter)], " ", "_"))
	case strings.HasPrefix(name, "part "):
		rd.part(label[len("part "):])
	case isEntry:
		rd.entry(e)
	default:
		t.Report(rd.quantity, unknownQuantity(label))
	}
}

// cell returns the text of column i, "" when there is none.
func (rd *reader) cell(i int) string {
	if i < 0 {
		return ""
	}
	return rd.table.Cell(i)
}

// read reads the value and its ± in dimension d. pm is the ± in SI. ok is
// false when a fault was reported.
func (rd *reader) read(d quantity.Dimension) (q quantity.Quantity, pm float64, stated, ok bool) {
	t := rd.table
	f := quantity.Form{Dimension: d}
	if unit := rd.cell(rd.unit); unit != "" && unit != "-" && unit != "1" {
		u, err := quantity.ParseUnit(unit, d)
		if strings.EqualFold(unit, "AWG") {
			err = &quantity.Error{Read: unit, Expected: "a unit of length", Do: "a gauge is that of the wire diameter"}
		}
		if err != nil {
			t.Report(rd.unit, err)
			return q, 0, false, false
		}
		f.Unit = u
	}
	if q, ok = t.Quantity(rd.value, f); !ok {
		return q, 0, false, false
	}
	pm, stated, ok = rd.spread(q)
	return q, pm, stated, ok
}

// spread reads the ± of q: in the unit of q, in % of it, or in a unit of its
// own.
func (rd *reader) spread(q quantity.Quantity) (pm float64, stated, ok bool) {
	text := rd.cell(rd.plusMinus)
	if text == "" || text == "-" {
		return 0, false, true
	}
	if q.Unit.Dimension == quantity.Capacitance {
		text, rd.share = benchlog.CutShare(text)
	}
	t := rd.table
	f := quantity.Form{Dimension: q.Unit.Dimension, Relative: true}
	if plain := strings.TrimLeft(text, "±+/- "); plain != "" && strings.Trim(plain, "0123456789.,eE-") == "" {
		f.Unit = q.Unit
	}
	spread, err := t.Parse(text, f)
	if err == nil && spread.Value < 0 {
		err = &quantity.Error{Read: text, Expected: "a ± of 0 or more", Do: "write it without a sign"}
	}
	if err != nil {
		t.Report(rd.plusMinus, err)
		return 0, true, false
	}
	pm = spread.Value
	if spread.Unit.Dimension == quantity.Fraction && q.Unit.Dimension != quantity.Fraction {
		pm *= math.Abs(q.Value)
	}
	return pm, true, true
}

// entry reads a quantity of the drawing.
func (rd *reader) entry(e entry) {
	t := rd.table
	if isGauge(e, t.Cell(rd.value)+rd.cell(rd.unit)) {
		rd.gauge(e)
		return
	}
	q, pm, stated, ok := rd.read(e.dimension)
	if !ok {
		return
	}
	if err := e.check(q); err != nil {
		t.Report(rd.value, err)
		return
	}
	v := Given{Known: true, Value: q.Value, Uncertainty: pm, Line: t.Line(), Text: written(q)}
	switch {
	case !stated:
		v.Uncertainty = e.unstated(q)
		if e.name == permeability {
			rd.notice(t.Line(), "the permeability has no ±: 20 % is taken, as ferrite grades have it")
		}
	case pm == 0 && !e.whole && !e.counts():
		t.Refuse(rd.plusMinus, rd.cell(rd.plusMinus), "a standard uncertainty above 0", "leave the cell empty to have it taken from the digits of the value")
		return
	}
	rd.sheet.given[e.name] = v
}

// written returns q as it was written, with its unit.
func written(q quantity.Quantity) string {
	if q.Unit.Symbol == "" || strings.HasSuffix(q.Text, q.Unit.Symbol) {
		return q.Text
	}
	return q.Text + " " + q.Unit.Symbol
}

// known reads a value by meter.
func (rd *reader) known(name string) {
	t := rd.table
	if !mayBeKnown(name) {
		t.Report(rd.quantity, unknownMeter(t.Cell(rd.quantity), name))
		return
	}
	unit := rd.cell(rd.unit)
	value, pm := t.Cell(rd.value), rd.cell(rd.plusMinus)
	if pm == "" || pm == "-" {
		t.Refuse(rd.plusMinus, pm, "a standard uncertainty", "say how well the meter reads, if only roughly, such as 2 %")
		return
	}
	for _, text := range []string{value, pm} {
		mark, err := t.Number(text)
		if err != nil {
			t.Report(rd.value, err)
			return
		}
		if mark == quantity.Comma {
			value, pm = strings.Replace(value, ",", ".", 1), strings.Replace(pm, ",", ".", 1)
		}
	}
	if unit != "-" && unit != "1" {
		value += unit
		if strings.Trim(pm, "0123456789.eE+-") == "" {
			pm += unit
		}
	}
	v, err := known.Parse(name + "=" + value + "±" + pm)
	switch {
	case err != nil:
		t.Report(rd.value, err)
	default:
		rd.sheet.Meter = append(rd.sheet.Meter, v)
	}
}

// mayBeKnown says whether name is that of a quantity which package known
// takes; of any other name it makes a part.
func mayBeKnown(name string) bool {
	v, _ := known.Parse(name + "=1pF±1pF") // wherever the unit doesn't suit, an error and no part
	return v.Part == ""
}

// unknownMeter says what a meter could have read.
func unknownMeter(label, name string) error {
	names := []string{quantities.Inductance, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.WindingCapacitance,
		quantities.TopCapacitance, quantities.BareFrequency, quantities.Impedance}
	e := &quantity.Error{Read: label, Expected: "a quantity that a fit reports, such as inductance by meter",
		Do: "the value of a part is given as \"part\" and its name"}
	if near, ok := suggest.Nearest(name, names); ok {
		e.Do = "did you mean \"" + strings.ReplaceAll(near, "_", " ") + " by meter\"?"
	}
	return e
}

// part reads the value of a named part.
func (rd *reader) part(name string) {
	t := rd.table
	q, pm, stated, ok := rd.read(quantity.Capacitance)
	switch {
	case !ok:
	case !stated:
		t.Refuse(rd.plusMinus, rd.cell(rd.plusMinus), "the tolerance of the part", "write it in % or in the unit of the value; 0 stands for exact")
	case q.Value <= 0:
		t.Refuse(rd.value, q.Text, "a capacitance above 0", "leave the row out when it is not known")
	default:
		rd.sheet.Parts[name] = benchlog.PartValue{Capacitance: q.Value, Uncertainty: rd.share.Standard(pm), Share: rd.share}
	}
}
