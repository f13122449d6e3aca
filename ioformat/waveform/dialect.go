package waveform

import (
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
)

// dialect is how the cells of the table are told apart.
type dialect struct {
	delimiter byte // 0: one cell a line; ' ': any run of spaces
	mark      quantity.Mark
}

// split cuts a line into trimmed cells without the quotes around them.
func (d dialect) split(line string) []string {
	var cells []string
	switch d.delimiter {
	case 0:
		cells = []string{line}
	case ' ':
		cells = strings.Fields(line)
	default:
		cells = splitQuoted(line, d.delimiter)
	}
	for i, c := range cells {
		c = quantity.Trim(c)
		if len(c) > 1 && c[0] == '"' && c[len(c)-1] == '"' {
			c = quantity.Trim(c[1 : len(c)-1])
		}
		cells[i] = c
	}
	return cells
}

// splitQuoted cuts at delimiters outside of quotes.
func splitQuoted(line string, delimiter byte) []string {
	if strings.IndexByte(line, '"') < 0 {
		return strings.Split(line, string(rune(delimiter)))
	}
	var cells []string
	start, quoted := 0, false
	for i := 0; i < len(line); i++ {
		switch {
		case line[i] == '"':
			quoted = !quoted
		case line[i] == delimiter && !quoted:
			cells = append(cells, line[start:i])
			start = i + 1
		}
	}
	return append(cells, line[start:])
}

// mostColumns is the number of columns that are looked at.
const mostColumns = 64

// columnSet is a set of columns, one bit each.
type columnSet uint64

func (s columnSet) has(i int) bool { return i < mostColumns && s>>uint(i)&1 == 1 }

// numeric returns which cells are numbers, or words in place of a number.
func (d dialect) numeric(cells []string) (s columnSet, all bool) {
	all = true
	for i, c := range cells {
		if i == mostColumns {
			break
		}
		switch {
		case c == "":
		case d.number(c):
			s |= 1 << uint(i)
		default:
			all = false
		}
	}
	return s, all
}

func (d dialect) number(cell string) bool {
	if len(cell) == 1 && (cell[0] < '0' || cell[0] > '9') {
		return false // the mark of a comment as often as of a missing sample
	}
	_, err := quantity.Form{Mark: d.mark}.Parse(cell)
	if err == nil {
		return true
	}
	// An overflow mark is a number that the reader will refuse by its place.
	_, _, n := scanNumber([]byte(cell), byte(d.mark))
	return n == len(cell) || quantity.IsMarker(cell)
}

// dialects are the ways in which tables are written, the usual ones first. A
// comma can't separate cells and mark decimals in one file.
func dialects() []dialect {
	return []dialect{
		{',', quantity.Point}, {';', quantity.Point}, {'\t', quantity.Point},
		{';', quantity.Comma}, {'\t', quantity.Comma},
		{0, quantity.Point}, {' ', quantity.Point}, {' ', quantity.Comma},
	}
}

// guess returns the dialect in which most lines hold numbers and nothing but
// numbers, with the columns that hold them.
func guess(lines []string) (best dialect, columns columnSet) {
	const most = 200 // lines at either end
	if n := len(lines); n > 2*most {
		lines = append(slices.Clone(lines[:most]), lines[n-most:]...)
	}
	highest := 0.0
	for _, d := range dialects() {
		set, score := d.usual(lines)
		if score > highest {
			best, columns, highest = d, set, score
		}
	}
	if alone := (dialect{0, quantity.Comma}); best.delimiter == ',' && oneColumn(lines) {
		set, _ := alone.usual(lines)
		return alone, set
	}
	return best, columns
}

// oneColumn tells a column of numbers with decimal commas, 0,0512, from two
// columns of whole numbers: those have no zeros in front.
func oneColumn(lines []string) bool {
	rows, zeros, digits := 0, 0, 0
	for _, line := range lines {
		whole, fraction, ok := strings.Cut(quantity.Trim(line), ",")
		if whole = strings.TrimLeft(whole, "+-"); !ok || !allDigits(whole) || !allDigits(fraction) {
			if rows > 0 {
				return false // all rows are of this kind, at the end of the head
			}
			continue
		}
		if rows > 0 && len(fraction) != digits {
			return false
		}
		rows, digits = rows+1, len(fraction)
		if digits > 1 && fraction[0] == '0' {
			zeros++
		}
	}
	return rows >= fewestRows && zeros > 0
}

func allDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// usual returns the columns that are numeric in most of the lines that have
// numeric cells, and the number of these lines, those with words beside the
// numbers counting little, and of those that hold nothing but some of these numbers.
func (d dialect) usual(lines []string) (set columnSet, score float64) {
	const withWords = 0.1
	count, bare := make(map[columnSet]float64), make(map[columnSet]float64)
	for _, line := range lines {
		s, all := d.numeric(d.split(line))
		if s == 0 {
			continue
		}
		weight := 1.0
		if all {
			bare[s]++
		} else {
			weight = withWords
		}
		count[s] += weight
		if n := count[s]; n > score || n == score && s > set {
			set, score = s, n
		}
	}
	for s, n := range bare { // rows that lack a number
		if s != set && s&set == s {
			score += n
		}
	}
	return set, score
}
