package benchlog

import (
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
)

// commented judges the lines below the header that begin with #. One that would
// be a reading is a fault; one that may be a row is told.
type commented struct {
	*columns
	notices *notices
	told    int
	last    int // line
}

// mostTold is how many lines of one kind are told one by one.
const mostTold = 3

// look judges those that the table has passed since.
func (c *commented) look() {
	for _, x := range c.Comments() {
		c.judge(x.Line, x.Cells)
	}
}

func (c *commented) judge(line int, row []string) {
	if c.reading(line, row) || !c.likeARow(row) {
		return
	}
	c.last = line
	if c.told++; c.told <= mostTold {
		c.notices.add(line, "the line begins with # and is left out as a comment, though it has as many cells as the header: "+
			quantity.Quote(strings.Join(row, string(c.Delimiter))))
	}
}

// finish judges the last ones, and tells how many lines there were beyond those told one by one.
func (c *commented) finish() {
	c.look()
	if more := c.told - mostTold; more > 0 {
		c.notices.add(c.last, "here ends a list of "+quantity.Count(more, "more such line")+", left out too")
	}
}

// reading reports a line with a frequency, or a spreadsheet's error, where the
// frequency stands.
func (c *commented) reading(line int, row []string) bool {
	at := c.at[frequency]
	if at < 0 || at >= len(row) {
		return false
	}
	switch text := row[at]; {
	case spreadsheetError(text):
		c.ReportAt(line, at, &quantity.Error{Read: text, Expected: "a frequency in each row", Do: "write what was read, or delete the row"})
	case at > 0 && c.isFrequency(text):
		c.ReportAt(line, 0, &quantity.Error{Read: row[0], Expected: "a reading that doesn't begin with #, as comments do", Do: `put the cell in quotes ("` + strings.ReplaceAll(row[0], `"`, "") + `") or another column first; to leave a reading out, keep it and write no in a column use`})
	default:
		return false
	}
	return true
}

func (c *commented) isFrequency(text string) bool {
	_, ok := inEitherMark(text, c.form[frequency])
	return ok || !math.IsNaN(plainNumber(text))
}

// likeARow says whether a comment has as many cells as the header, two of them
// filled, and a digit.
func (c *commented) likeARow(row []string) bool {
	filled := 0
	for _, cell := range row {
		if cell != "" {
			filled++
		}
	}
	return len(row) == len(c.Header) && filled > 1 && strings.ContainsAny(strings.Join(row, ""), "0123456789")
}

// spreadsheetError says whether text is what spreadsheets write for a value that
// they can't compute.
func spreadsheetError(text string) bool {
	return strings.HasPrefix(text, "#") && strings.Trim(text, "#") != "" && quantity.IsMarker(text)
}
