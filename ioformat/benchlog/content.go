package benchlog

import (
	"strings"

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
	values   []float64                  // the numbers, in the unit of the header
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
	for _, mark := range []quantity.Mark{quantity.Point, quantity.Comma} {
		if q, err := (quantity.Form{Mark: mark}).Parse(first); err == nil {
			c.counting = c.counting && (c.numbers == 0 || q.Value == c.last+1)
			c.last = q.Value
			c.numbers++
			c.values = append(c.values, q.Value)
			return
		}
	}
	c.counting = false
	for _, mark := range []quantity.Mark{quantity.Point, quantity.Comma} {
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

// isMark says whether a cell ticks something rather than naming it.
func isMark(cell string) bool {
	switch strings.ToLower(cell) {
	case "yes", "y", "x", "in", "inside", "inserted", "with", "true", "ja", "oui", "si", "sí", "✓", "✔":
		return true
	}
	return false
}

// namesCore says whether a cell of a word or two is the name of a core, or says
// whether one is in.
func namesCore(cell string) bool {
	words := strings.Fields(strings.ToLower(cell))
	switch cell = strings.ToLower(cell); {
	case cell == "in" || cell == "out" || cell == "inserted":
		return true
	}
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
