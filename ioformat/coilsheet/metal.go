package coilsheet

import (
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
)

// Rows whose value is words.
const (
	ring         = "ring"
	primaryMetal = "primary metal"
)

const noPrimary = `not used: a primary is computed from rows "primary turns", "primary diameter", "primary height" and "primary wire diameter"`

// isWords tells whether the value of the row called name is words.
func isWords(name string) bool { return name == ring || name == primaryMetal }

// say reads what a ring or a primary's metal is: grounded or floating, a ring closed or slit
// as well. The error is a [quantity.Error].
func (s *Sheet) say(name, text string) error {
	fault := &quantity.Error{Read: text, Expected: "grounded or floating"}
	if name == ring {
		fault.Expected += ", and closed or slit"
		fault.Do = "a closed ring is a shorted turn, a slit one carries no current"
	}
	var potential, shape string
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		switch {
		case potential == "" && (w == "grounded" || w == "floating"):
			potential = w
		case shape == "" && name == ring && (w == "closed" || w == "slit"):
			shape = w
		default:
			return fault
		}
	}
	if potential == "" || name == ring && shape == "" {
		return fault
	}
	if name == ring {
		s.RingGrounded, s.RingSlit = potential == "grounded", shape == "slit"
	} else {
		s.PrimaryFloating = potential == "floating"
	}
	return nil
}

// metal reports rows that a ring, a plate or a box lacks, and says what is taken where words
// are missing.
func (rd *reader) metal() {
	s := rd.sheet
	rd.together("a ring is drawn", rd.lines[ring], "ring diameter", "ring thickness", "ring height")
	rd.together("a plate is drawn", s.given["plate hole"].Line, "plate diameter", "plate height")
	box := boxDiameter
	if s.knows(boxWidth) && !s.knows(boxDiameter) {
		box = boxWidth
	}
	rd.together("a box is drawn", 0, box, "box bottom", "box top")
	if s.knows(boxWidth, boxDiameter) {
		rd.table.ReportAt(s.given[boxWidth].Line, -1, fmt.Errorf("a box is round or square: take the row %s or %s away", quantity.Quote(boxDiameter), quantity.Quote(boxWidth)))
	}
	if s.knows("ring diameter") && rd.lines[ring] == 0 {
		rd.notice(s.given["ring diameter"].Line, "there is no row \"ring\": floating and closed, a shorted turn, is taken")
	}
	if line := rd.lines[primaryMetal]; line > 0 && !s.knows("primary turns") {
		rd.notice(line, noPrimary)
	}
}

// together reports rows missing where any of names, or the line given, is there.
func (rd *reader) together(what string, line int, names ...string) {
	var missing []string
	for _, name := range names {
		if v := rd.sheet.given[name]; !v.Known {
			missing = append(missing, quantity.Quote(name))
		} else if line == 0 {
			line = v.Line
		}
	}
	if line > 0 && len(missing) > 0 {
		rd.table.ReportAt(line, -1, fmt.Errorf("%s here, but there is no row %s: add it, or take this one away", what, strings.Join(missing, " and no row ")))
	}
}
