package benchlog

import (
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// stranger is a column under a header that isn't known.
type stranger struct {
	i                  int
	header, name, unit string
	dimension          quantity.Dimension // of the unit
	measured           bool               // the dimension is known, by the header or by the cells
	hints              hints
	content            *content
	why                string // it can't be placed
}

// sampled is how many rows show what a column of unknown meaning holds.
const sampled = 200

// place finds out what the columns under unknown headers hold, by their units,
// names and cells. One that fits one kind of column is taken as that, and said so;
// free text is left out, and said so; a column of data that fits none, or several,
// is a fault.
func (c *columns) place() {
	if len(c.strangers) == 0 {
		return
	}
	rows := c.Peek(sampled)
	for _, s := range c.strangers {
		s.look(c.Table, rows)
	}
	for _, spread := range []bool{false, true} { // a spread belongs to what is placed already
		var waiting []*stranger
		for _, s := range c.strangers {
			if s.hints.spread == spread {
				waiting = append(waiting, s)
			}
		}
		c.settle(waiting)
	}
	var lost []*stranger
	for _, s := range c.strangers {
		switch {
		case c.holds(s.i):
		case s.why != "":
			lost = append(lost, s)
		default:
			c.unknown = append(c.unknown, s.header)
			if s.unit == "" && !s.measured && s.content.numbers == 0 {
				c.watched = append(c.watched, s)
				s.content = newContent()
			}
		}
	}
	for i, s := range lost {
		do := ""
		if i == 0 {
			do = "use this header: " + c.suggest()
		}
		c.RefuseHeader(s.i, s.why, do)
	}
}

// look fills in what header and cells of s say.
func (s *stranger) look(t *cells.Table, rows [][]string) {
	s.content = newContent()
	for _, row := range rows {
		if s.i < len(row) {
			s.content.add(row[s.i])
		}
	}
	if s.unit == "" {
		s.unit = t.Unit(s.i)
	}
	if words := strings.Fields(s.name); s.unit == "" && len(words) > 1 && quantity.LooksLikeUnit(words[len(words)-1]) {
		all := strings.Fields(s.header) // as written: mhz and MHz are two
		s.name, s.unit = strings.TrimSuffix(strings.Join(words[:len(words)-1], " "), " in"), all[len(all)-1]
	}
	text := s.content.filled > 0 && s.content.numbers == 0 && len(s.content.of) == 0
	if s.unit == "" && quantity.LooksLikeUnit(s.header) && !text {
		s.name, s.unit = "", s.header
	}
	s.hints = findHints(s.name)
	if s.unit != "" {
		s.dimension, s.measured = quantity.DimensionOf(s.unit)
		return
	}
	s.dimension, s.measured = s.content.dimension()
}

// settle places those of list that fit one free kind of column, which no other of
// them fits.
func (c *columns) settle(list []*stranger) {
	fits := make([][]column, len(list))
	count := map[column]int{}
	for i, s := range list {
		fits[i] = c.fits(s)
		for _, col := range fits[i] {
			count[col]++
		}
	}
	for i, s := range list {
		switch {
		case len(fits[i]) == 1 && count[fits[i][0]] == 1:
			c.take(s, fits[i][0])
		case len(fits[i]) > 0:
			s.why = "a header that tells what it is: " + several(fits[i])
		default:
			s.why = c.strange(s)
		}
	}
}

// take lets column col be s.
func (c *columns) take(s *stranger, col column) {
	c.at[col] = s.i
	c.setForm(col, s.unit)
	c.guess(s.header, col)
	if col == core {
		c.coreMark = s.name
		if n := len(s.name); n <= len(s.header) && strings.EqualFold(s.header[:n], s.name) {
			c.coreMark = s.header[:n] // as written
		}
	}
}

// several says that a column may be of several kinds, or several columns of one.
func several(fits []column) string {
	if len(fits) == 1 {
		if fits[0] == added {
			return "there are several columns of capacitances; write sums in one, as 4.7+10"
		}
		return "several columns could be the " + fits[0].name()
	}
	var names []string
	for _, col := range fits {
		names = append(names, quantity.Quote(col.example()))
	}
	return "it could be " + strings.Join(names, " or ")
}

// fits lists the free kinds of column that s can be.
func (c *columns) fits(s *stranger) (list []column) {
	if s.hints.other {
		return nil
	}
	for _, col := range s.kinds() {
		free := c.at[col] < 0
		switch col {
		case frequencyPM:
			free = free && c.at[frequency] >= 0
		case addedPM:
			free = free && c.at[added] >= 0
		case covered:
			free = free && c.at[core] >= 0
		}
		if free {
			list = append(list, col)
		}
	}
	return list
}

// kinds lists the columns that s may be by its unit and its name.
func (s *stranger) kinds() []column {
	var of []column
	if s.measured {
		of = map[quantity.Dimension][]column{
			quantity.Frequency:   {frequency, frequencyPM},
			quantity.Capacitance: {added, addedPM},
			quantity.Length:      {hand},
			quantity.Fraction:    {frequencyPM, addedPM, covered},
			quantity.Voltage:     {amplitude},
		}[s.dimension]
	} else if s.unit == "" {
		of = s.unmeasured()
	}
	return slices.DeleteFunc(of, func(col column) bool { return !s.mayBe(col) })
}

// unmeasured lists the columns that s may be when nothing has a unit.
func (s *stranger) unmeasured() []column {
	k := s.content
	switch {
	case k.filled == 0:
		return nil
	case 2*k.numbers > k.filled: // where a unit belongs, its lack is told when s is read
		return []column{frequency, frequencyPM, added, addedPM, covered, hand, amplitude, quality}
	case k.marks == k.filled:
		return []column{core, use}
	}
	return []column{added, core, note}
}

// mayBe says whether the name of s goes with col.
func (s *stranger) mayBe(col column) bool {
	h := s.hints
	switch col {
	case frequencyPM:
		return h.spread && (len(h.kinds) == 0 || h.names(frequency))
	case addedPM:
		return h.spread && (len(h.kinds) == 0 || h.names(added))
	case frequency:
		return !h.spread && !h.names(core) && !h.names(covered) && !h.names(hand) && !h.names(added) && (h.names(col) || s.measured && !h.plain)
	case added:
		return !h.spread && (h.names(col) || len(h.kinds) == 0 && s.measured && !h.plain)
	case amplitude:
		return h.names(col) || len(h.kinds) == 0 && s.measured
	case hand:
		return h.names(hand) && !h.names(core) || s.name == ""
	}
	return h.names(col)
}

// strange says what is wrong with a column that fits no free kind; nothing when
// it may be left out.
func (c *columns) strange(s *stranger) string {
	k := s.content
	switch {
	case s.measured && slices.Contains([]quantity.Dimension{quantity.Frequency, quantity.Capacitance, quantity.Length, quantity.Fraction}, s.dimension):
		if s.dimension == quantity.Length {
			return "a header that tells what it is: the distance of a hand, or where the core is (a share of the winding, covered [%])"
		}
		if s.dimension == quantity.Fraction && s.hints.plain {
			return ""
		}
		return "a header that tells what " + s.dimension.String() + " it is, beside the columns there are"
	case s.unit != "" || k.filled == 0:
		return ""
	case 2*k.numbers > k.filled:
		if s.hints.plain || k.counting {
			return ""
		}
		return "a header that tells what these numbers are, and their unit"
	case k.marks == k.filled:
		return "a header that tells what is marked: the name of a core, for one"
	case k.data():
		return "a header that tells what these values are"
	}
	return ""
}

// holds says whether column i of the table is taken.
func (c *columns) holds(i int) bool { return slices.Contains(c.at[:], i) }

// suggest returns a header with which the log can be read: what isn't understood
// becomes what it is most likely, or a note.
func (c *columns) suggest() string {
	free := func(col column) bool { return c.at[col] < 0 }
	list := slices.Clone(c.Header)
	used := map[column]bool{}
	for _, s := range c.strangers {
		if c.holds(s.i) || s.why == "" {
			continue
		}
		list[s.i] = "note: " + strings.Trim(s.header, ":")
		for _, col := range c.likely(s) {
			if free(col) && !used[col] {
				used[col] = true
				list[s.i] = col.header(s.unit)
				break
			}
		}
	}
	for i, h := range list {
		if strings.ContainsRune(h, c.Delimiter) {
			list[i] = `"` + strings.ReplaceAll(h, `"`, `""`) + `"`
		}
	}
	return strings.Join(list, string(c.Delimiter))
}

// likely lists what s may be meant as, the likeliest first.
func (c *columns) likely(s *stranger) []column {
	k := s.content
	switch {
	case s.hints.other:
		return nil
	case s.measured && s.dimension == quantity.Length && !s.hints.names(core) && !s.hints.names(covered):
		return []column{hand}
	case s.measured:
		return slices.DeleteFunc(c.fits(s), func(col column) bool { return col == frequencyPM || col == addedPM })
	case k.marks == k.filled || 2*k.cores >= k.filled:
		return []column{core}
	}
	return c.fits(s)
}

// header returns the header of col with its unit, where it has one.
func (c column) header(unit string) string {
	d, measured := c.dimension()
	if of, ok := quantity.DimensionOf(unit); measured && ok && of == d {
		return c.name() + " [" + unit + "]"
	}
	return c.example()
}

// watch takes the cells of the current row in that columns left out have.
func (c *columns) watch() {
	for _, s := range c.watched {
		s.content.add(c.Cell(s.i))
	}
}

// watchOver reports columns that were left out as text, and turned out to hold
// data further down.
func (c *columns) watchOver() {
	for _, s := range c.watched {
		if !s.content.data() && (s.content.numbers == 0 || s.content.numbers < s.content.filled || s.content.counting || s.hints.plain) {
			continue
		}
		s.why = "a header that tells what its values are"
		s.dimension, s.measured = s.content.dimension()
		c.RefuseHeader(s.i, s.why, "use this header: "+c.suggest())
	}
}
