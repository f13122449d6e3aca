package cells

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
)

// Number tells the table that text, read on the current row, is a number, and
// returns the decimal mark of the file: the point between commas, else
// whichever the first number shows. ok is false when text contradicts it.
func (t *Table) Number(text string) (mark quantity.Mark, err error) {
	if t.Delimiter == ',' {
		return quantity.Point, nil
	}
	comma, point := strings.IndexByte(text, ',') >= 0, strings.IndexByte(text, '.') >= 0
	if comma && point {
		return t.Mark, &quantity.Error{Read: text, Expected: "a number with one decimal mark", Do: "write the digits without marks between them"}
	}
	if !comma && !point {
		return t.Mark, nil
	}
	seen := quantity.Point
	if comma {
		seen = quantity.Comma
	}
	if t.Mark == 0 {
		t.Mark, t.markLine, t.markText = seen, t.line, strings.Clone(text)
	}
	if t.Mark != seen {
		return t.Mark, &quantity.Error{Read: text,
			Expected: fmt.Sprintf("the same decimal mark as in line %d (%s)", t.markLine, quantity.Quote(t.markText)),
			Do:       "use one mark in the whole file"}
	}
	return t.Mark, nil
}

// Quantity reads column i of the current row. When that fails, the fault is
// reported and ok is false.
func (t *Table) Quantity(i int, f quantity.Form) (q quantity.Quantity, ok bool) {
	cell := t.row[i]
	mark, err := t.Number(cell)
	if err == nil {
		f.Mark = mark
		q, err = f.Parse(cell)
	}
	if err != nil {
		t.Report(i, err)
		return q, false
	}
	return q, true
}
