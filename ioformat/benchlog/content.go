package benchlog

import (
	"math"
	"slices"
	"strings"
	"unicode"

	"fitcoil/ioformat/quantity"
)

// content is what the cells of a column of unknown meaning hold.
type content struct {
	filled   int
	numbers  int                        // without a unit
	of       map[quantity.Dimension]int // with a unit
	marks    int                        // yes, no, x
	cores    int                        // a word or two that name a core
	counting bool                       // numbers that go up by one
	last     float64
}

func newContent() *content { return &content{of: map[quantity.Dimension]int{}, counting: true} }

// add takes one cell in.
func (c *content) add(cell string) {
	if cell == "" || cell == "-" {
		return
	}
	c.filled++
	first, _, _ := strings.Cut(cell, "+")
	if v := plainNumber(first); !math.IsNaN(v) {
		c.counting = c.counting && (c.numbers == 0 || v == c.last+1)
		c.last = v
		c.numbers++
		return
	}
	c.counting = false
	for _, mark := range marks {
		for _, d := range []quantity.Dimension{quantity.Capacitance, quantity.Frequency, quantity.Length, quantity.Fraction,
			quantity.Voltage, quantity.Inductance, quantity.Resistance, quantity.Time} {
			if _, err := (quantity.Form{Dimension: d, Mark: mark}).ParseUncertain(first); err == nil {
				c.of[d]++
				return
			}
		}
	}
	switch {
	case noCore(cell) || isMark(cell) || strings.EqualFold(cell, "false"):
		c.marks++
	case namesCore(cell):
		c.cores++
	}
}

var marks = [...]quantity.Mark{quantity.Point, quantity.Comma}

// inEitherMark reads text in the form f, whichever decimal mark it has.
func inEitherMark(text string, f quantity.Form) (q quantity.Quantity, ok bool) {
	for _, f.Mark = range marks {
		if q, err := f.Parse(text); err == nil {
			return q, true
		}
	}
	return q, false
}

// plainNumber returns the number that is all of text, else NaN.
func plainNumber(text string) float64 {
	if q, ok := inEitherMark(text, quantity.Form{}); ok {
		return q.Value
	}
	return math.NaN()
}

// isMark says whether a cell ticks something rather than naming it.
func isMark(cell string) bool {
	switch strings.ToLower(cell) {
	case "yes", "y", "x", "in", "inside", "inserted", "with", "true", "ja", "oui", "si", "sí", "✓", "✔":
		return true
	}
	return false
}

// namesCore says whether a cell of a word or two is the name of a core.
func namesCore(cell string) bool {
	words := strings.Fields(strings.ToLower(cell))
	return len(words) < 3 && matches(words, kinds[core].hints)
}

// dimension returns what at least half of the cells measure by their own unit.
func (c *content) dimension() (quantity.Dimension, bool) {
	for d, n := range c.of {
		if 2*n >= c.filled && n > 0 {
			return d, true
		}
	}
	return quantity.Pure, false
}

// data says whether at least half of the cells are what a log is made of, though
// no column takes it: capacitances, frequencies, distances, cores.
func (c *content) data() bool {
	n := c.cores + c.of[quantity.Capacitance] + c.of[quantity.Frequency] + c.of[quantity.Length]
	return n > 0 && 2*n >= c.filled
}

// hints is what the words of an unknown header speak of.
type hints struct {
	kinds  []column
	spread bool // of an uncertainty or a tolerance
	other  bool // of a value that wasn't read at the coil as it stood: computed, of the supply
	plain  bool // of a running number, the weather or the date
}

const (
	spreadHints = "± unc incert err sigma std= sd= u= unsicher dev tol fehler"
	otherHints  = "calc comput predict model fit fitted theor expect total stray self drive generator supply bias estimate"
	plainHints  = "run= no= nr= n= num= number= nummer= numéro= número= index= id= row= line= reading= point= step= order= sample= trial= # date= datum= fecha= day= time= uhrzeit= zeit= heure= hora= temp temperature= t= humid rh= press"
)

// findHints reads the name of a column, in lower case.
func findHints(name string) (h hints) {
	words := strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '±' && r != '#' })
	for col := range numColumns {
		if matches(words, kinds[col].hints) {
			h.kinds = append(h.kinds, col)
		}
	}
	h.spread, h.other, h.plain = matches(words, spreadHints), matches(words, otherHints), matches(words, plainHints)
	return h
}

func matches(words []string, list string) bool {
	return slices.ContainsFunc(strings.Fields(list), func(begin string) bool {
		begin, whole := strings.CutSuffix(begin, "=")
		return slices.ContainsFunc(words, func(w string) bool {
			w = strings.TrimRight(w, "123456789")
			return w == begin || !whole && strings.HasPrefix(w, begin)
		})
	})
}

// names says whether the header speaks of col.
func (h hints) names(col column) bool { return slices.Contains(h.kinds, col) }
