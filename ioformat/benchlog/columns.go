package benchlog

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// column is what a column of a log holds.
type column int

const (
	frequency column = iota
	frequencyPM
	added
	addedPM
	core
	covered
	hand
	amplitude
	quality
	primary
	drive
	taken
	use
	note
	secondFrequency
	numColumns
)

// kinds has for each column a header that is understood; what the trade calls it; how words
// begin by which people name it, in English, German, French and Spanish (common practice; =
// stands behind whole words); and what it measures, where it is no column of text.
var kinds = [numColumns]struct {
	example, names, hints string
	measures              quantity.Dimension
}{
	frequency: {"frequency [MHz]", "frequency, f, freq, f0, fres, resonance, resonance frequency, resonant frequency, frequenz, fréquence, frequence, frecuencia",
		"f= f0= fr= fres= fo= freq frequ fréq frec frék reson réson", quantity.Frequency},
	frequencyPM: {"frequency ± [kHz]", "frequency uncertainty", "", quantity.Frequency},
	added: {"added [pF]", "added, added capacitance, added capacitor, capacitor",
		"c= ctop= cext= cadd= cap capac kapaz cond kond add added extra zusatz zugef load top= ext ajout añad agreg", quantity.Capacitance},
	addedPM:         {"added ± [%]", "tolerance", "", quantity.Capacitance},
	core:            {example: "core", names: "core", hints: "core ferrit rod slug kern noyau núcleo nucleo bead stab="},
	covered:         {"covered [%]", "covered, coverage", "cover insertion overlap abdeck eingetaucht couvert cubiert", quantity.Fraction},
	hand:            {"hand [cm]", "hand, hand distance", "hand dist abstand entfern palm person body main= mano", quantity.Length},
	amplitude:       {example: "amplitude [V]", names: "amplitude, amp", hints: "amp vpp= peak pickup level signal spannung"},
	quality:         {example: "quality factor", names: "quality factor, quality, q, q factor", hints: "q= qual güte guete calidad"},
	primary:         {example: "primary", names: "primary"},
	drive:           {example: "drive", names: "drive, driven by"},
	taken:           {example: "time", names: "time, taken, clock"},
	use:             {example: "use", names: "use, used", hints: "use used valid ok= keep"},
	note:            {example: "note", names: "note, notes, comment, comments, remark, remarks, nota, notiz", hints: "note remark comment bemerk anmerk kommentar remarque nota observ coment"},
	secondFrequency: {"second frequency [MHz]", "second frequency, second peak, other peak", "", quantity.Frequency},
}

// example returns a header that is understood for c.
func (c column) example() string { return kinds[c].example }

// name returns the name of c without its unit.
func (c column) name() string {
	name, _, _ := strings.Cut(c.example(), " [")
	return name
}

// dimension returns what c measures; ok is false for columns of text.
func (c column) dimension() (d quantity.Dimension, ok bool) {
	return kinds[c].measures, kinds[c].measures != quantity.Pure
}

// columnNamed returns the column that the trade calls by name.
func columnNamed(name string) (column, bool) {
	for c := range numColumns {
		if slices.Contains(strings.Split(kinds[c].names, ", "), name) {
			return c, true
		}
	}
	return 0, false
}

// columns tells where the columns of a table stand and how their cells read.
type columns struct {
	*cells.Table
	at   [numColumns]int // -1: not there
	form [numColumns]quantity.Form
	// unitless marks columns whose missing unit has been reported.
	unitless  [numColumns]bool
	strangers []*stranger
	unknown   []string    // headers of columns that are left out
	guessed   []string    // what was taken as what
	watched   []*stranger // left out as text or empty, as far as the sample goes
	coreMark  string      // the core that a column of marks speaks of
}

