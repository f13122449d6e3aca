package cells

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
)

// Dialect is how the cells of a file are told apart.
type Dialect struct {
	Delimiter rune          // ',' ';' or tab
	Mark      quantity.Mark // decimal mark; 0 as long as no number has shown it
	SepLine   bool          // the delimiter was given by a first line "sep=;"
}

// DelimiterName returns the delimiter as it is called in messages.
func (d Dialect) DelimiterName() string {
	switch d.Delimiter {
	case ';':
		return "semicolon"
	case '\t':
		return "tab"
	}
	return "comma"
}

// sepLine returns the delimiter that a line such as sep=; declares.
func sepLine(line string) (delimiter string, ok bool) {
	s := strings.Trim(strings.TrimRight(line, "\r\n"), `"`)
	if len(s) < 5 || !strings.EqualFold(s[:4], "sep=") {
		return "", false
	}
	return s[4:], true
}

// guess returns the delimiters that could separate the cells of a sample: one
// when there is no doubt.
func guess(lines []string) []rune {
	var inHeader, agree []rune
	for _, d := range []rune{',', ';', '\t'} {
		counts := make([]int, 0, len(lines))
		for _, line := range lines {
			counts = append(counts, countOutside(line, d))
		}
		if len(counts) == 0 || counts[0] == 0 {
			continue
		}
		inHeader = append(inHeader, d)
		same := true
		for _, c := range counts {
			same = same && c == counts[0]
		}
		if same {
			agree = append(agree, d)
		}
	}
	switch {
	case len(inHeader) == 0:
		return []rune{','}
	case len(inHeader) == 1 || len(agree) == 0:
		return inHeader
	}
	return agree
}

// countOutside counts d in line outside of quotes.
func countOutside(line string, d rune) int {
	n, quoted := 0, false
	for _, r := range line {
		switch {
		case r == '"':
			quoted = !quoted
		case r == d && !quoted:
			n++
		}
	}
	return n
}

// sampleLines returns the lines of sample that hold cells. The last one is
// left out when the sample may have cut it.
func sampleLines(sample string, whole bool) []string {
	all := strings.Split(sample, "\n")
	if !whole && len(all) > 1 {
		all = all[:len(all)-1]
	}
	var lines []string
	for _, line := range all {
		if s := quantity.Trim(line); s != "" && !strings.HasPrefix(s, "#") {
			lines = append(lines, line)
		}
	}
	return lines
}

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

// Parse reads text, from the current row, with the decimal mark of the file.
func (t *Table) Parse(text string, f quantity.Form) (q quantity.Quantity, err error) {
	if f.Mark, err = t.Number(text); err != nil {
		return q, err
	}
	return f.Parse(text)
}

// Quantity reads column i of the current row. When that fails, the fault is
// reported and ok is false.
func (t *Table) Quantity(i int, f quantity.Form) (q quantity.Quantity, ok bool) {
	q, err := t.Parse(t.row[i], f)
	if err != nil {
		t.Report(i, err)
	}
	return q, err == nil
}
