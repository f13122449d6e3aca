package benchlog

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// foreign reports a table without a column of frequencies that is something else
// than a log with an unusual header: one without a header, or with lines above it.
func (rd *reader) foreign() bool {
	t := rd.table
	if slices.ContainsFunc(t.Header, ofFrequency) && !(t.SepLine && len(t.Header) == 1) {
		return false
	}
	rows := t.Peek(20)
	switch {
	case t.SepLine && len(t.Header) == 1 && strings.ContainsAny(t.Header[0], ",;\t"):
		t.ReportAt(t.HeaderLine(), -1, &quantity.Error{Read: t.Header[0], Expected: "cells separated by the " + t.DelimiterName() + ", as the first line says",
			Do: "correct that line or delete it"})
	case slices.ContainsFunc(rows[:min(5, len(rows))], aHeader):
		t.ReportAt(t.HeaderLine(), -1, &quantity.Error{Read: strings.Join(t.Header, string(t.Delimiter)),
			Expected: "the header, which stands further down", Do: "put # in front of each line above the header"})
	case numeric(t.Header):
		do := `put a row on top, without #, that names the columns and their units, such as "frequency [MHz],added [pF],note"`
		if above := t.Above(); aHeader(above.Cells) {
			do = fmt.Sprintf("line %d looks like it, but begins with # as comments do: take the # away, or name the first column, such as run", above.Line)
		}
		t.ReportAt(t.HeaderLine(), -1, &quantity.Error{Read: strings.Join(t.Header, string(t.Delimiter)),
			Expected: "a header above the readings", Do: do})
	default:
		return false
	}
	return true
}

// ofFrequency says whether a header names frequencies, or has a unit of them.
func ofFrequency(header string) bool {
	name, unit, _ := cells.SplitUnit(strings.TrimSpace(strings.TrimLeft(header, "# ")))
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
	t := rd.table
	if !rd.slip() && len(t.Faults.List) == 0 {
		t.ReportAt(t.HeaderLine(), -1, &quantity.Error{Read: strings.Join(t.Header, string(t.Delimiter)),
			Expected: "a column of frequencies, such as frequency [MHz]", Do: "name it so"})
	}
	return t.Err()
}

// slip says whether a misspelt header was reported already that may be the
// missing one.
func (rd *reader) slip() bool {
	var faults cells.Faults
	if !errors.As(rd.table.Err(), &faults) {
		return false
	}
	return slices.ContainsFunc(faults.List, func(f cells.Fault) bool { return strings.Contains(f.Do, frequency.example()) })
}

// plainNumber returns the number that is all of text, else NaN.
func plainNumber(text string) float64 {
	for _, mark := range []quantity.Mark{quantity.Point, quantity.Comma} {
		if q, err := (quantity.Form{Mark: mark}).Parse(text); err == nil {
			return q.Value
		}
	}
	return math.NaN()
}

// numeric says whether most cells of a row are numbers.
func numeric(row []string) bool {
	n, filled := 0, 0
	for _, cell := range row {
		if cell == "" {
			continue
		}
		filled++
		if '0' <= cell[0] && cell[0] <= '9' {
			n++
		}
	}
	return 2*n > filled
}