// findColumns reads the header of t. Faults are reported to t.
func findColumns(t *cells.Table) *columns {
	c := &columns{Table: t, coreMark: core.name()}
	for i := range c.at {
		c.at[i] = -1
	}
	for i, header := range t.Header {
		name, unit := cells.SplitUnit(header)
		col, known := c.identify(name, i)
		if bare, u, ok := unitWithoutBrackets(header); !known && ok {
			col, unit, known = bare, u, true
			if c.at[col] < 0 {
				c.guess(header, col)
			}
		}
		switch {
		case known && c.at[col] >= 0:
			t.RefuseHeader(i, "each column once", fmt.Sprintf("column %s holds the %s already", cells.Letter(c.at[col]+1), col.name()))
		case known:
			c.at[col] = i
			c.setForm(col, unit)
		case strings.HasPrefix(name, "note:") || strings.HasPrefix(name, "note "):
			c.unknown = append(c.unknown, header)
		case header != "" && !c.rejects(i, header, name):
			c.strangers = append(c.strangers, &stranger{i: i, header: header, name: name, unit: unit})
		}
	}
	return c
}

// identify finds the column that name, split off the header of column i,
// stands for. A lone ± belongs to the column on its left.
func (c *columns) identify(name string, i int) (column, bool) {
	if !strings.Contains(name, "±") {
		return columnNamed(name)
	}
	base := strings.TrimSpace(strings.ReplaceAll(name, "±", ""))
	col, known := columnNamed(base)
	if base == "" && i > 0 {
		switch i - 1 {
		case c.at[frequency]:
			col, known = frequency, true
		case c.at[added]:
			col, known = added, true
		}
	}
	switch {
	case known && col == frequency:
		return frequencyPM, true
	case known && col == added:
		return addedPM, true
	}
	return 0, false
}

// setForm notes how the cells of col read: in the unit of the header, or of
// the row of units below it.
func (c *columns) setForm(col column, unit string) {
	i := c.at[col]
	line, where := c.HeaderLine(), unit
	if below := c.Unit(i); below != "" {
		if unit != "" && !strings.EqualFold(unit, below) {
			c.ReportAt(line, i, &quantity.Error{Read: below + " in the row of units", Expected: unit + " as in the header", Do: "keep the one that holds"})
		}
		unit, where = below, below
	}
	d, measured := col.dimension()
	relative := col == frequencyPM || col == addedPM
	c.form[col] = quantity.Form{Dimension: d, Relative: relative}
	if col == amplitude && strings.HasPrefix(strings.ToLower(unit), "db") {
		c.ReportAt(line, i, &quantity.Error{Read: where, Expected: "an amplitude in a linear unit", Do: "convert decibels: 10^(dB/20)"})
		c.unitless[col] = true
	}
	if unit != "" && (col == quality || col == drive || col == use || col == core || col == primary) && (quantity.LooksLikeUnit(unit) || strings.HasPrefix(strings.ToLower(unit), "db")) {
		c.ReportAt(line, i, &quantity.Error{Read: c.Header[i], Expected: col.name() + ", which has no unit", Do: "is it the column that it is taken for? If so, leave the unit out"})
	}
	if !measured || unit == "" {
		return
	}
	if relative {
		if u, err := quantity.ParseUnit(unit, quantity.Fraction); err == nil {
			c.form[col] = quantity.Form{Dimension: quantity.Fraction, Unit: u}
			return
		}
	}
	u, err := quantity.ParseUnit(unit, d)
	if err != nil {
		c.ReportAt(line, i, err)
		c.unitless[col] = true // its cells mean nothing now
		return
	}
	c.form[col].Unit = u
}

// rejects reports a header that names no known column, when it looks like a slip
// of the pen.
func (c *columns) rejects(i int, header, name string) bool {
	if strings.Count(header, "[") != strings.Count(header, "]") || strings.Count(header, "(") != strings.Count(header, ")") {
		c.RefuseHeader(i, "a name, and behind it the unit in brackets", "open and close the brackets, as in "+quantity.Quote(closed(header)))
		return true
	}
	_, unit := cells.SplitUnit(header)
	var names []string
	for col := range numColumns {
		names = append(names, col.name())
	}
	near, ok := suggest.Nearest(name, names)
	if base, _, spread := strings.Cut(name, "±"); !ok && spread {
		for _, col := range []column{frequencyPM, addedPM} {
			if strings.HasPrefix(base, strings.TrimSuffix(col.name(), "±")) {
				near, ok = col.name(), true
			}
		}
	}
	if ok {
		col := column(slices.Index(names, near))
		c.RefuseHeader(i, "the name of a column", fmt.Sprintf("did you mean %s? If not, give the column a name less like it", quantity.Quote(col.header(unit))))
	}
	return ok
}

