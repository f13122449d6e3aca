package benchlog

import (
	"errors"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// bench is what rows have in common: the parts and cores that have a name.
type bench struct {
	parts   *parts
	cores   *names
	notices *notices
	covers  covers
}

// covers is the largest share of the winding covered, of those written as a number
// alone.
type covers struct {
	most float64
	line int // of the first; 0 when there is none
	text string
}

// report refuses a column in which no more than one per cent is ever covered: it
// holds fractions.
func (c *covers) report(of *columns) {
	if c.line > 0 && c.most <= 0.01 && of.at[covered] >= 0 {
		of.ReportAt(c.line, of.at[covered], &quantity.Error{Read: c.text, Expected: "a percentage, and no row covers more than 1 %", Do: "a fraction of 0.6 is written 60, the whole winding 100; if a per cent is meant, write it with its sign, as in 1 %"})
	}
}

// rows goes through the rows of c, and judges the comments among them and the columns that
// are to be judged as a whole.
func (b *bench) rows(c *columns, row func()) {
	comments := &commented{columns: c, notices: b.notices}
	for c.Next() {
		comments.look()
		c.watch()
		row()
	}
	comments.finish()
	b.covers.report(c)
	c.watchOver()
}

// state reads the state of the coil from the current row of c. ok is false
// when a fault was reported.
func (b *bench) state(c *columns) (s readings.State, ok bool) {
	s = readings.Bare()
	ok = b.addedTo(&s, c)
	report := func(col column, err error) {
		if err != nil {
			c.Report(c.at[col], err)
			ok = false
		}
	}
	name, err := b.cores.read(c.text(core), c.Line())
	report(core, err)
	s.Core = name
	ok = b.cover(&s, c) && ok
	mark, err := c.Number(c.text(primary))
	if err == nil {
		s.Primary, err = parsePrimary(c.text(primary), mark)
	}
	report(primary, err)
	if text := c.text(hand); !nothing(text) {
		if quantity.IsMarker(text) {
			return s, c.refuse(hand, text, "a distance", "leave the cell empty when nobody is near")
		}
		q, read := c.quantity(hand)
		ok = ok && read
		if read {
			report(hand, checkHand(q))
			s.Hand = q.Value
		}
	}
	return s, ok
}

// addedTo reads the parts on the top.
func (b *bench) addedTo(s *readings.State, c *columns) bool {
	if !c.has(added) {
		return c.at[added] < 0
	}
	text, tolerance := c.text(added), c.text(addedPM)
	if emptyClip(text) {
		s.Clip = true
		if text == "0" {
			b.notices.once("clip", c.Line(), "0 is read as an empty clip on the top; leave the cell empty where there is nothing")
		}
		return true
	}
	if nothing(text) {
		return true
	}
	if indexes, ok := b.parts.seen[[2]string{text, tolerance}]; ok {
		s.Parts, s.Clip = indexes, len(indexes) == 0
		return true
	}
	cell := addedCell{text: text, form: c.form[added], line: c.Line(), mark: c.Number}
	number, share := CutShare(tolerance)
	cell.share = share
	if !blank(number) {
		q, ok := c.tolerance(number)
		if !ok {
			return false
		}
		cell.tolerance = &q
	}
	if c.lacksUnit(added, text) {
		return false
	}
	indexes, err := b.parts.read(cell)
	if err != nil {
		col := added
		if errors.As(err, new(toleranceError)) && c.at[addedPM] >= 0 {
			col = addedPM
		}
		c.Report(c.at[col], err)
		return false
	}
	b.parts.seen[[2]string{strings.Clone(text), strings.Clone(tolerance)}] = indexes
	s.Parts, s.Clip = indexes, len(indexes) == 0
	return true
}

// cover reads which stretch of the winding the core of s covers.
func (b *bench) cover(s *readings.State, c *columns) bool {
	text := c.text(covered)
	if blank(text) {
		if s.Core != "" {
			s.To = 1
		}
		return true
	}
	if c.lacksUnit(covered, strings.ReplaceAll(text, "..", "")) {
		return false
	}
	f := c.form[covered]
	begin, end, _ := strings.Cut(text, "..")
	mark, err := c.Number(begin)
	if err == nil && end != "" {
		mark, err = c.Number(end)
	}
	if err == nil {
		f.Mark = mark
		err = b.setCover(s, text, f, c.Line())
	}
	if err != nil {
		c.Report(c.at[covered], err)
	}
	return err == nil
}

// setCover reads text as the stretch that the core of s covers.
func (b *bench) setCover(s *readings.State, text string, f quantity.Form, line int) error {
	from, to, err := f.ParseStretch(text)
	if err != nil {
		return err
	}
	switch {
	case s.Core == "" && to > 0:
		return &quantity.Error{Read: text, Expected: "nothing, since no core is named", Do: "name the core, or leave out what it covers"}
	case s.Core == "":
	case to == 0:
		b.notices.once("cover 0 "+s.Core, line, "the core "+quantity.Quote(s.Core)+" covers 0 %: read as no core")
		s.Core = ""
	default:
		s.From, s.To = from, to
		unitless := !strings.Contains(text, "%")
		if unitless && b.covers.line == 0 {
			b.covers.line, b.covers.text = line, strings.Clone(text)
		}
		if unitless {
			b.covers.most = max(b.covers.most, to)
		}
		if to == 0.01 && unitless {
			b.notices.once("cover 1", line, "the core covers "+quantity.Quote(text)+", read as 1 % of the winding: was all of it meant?")
		}
		if to < 0.01 {
			b.notices.once("cover small", line, "the core covers "+quantity.Quote(text)+", less than 1 %: was a percentage meant?")
		}
	}
	return nil
}

func checkHand(q quantity.Quantity) error {
	if q.Value > 0 {
		return nil
	}
	return &quantity.Error{Read: q.Text, Expected: "a distance above 0",
		Do: "nobody touches the coil for a reading; give no distance when nobody is near"}
}
