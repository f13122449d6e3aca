package waveform

import (
	"strings"

	"fitcoil/ioformat/quantity"
)

// layout is where the table stands and what its columns are.
type layout struct {
	dialect
	columns columnSet // that hold numbers
	first   int       // index of the first line of the table
	head    [][]string
	names   []string // of the columns, "" where none is given
	units   []string // as written

	settingList []setting
}

// fewestRows is the number of rows in a row that make a table.
const fewestRows = 3

// findTable learns the layout from the beginning of a file; ok is false when
// no run of rows with numbers is there.
func findTable(h head) (l layout, ok bool) {
	l.dialect, l.columns = guess(h.lines)
	if l.columns == 0 {
		return l, false
	}
	for _, line := range h.lines {
		l.head = append(l.head, l.split(line))
	}
	if l.first, ok = l.start(h.lines); !ok {
		return l, false
	}
	if l.delimiter == ' ' { // the settings above are sentences, not cells
		for i, line := range h.lines[:l.first] {
			if len(l.head[i]) != len(l.head[l.first]) {
				l.head[i] = []string{line}
			}
		}
	}
	l.findNames()
	l.settingList = l.settings()
	return l, true
}

// start returns the first line of the first long run of rows; ok is false when
// no run has fewestRows. A row above it with one bad cell belongs to the table
// too: it must not be passed over.
func (l *layout) start(lines []string) (first int, ok bool) {
	const long = 10
	longest, run, since := 0, 0, 0
	for i, row := range l.head {
		switch {
		case l.whole(row):
			if run == 0 {
				since = i
			}
			run++
		case !blank(lines[i]):
			run = 0
		}
		if run > longest {
			longest, first = run, since
		}
		if run == long {
			break
		}
	}
	for first > 0 {
		switch above := l.head[first-1]; {
		case l.damagedRow(above, len(l.head[first])):
			first--
		case first > 1 && l.someNumbers(above) && l.whole(l.head[first-2]): // a bad row between good ones
			first -= 2
		default:
			return first, longest >= fewestRows
		}
	}
	return first, longest >= fewestRows
}

// whole tells whether a row has numbers in all columns that hold them, someNumbers whether it has any.
func (l *layout) whole(row []string) bool {
	s, _ := l.numeric(row)
	return s&l.columns == l.columns
}

func (l *layout) someNumbers(row []string) bool {
	s, _ := l.numeric(row)
	return s&l.columns != 0
}

// damagedRow tells a row with a bad cell from a line of the preamble: it has
// as many cells, some are numbers, and none of the others begins with a letter.
func (l *layout) damagedRow(row []string, cells int) bool {
	if len(row) != cells {
		return false
	}
	s, _ := l.numeric(row)
	if !l.someNumbers(row) {
		return false
	}
	for i, c := range row {
		if l.columns.has(i) && !s.has(i) && c != "" && !strings.ContainsRune("0123456789+-.,", rune(c[0])) {
			return false
		}
	}
	return true
}

// findNames reads the header: the line above the table, and the one above it
// when the first holds only units.
func (l *layout) findNames() {
	width := len(l.head[l.first])
	l.names, l.units = make([]string, width), make([]string, width)
	i := l.above(l.first)
	if i < 0 || !l.headerLike(l.head[i]) {
		return
	}
	if unitRow(l.head[i]) {
		copy(l.units, l.head[i])
		if up := l.above(i); up >= 0 && l.covers(l.head[up]) {
			i = up
		}
	}
	copy(l.names, l.head[i])
	for c, name := range l.names {
		if _, unit := splitHeader(name); unit != "" && l.units[c] == "" {
			l.units[c] = unit
		}
	}
	for c, u := range l.units {
		l.units[c] = quantity.Trim(strings.Trim(u, "[]() "))
		if name := l.names[c]; name != "" && l.number(name) && l.units[c] != "" { // channel 1 needs its unit to be a name
			l.names[c] += " [" + l.units[c] + "]"
		}
	}
}

// above returns the next line above that isn't blank, −1 if there is none.
func (l *layout) above(from int) int {
	for i := from - 1; i >= 0; i-- {
		if !blank(strings.Join(l.head[i], "")) {
			return i
		}
	}
	return -1
}

// covers tells whether a line above a row of units has the names of the
// columns; they may be numbers, but not all.
func (l *layout) covers(row []string) bool {
	s, all := l.numeric(row)
	for i := range mostColumns {
		if l.columns.has(i) && (i >= len(row) || row[i] == "") {
			return false
		}
	}
	return !(all && s&l.columns == l.columns)
}

// headerLike tells whether a line has words over all columns of numbers.
func (l *layout) headerLike(row []string) bool {
	for i := range mostColumns {
		if l.columns.has(i) && (i >= len(row) || row[i] == "" || l.number(row[i])) {
			return false
		}
	}
	return len(row) > 0
}

func unitRow(row []string) bool {
	found := false
	for _, c := range row {
		c = quantity.Trim(strings.Trim(c, "[]() "))
		if c == "" || c == "-" {
			continue
		}
		if !isUnit(c) && !strings.EqualFold(c, "counts") {
			return false
		}
		found = true
	}
	return found
}