// unitWithoutBrackets recognises headers such as "frequency MHz".
func unitWithoutBrackets(header string) (col column, unit string, ok bool) {
	for col := range numColumns {
		name := col.name()
		if len(header) < len(name) || !strings.EqualFold(header[:len(name)], name) {
			continue
		}
		unit := strings.Trim(header[len(name):], " .,:;-_'{}<>|\\")
		if unit != "" && quantity.LooksLikeUnit(unit) {
			return col, unit, true
		}
	}
	return 0, "", false
}

// guess notes that the column under header is taken as col.
func (c *columns) guess(header string, col column) {
	c.guessed = append(c.guessed, fmt.Sprintf("%s read as %s", quantity.Quote(header), col.name()))
}

// closed closes the bracket that a header leaves open, or opens the one it closes.
func closed(header string) string {
	for _, b := range []string{"[]", "()"} {
		switch n := strings.Count(header, b[:1]) - strings.Count(header, b[1:]); {
		case n > 0:
			return header + b[1:]
		case n < 0:
			name, unit, _ := strings.Cut(strings.Replace(header, b[1:], "", 1), " ")
			return name + " " + b[:1] + unit + b[1:]
		}
	}
	return header
}

// has says whether the table has a usable column col.
func (c *columns) has(col column) bool { return c.at[col] >= 0 && !c.unitless[col] }

// text returns the cell of col in the current row, "" when there is no such
// column.
func (c *columns) text(col column) string {
	if !c.has(col) {
		return ""
	}
	return c.Cell(c.at[col])
}

// quantity reads the cell of col in the current row. A unit that stands
// neither in the header nor in the cell is reported once, at the header.
func (c *columns) quantity(col column) (quantity.Quantity, bool) {
	if c.lacksUnit(col, c.text(col)) {
		return quantity.Quantity{}, false
	}
	return c.Quantity(c.at[col], c.form[col])
}

// tolerance reads text as the number in a cell of the column added ±.
func (c *columns) tolerance(text string) (quantity.Quantity, bool) {
	if c.lacksUnit(addedPM, text) {
		return quantity.Quantity{}, false
	}
	q, err := c.Parse(text, c.form[addedPM])
	if err != nil {
		c.Report(c.at[addedPM], err)
	}
	return q, err == nil
}

// refuse reports the cell of col in the current row. It is false.
func (c *columns) refuse(col column, read, expected, do string) bool {
	return c.Refuse(c.at[col], read, expected, do)
}

// lacksUnit says whether text, a number in column col, has no unit anywhere,
// and reports it the first time.
func (c *columns) lacksUnit(col column, text string) bool {
	if c.unitless[col] {
		return true
	}
	if c.form[col].Unit != (quantity.Unit{}) || !strings.ContainsAny(text, "0123456789") ||
		strings.Trim(text, "0123456789.,+-eE ") != "" {
		return false
	}
	if _, measured := col.dimension(); !measured {
		return false
	}
	c.unitless[col] = true
	i := c.at[col]
	c.RefuseHeader(i, "a unit in the header or in each cell", fmt.Sprintf("line %d has a number without a unit: write %s", c.Line(), quantity.Quote(col.example()))+alternatives(col))
	return true
}

func alternatives(col column) string {
	switch col {
	case frequencyPM:
		return ` or "frequency ± [%]"`
	case addedPM:
		return ` or "added ± [pF]"`
	case covered:
		return ""
	}
	return ", or whichever unit it is"
}
