package benchlog

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// foreign reports a table without a column of frequencies that is something else
// than a log with an unusual header: one without a header, or with lines above it.
func (rd *reader) foreign() bool {
	t := rd.Table
	if slices.ContainsFunc(t.Header, ofFrequency) && !(t.SepLine && len(t.Header) == 1) {
		return false
	}
	rows := t.Peek(20)
	switch {
	case t.SepLine && len(t.Header) == 1 && strings.ContainsAny(t.Header[0], ",;\t"):
		t.RefuseHeader(-1, "cells separated by the "+t.DelimiterName()+", as the first line says", "correct that line or delete it")
	case slices.ContainsFunc(rows[:min(5, len(rows))], aHeader):
		t.RefuseHeader(-1, "the header, which stands further down", "put # in front of each line above the header")
	case numeric(t.Header):
		do := `put a row on top, without #, that names the columns and their units, such as "frequency [MHz],added [pF],note"`
		if above := t.Above(); aHeader(above.Cells) {
			do = fmt.Sprintf("line %d looks like it, but begins with # as comments do: take the # away, or name the first column, such as run", above.Line)
		}
		t.RefuseHeader(-1, "a header above the readings", do)
	default:
		return false
	}
	return true
}

// ofFrequency says whether a header names frequencies, or has a unit of them.
func ofFrequency(header string) bool {
	name, unit := cells.SplitUnit(strings.TrimSpace(strings.TrimLeft(header, "# ")))
	if unit == "" {
		unit = name
	}
	if d, ok := quantity.DimensionOf(unit); ok && d == quantity.Frequency {
		return true
	}
	col, ok := columnNamed(name)
	return ok && col == frequency && len(name) > 1
}

// aHeader says whether a row is the header of a log, with whichever delimiter.
func aHeader(row []string) bool {
	text := strings.Join(row, ",")
	return slices.ContainsFunc(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;\t", r) }), ofFrequency)
}

// noFrequency explains a log without a column of frequencies.
func (rd *reader) noFrequency() error {
	t := rd.Table
	if !rd.slip() && len(t.Faults.List) == 0 {
		t.RefuseHeader(-1, "a column of frequencies, such as frequency [MHz]", "name it so")
	}
	return t.Err()
}

// slip says whether a misspelt header was reported already that may be the
// missing one.
func (rd *reader) slip() bool {
	return slices.ContainsFunc(rd.Faults.List, func(f cells.Fault) bool { return strings.Contains(f.Do, frequency.example()) })
}

// numeric says whether most cells of a row are numbers.
func numeric(row []string) bool {
	n, filled := 0, 0
	for _, cell := range row {
		if cell == "" {
			continue
		}
		filled++
		if isDigit(cell[0]) {
			n++
		}
	}
	return 2*n > filled
}
