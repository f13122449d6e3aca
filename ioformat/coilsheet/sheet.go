package coilsheet

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

// Given is one line of a sheet; the zero Given says that there is none.
type Given struct {
	Known       bool
	Value       float64 // SI
	Uncertainty float64 // SI, standard; 0: exact
	Line        int     // of the sheet; 0 when changed by a word
	Text        string  // as it was written, with its unit
	Assumed     bool    // a prior: the sheet has no such row
}

// Sheet is what is known of a coil.
type Sheet struct {
	Turns               Given
	WindingDiameter     Given // m, from wire centre to wire centre
	WindingLength       Given // m
	WireDiameter        Given // m, bare
	BallDiameter        Given // m
	BallGap             Given // m, from the upper end of the winding to the ball
	Height              Given // m, of the grounded end above the ground
	HandDiameter        Given // m, of the sphere that stands for a hand
	BeadDiameter        Given // m
	BeadLength          Given // m
	BeadSpacing         Given // m, gap between two beads
	BeadCount           Given
	BeadPermeability    Given // relative permeability
	BeadStart           Given // m, lowest face of the beads above the grounded end
	LossTangent         Given // of the beads' material
	LossFrequency       Given // Hz, at which it has that
	FormerOuter         Given // m, of the tube that the turns lie on
	FormerInner         Given // m
	FormerPermittivity  Given
	CoatingThickness    Given // m, of what covers the winding
	CoatingPermittivity Given
	TopVoltage          Given // V, peak, at which the coil shall work
	PrimaryTurns        Given
	PrimaryDiameter     Given                         // m, from wire centre to wire centre
	PrimaryHeight       Given                         // m, of its lowest turn above the winding's grounded end
	PrimarySpacing      Given                         // m, from turn to turn, centre to centre
	PrimaryWire         Given                         // m, bare
	PrimaryFloating     bool                          // else grounded, as its circuit has it
	RingDiameter        Given                         // m, from the middle of the section to the middle
	RingThickness       Given                         // m
	RingHeight          Given                         // m, of its middle above the grounded end
	RingGrounded        bool                          // else floating
	RingSlit            bool                          // else closed
	PlateDiameter       Given                         // m
	PlateHole           Given                         // m
	PlateHeight         Given                         // m, above the grounded end
	BoxDiameter         Given                         // m
	BoxWidth            Given                         // m, of a square one
	BoxBottom           Given                         // m, above the grounded end
	BoxTop              Given                         // m
	Core                string                        // name that the log has for the beads
	Meter               []quantities.Known            // read by a meter
	Parts               map[string]benchlog.PartValue // by name or nominal value
	Notices             []string                      // what the maker should know on how the sheet was read
}

// Coil returns the drawing. What the sheet doesn't say is zero.
func (s *Sheet) Coil() field.Coil {
	c := field.Coil{
		Turns: s.Turns.Value, Diameter: s.WindingDiameter.Value, Length: s.WindingLength.Value, Wire: s.WireDiameter.Value,
		Ball: s.BallDiameter.Value, BallGap: s.BallGap.Value, Height: s.Height.Value, Hand: s.HandDiameter.Value,
		Beads: field.Beads{Diameter: s.BeadDiameter.Value, Length: s.BeadLength.Value, Spacing: s.BeadSpacing.Value,
			Count: int(s.BeadCount.Value), Permeability: s.BeadPermeability.Value, Start: s.BeadStart.Value},
	}
	if s.FormerPermittivity.Known {
		c.Former = field.Tube{Inner: s.FormerInner.Value, Outer: s.FormerOuter.Value, Permittivity: s.FormerPermittivity.Value}
	}
	if s.CoatingThickness.Known {
		c.Coating = field.Coating{Thickness: s.CoatingThickness.Value, Permittivity: s.CoatingPermittivity.Value}
	}
	if s.PrimaryTurns.Known {
		c.Primary = field.Primary{Turns: s.PrimaryTurns.Value, Diameter: s.PrimaryDiameter.Value, Height: s.PrimaryHeight.Value,
			Spacing: s.PrimarySpacing.Value, Wire: s.PrimaryWire.Value, Metal: field.Grounded}
		if s.PrimaryFloating {
			c.Primary.Metal = field.Floating
		}
	}
	c.Metal = s.metal()
	return c
}

// Read reads a coil sheet; name is what messages call it. The error is a
// [cells.Faults] when the sheet is at fault, else what r failed with.
func Read(r io.Reader, name string) (*Sheet, error) {
	t, err := cells.NewTable(r, name)
	if err != nil {
		return nil, err
	}
	rd := &reader{table: t, file: name, sheet: &Sheet{Parts: map[string]benchlog.PartValue{}}, lines: map[string]int{}}
	if !rd.header() {
		return nil, t.Err()
	}
	for t.Next() {
		rd.row()
	}
	if len(rd.lines) == 0 && len(t.Faults.List) == 0 {
		t.Faults.Add(cells.Fault{File: name, Problem: "there is no quantity below the header", Expected: "one row for each quantity"})
	}
	rd.complete()
	rd.sizes()
	if err := t.Err(); err != nil {
		return nil, err
	}
	return rd.sheet, nil
}

// reader turns the rows of a table into values.
type reader struct {
	table *cells.Table
	file  string
	sheet *Sheet
	lines map[string]int // where a quantity stands, by name
	// columns; -1: not there
	quantity, value, plusMinus, unit int

	share benchlog.Share // of the tolerance read last
}

// header finds the columns.
func (rd *reader) header() bool {
	t := rd.table
	rd.quantity, rd.value, rd.plusMinus, rd.unit = -1, -1, -1, -1
	var unknown []string
	for i, h := range t.Header {
		name, _, _ := cells.SplitUnit(h)
		var at *int
		switch name {
		case "quantity":
			at = &rd.quantity
		case "value":
			at = &rd.value
		case "±", "uncertainty":
			at = &rd.plusMinus
		case "unit", "units":
			at = &rd.unit
		case "", "note", "notes", "comment", "comments", "remark", "remarks":
			continue
		default:
			unknown = append(unknown, quantity.Quote(h))
			continue
		}
		if *at >= 0 {
			t.ReportAt(t.HeaderLine(), i, &quantity.Error{Read: h, Expected: "each column once"})
			return false
		}
		*at = i
	}
	if rd.quantity < 0 || rd.value < 0 {
		t.ReportAt(t.HeaderLine(), -1, &quantity.Error{Read: strings.Join(t.Header, string(t.Delimiter)),
			Expected: "the header of a coil sheet: quantity,value,±,unit", Do: "put that header on top; a bench log is no coil sheet"})
		return false
	}
	if len(unknown) > 0 {
		rd.notice(t.HeaderLine(), "not used: "+strings.Join(unknown, ", "))
	}
	return true
}

func (rd *reader) notice(line int, text string) {
	rd.sheet.Notices = append(rd.sheet.Notices, fmt.Sprintf("%s:%d: %s", rd.file, line, text))
}

// IsSheet tells from the beginning of a file whether it is meant to be a coil sheet: its
// header has a quantity and a value, and no frequency.
func IsSheet(start []byte) bool {
	t, err := cells.NewTable(bytes.NewReader(start), "")
	if err != nil {
		return false
	}
	has := func(name string) bool {
		return slices.ContainsFunc(t.Header, func(h string) bool { return strings.EqualFold(strings.TrimSpace(h), name) })
	}
	return has("quantity") && has("value")
}
