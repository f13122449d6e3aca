package coilsheet

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
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
	given           map[string]Given              // by the name of the entry
	PrimaryFloating bool                          // else grounded, as its circuit has it
	RingGrounded    bool                          // else floating
	RingSlit        bool                          // else closed
	Core            string                        // name that the log has for the beads
	Meter           []quantities.Known            // read by a meter
	Parts           map[string]benchlog.PartValue // by name or nominal value
	Notices         []string                      // what the maker should know on how the sheet was read
}

// Value returns the SI value of an entry, 0 where the sheet has none.
func (s *Sheet) Value(name string) float64 { return s.given[name].Value }

// knows says whether the sheet has all of names.
func (s *Sheet) knows(names ...string) bool {
	return !slices.ContainsFunc(names, func(name string) bool { return !s.given[name].Known })
}

// with returns a copy of s in which one entry is changed.
func (s *Sheet) with(name string, v Given) *Sheet {
	c := *s
	c.given = maps.Clone(s.given)
	c.given[name] = v
	return &c
}

// Read reads a coil sheet; name is what messages call it. The error is a
// [cells.Faults] when the sheet is at fault, else what r failed with.
func Read(r io.Reader, name string) (*Sheet, error) {
	t, err := cells.NewTable(r, name)
	if err != nil {
		return nil, err
	}
	rd := &reader{table: t, file: name, sheet: &Sheet{given: map[string]Given{}, Parts: map[string]benchlog.PartValue{}}, lines: map[string]int{}}
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
		name, _ := cells.SplitUnit(h)
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
			t.RefuseHeader(i, "each column once", "")
			return false
		}
		*at = i
	}
	if rd.quantity < 0 || rd.value < 0 {
		t.RefuseHeader(-1, "the header of a coil sheet: quantity,value,±,unit", "put that header on top; a bench log is no coil sheet")
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
