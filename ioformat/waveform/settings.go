package waveform

import (
	"math"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// setting is one name among the cells that don't belong to the table, with
// what stands behind and below it.
type setting struct {
	name         string // lower case, without spaces and marks of comments
	text         string // as written
	unit         string // in brackets behind the name
	behind       []neighbour
	below        neighbour // line 0: none
	line, column int
}

// neighbour is a cell that may hold the value of a setting.
type neighbour struct {
	text, next   string // next is the cell behind it
	line, column int
}

// settings lists what may be a setting: above the table, beside it, behind it
// in the header, be it commented out.
func (l *layout) settings() (list []setting) {
	for i, row := range l.head {
		for j, cell := range row {
			if cell == "" || i >= l.first && l.columns.has(j) {
				continue
			}
			key, inline := cutKey(cell)
			name, unit := cells.SplitUnit(key)
			if name = bare(name); name == "" || name[0] >= '0' && name[0] <= '9' {
				continue
			}
			s := setting{name: name, text: quantity.Trim(strings.TrimLeft(key, commentMarks)), unit: unit, line: i + 1, column: j + 1}
			if inline != "" {
				s.behind = []neighbour{{inline, l.cell(i, j+1), i + 1, j + 1}}
			} else {
				s.behind, s.below = l.behind(i, j), l.below(i, j)
			}
			list = append(list, s)
		}
	}
	return list
}

const commentMarks = "#%;!/*\"' \t"

// bare is a name without spaces, hyphens and marks of comments.
func bare(name string) string {
	return strings.NewReplacer(" ", "", "-", "", ".", "", "_", "").Replace(strings.Trim(name, commentMarks+":="))
}

// cutKey splits "Sample interval: 4 ns" in one cell, and "# Sample interval
// 4 ns" behind the mark of a comment.
func cutKey(cell string) (key, value string) {
	if i := strings.IndexAny(cell, ":=\t;"); i > 0 {
		value := strings.TrimLeft(cell[i+1:], ":=;,\" \t")
		if cell[i] == '\t' || cell[i] == ';' { // cells of a table of one column
			value = strings.NewReplacer("\t", " ", ";", " ", "\"", "").Replace(value)
		}
		return quantity.Trim(cell[:i]), quantity.Trim(value)
	}
	if i := strings.IndexAny(cell, "0123456789"); i > 1 && cell[i-1] == ' ' {
		return quantity.Trim(cell[:i]), quantity.Trim(cell[i:])
	}
	return cell, ""
}

func (l *layout) cell(i, j int) string {
	if i < 0 || i >= len(l.head) || j >= len(l.head[i]) {
		return ""
	}
	return l.head[i][j]
}

// behind lists the cells behind a name, as far as they don't belong to the
// table. A colon in a cell of its own is passed over.
func (l *layout) behind(i, j int) (list []neighbour) {
	for k := j + 1; k < len(l.head[i]); k++ {
		if i >= l.first && l.columns.has(k) {
			break
		}
		if text := l.head[i][k]; text != "" && text != ":" && text != "=" {
			list = append(list, neighbour{text, l.cell(i, k+1), i + 1, k + 1})
		}
	}
	return list
}

func (l *layout) below(i, j int) neighbour {
	if text := l.cell(i+1, j); text != "" && !(i+1 >= l.first && l.columns.has(j)) {
		return neighbour{text, l.cell(i+1, j+1), i + 2, j + 1}
	}
	return neighbour{}
}

// values returns what may be the value of a setting, the likeliest first.
func (s setting) values() (list []neighbour) {
	if len(s.behind) > 0 {
		list = append(list, s.behind[0])
	}
	if s.below.line > 0 {
		list = append(list, s.below)
	}
	return list
}

// one returns the value of the first setting that one of names calls.
func one(list []setting, names ...string) (s setting, v neighbour, ok bool) {
	for _, s := range list {
		for _, name := range names {
			if s.name == name && len(s.behind) > 0 {
				return s, s.behind[0], true
			}
		}
	}
	return s, v, false
}

func horizontalUnit(list []setting) (s setting, v neighbour, ok bool) {
	return one(list, "horizontalunits", "horizontalunit", "horizontalaxisunit", "xunit", "xunits", "xaxisunit", "xaxisunits",
		"timeunit", "timeunits", "timeaxisunit", "unitx")
}

func verticalUnit(list []setting) (s setting, ok bool) {
	s, _, ok = one(list, "verticalunits", "verticalunit", "verticalaxisunit", "yunit", "yunits", "yaxisunit", "yaxisunits",
		"voltageunit", "voltageunits", "unity")
	return s, ok
}

// recordLength returns how many samples the settings say that there are.
func (l *layout) recordLength(list []setting) (n int, s setting, ok bool) {
	s, v, ok := one(list, "recordlength", "points", "numberofpoints", "numberofsamples", "noofpoints", "noofsamples", "datapoints",
		"samples", "waveformpoints", "nrpt", "nrpts")
	if !ok {
		return 0, s, false
	}
	text := v.text
	if cut := strings.IndexByte(text, ' '); cut > 0 && !looksLikeTime(text[cut:]) {
		text = text[:cut]
	}
	size := 1.0
	if cut := len(text) - 1; cut > 0 {
		switch text[cut] {
		case 'k', 'K':
			text, size = text[:cut], 1e3
		case 'M':
			text, size = text[:cut], 1e6
		}
	}
	x, isNumber := l.plain(text)
	x *= size
	if !isNumber || looksLikeTime(v.next) || x != math.Trunc(x) || x < fewestRows || x > 1e12 {
		return 0, s, false
	}
	return int(x), s, true
}

func looksLikeTime(text string) bool {
	_, ok := timeUnit(text)
	return ok
}

func (l *layout) plain(text string) (float64, bool) {
	q, err := quantity.Form{Mark: l.mark}.Parse(text)
	return q.Value, err == nil
}
