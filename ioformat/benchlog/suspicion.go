package benchlog

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// tell notes what the maker should know of a log that could be read.
func (rd *reader) tell() {
	rd.tellDialect()
	rd.tellPulls()
	rd.tellSlips()
	rd.tellFewerDigits()
	rd.tellLikeness()
	rd.tellCopies()
}

// tellDialect says how the file was read when that isn't the usual way.
func (rd *reader) tellDialect() {
	t, n := rd.Table, rd.bench.notices
	var how []string
	if t.Delimiter != ',' {
		mark := ""
		switch t.Mark {
		case quantity.Comma:
			mark = ", the decimal mark is the comma"
		case quantity.Point:
			mark = ", the decimal mark is the point"
		}
		how = append(how, "cells are separated by the "+t.DelimiterName()+mark)
	}
	if e := t.EncodingName(); e != "" {
		how = append(how, "the characters are read as "+e)
	}
	if len(how) > 0 {
		n.aside(strings.Join(how, "; "))
	}
	n.tellColumns(t.HeaderLine(), rd.columns)
}

// tellColumns lists the columns that were taken by what they hold, and those that
// are left out.
func (n *notices) tellColumns(line int, c *columns) {
	for _, text := range c.guessed {
		n.add(line, text)
	}
	if len(c.unknown) == 0 {
		return
	}
	const most = 20
	var quoted []string
	for _, h := range c.unknown[:min(most, len(c.unknown))] {
		quoted = append(quoted, quantity.Quote(h))
	}
	_, columns, _ := strings.Cut(quantity.Count(len(c.unknown), "column"), " ")
	text := "not used: " + columns + " " + strings.Join(quoted, ", ")
	if more := len(c.unknown) - most; more > 0 {
		text += " and " + strconv.Itoa(more) + " more"
	}
	n.add(line, text)
}

// suspects are values of one kind, one of which may have been written in a
// wrong unit.
type suspects struct {
	what, unit string
	list       []suspect
}

type suspect struct {
	line  int
	value float64
}

func (s *suspects) add(line int, value float64) { s.list = append(s.list, suspect{line, value}) }

// tellSlips looks for values about 10³ or 10⁶ times off the others of their
// kind, and for those outside of what is seen on a bench.
func (rd *reader) tellSlips() {
	frequency, relative := suspects{what: "frequency", unit: "Hz"}, suspects{what: "relative uncertainty", unit: "%"}
	hand, added := suspects{what: "distance of the hand", unit: "m"}, suspects{what: "added capacitance", unit: "F"}
	for i := range rd.log.Readings {
		r := &rd.log.Readings[i]
		if p := r.Repeats; p != nil {
			frequency.add(p.Lowest.Line, p.Lowest.Frequency)
			frequency.add(p.Highest.Line, p.Highest.Frequency)
		} else {
			frequency.add(r.Line, r.Frequency)
		}
		if !r.FromDigits && r.Repeats == nil {
			relative.add(r.Line, r.Uncertainty/r.Frequency)
		}
		if !math.IsInf(r.Hand, 0) {
			hand.add(r.Line, r.Hand)
		}
	}
	for _, p := range rd.bench.parts.list {
		if p.Known && !p.fixed {
			added.add(p.line, p.Capacitance)
		}
	}
	rd.tellSlip(frequency)
	rd.tellSlip(relative)
	rd.tellSlip(hand)
	rd.tellFarOff(frequency, 300, 1.5e9)
	rd.tellFarOff(hand, 2e-3, 4)
	rd.tellSlip(added)
}

func (rd *reader) tellSlip(s suspects) {
	middle := s.median()
	const most = 3
	told, last := 0, 0
	for _, x := range s.list {
		off := math.Log10(x.value / middle)
		if a := math.Abs(off); !(a > 2.5 && a < 3.5 || a > 5.5 && a < 6.5) {
			continue
		}
		last = x.line
		if told++; told > most {
			continue
		}
		factor, direction := "1000", "above"
		if math.Abs(off) > 4.5 {
			factor = "a million"
		}
		if off < 0 {
			direction = "below"
		}
		rd.bench.notices.add(x.line, fmt.Sprintf("the %s of %v lies about %s times %s the others: is the unit right?",
			s.what, quantity.FormatValue(x.value, 4, s.unit), factor, direction))
	}
	if told > most {
		rd.bench.notices.add(last, fmt.Sprintf("here ends a list of %d more such values", told-most))
	}
}

// tellFarOff tells the first of the values outside of what is seen on a bench.
func (rd *reader) tellFarOff(s suspects, least, most float64) {
	far := slices.DeleteFunc(s.list, func(x suspect) bool { return x.value >= least && x.value <= most })
	if len(far) > 0 && !rd.bench.notices.speaksOf(far[0].line, s.what) {
		rd.bench.notices.add(far[0].line, fmt.Sprintf("a %s of %v is far outside of what is seen on a bench%s: is the unit right?",
			s.what, quantity.FormatValue(far[0].value, 4, s.unit), inAll(len(far))))
	}
}

// median returns the middle of up to a thousand of the values, evenly chosen;
// NaN when there are fewer than three: of two that differ, nobody knows which
// is wrong.
func (s suspects) median() float64 {
	var values []float64
	for i := 0; i < len(s.list); i += len(s.list)/1000 + 1 {
		values = append(values, s.list[i].value)
	}
	if len(values) < 3 {
		return math.NaN()
	}
	slices.Sort(values)
	return values[len(values)/2]
}

// tellLikeness points at names that differ by one slip of the pen, one of which
// occurs once: perhaps one thing was meant.
func (rd *reader) tellLikeness() {
	rd.tellLike("core", rd.bench.cores.order)
	uses := map[int]int{}
	for i := range rd.log.Readings {
		r := &rd.log.Readings[i]
		for _, p := range r.Parts {
			uses[p] += r.Count()
		}
	}
	var named []*name
	for i, p := range rd.bench.parts.list {
		if p.key == nameKey(p.Name) {
			named = append(named, &name{text: p.Name, key: p.key, line: p.line, uses: uses[i]})
		}
	}
	rd.tellLike("part", named)
}

func (rd *reader) tellLike(what string, all []*name) {
	const most = 200 // nobody compares more by their names
	if len(all) > most {
		return
	}
	var keys []string
	for _, n := range all {
		keys = append(keys, n.key)
	}
	for _, n := range all {
		if n.uses > 1 || len([]rune(n.key)) < 3 {
			continue
		}
		near, ok := suggest.Nearest(n.key, keys)
		for _, other := range all {
			if ok && other.key == near && !numbered(n.text, other.text) {
				rd.bench.notices.add(n.line, fmt.Sprintf("the %s %s occurs only here and is taken as another one than %s: a slip of the pen?",
					what, quantity.Quote(n.text), quantity.Quote(other.text)))
			}
		}
	}
}

// numbered says whether two names differ in digits, or in a last single letter
// only: c1 and c2, rod A and rod B are two on purpose.
func numbered(a, b string) bool {
	stem := func(s string) string {
		words := strings.Fields(strings.ToLower(s))
		if last := len(words) - 1; last > 0 && len([]rune(words[last])) == 1 {
			words = words[:last]
		}
		return strings.Map(func(r rune) rune {
			if unicode.IsDigit(r) {
				return -1
			}
			return r
		}, strings.Join(words, ""))
	}
	long, short := a, b
	if len(long) < len(short) {
		long, short = short, long
	}
	if rest, more := strings.CutPrefix(strings.ToLower(long), strings.ToLower(short)); more && strings.ContainsFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) }) {
		return true // rod A and rod A+B
	}
	return stem(a) == stem(b)
}

// tellCopies counts rows that repeat an earlier one in every cell, where two in a
// row do so: repeated readings are welcome, a block pasted twice is not.
func (rd *reader) tellCopies() {
	if len(rd.log.Readings) > mostKept || len(rd.log.said) == 0 {
		return // what nobody writes by hand is a counter's, which does repeat itself
	}
	seen := map[string]int{}
	copies, line, of := 0, 0, 0
	block := false
	last := -1 // by how many rows the one before repeats another
	for i, r := range rd.log.Readings {
		text := rd.log.said[i]
		before, ok := seen[text]
		if !ok {
			seen[text], last = i, -1
			continue
		}
		if copies++; copies == 1 {
			line, of = r.Line, rd.log.Readings[before].Line
		}
		block = block || i-before == last
		last = i - before
	}
	if block {
		rd.bench.notices.add(line, fmt.Sprintf("the row is the same as line %d in every cell%s; each counts as a reading of its own", of, inAll(copies)))
	}
}

// tellFewerDigits points at frequencies with fewer decimals than most, where the
// digits tell the uncertainty: spreadsheets leave zeros at the end out.
func (rd *reader) tellFewerDigits() {
	var byDigits suspects // the uncertainties
	count := map[float64]int{}
	for i := range rd.log.Readings {
		if r := &rd.log.Readings[i]; r.FromDigits && r.Repeats == nil {
			byDigits.add(r.Line, r.Uncertainty)
			count[r.Uncertainty]++
		}
	}
	const fewest = 5 // readings that make a habit
	usual := math.Inf(1)
	for u, n := range count {
		if all := len(byDigits.list); all >= fewest && 2*n > all {
			usual = u
		}
	}
	fewer := slices.DeleteFunc(byDigits.list, func(x suspect) bool { return x.value <= 9*usual })
	if len(fewer) > 0 {
		rd.bench.notices.add(fewer[0].line, fmt.Sprintf(
			"the frequency has fewer digits than most, and counts for less%s; if a zero at the end was left out, write it, or give the uncertainty in the column %s",
			inAll(len(fewer)), quantity.Quote("frequency ±")))
	}
}

// inAll says how many rows a notice is about, where it isn't the one that it is at.
func inAll(rows int) string {
	if rows == 1 {
		return ""
	}
	return fmt.Sprintf(" (such rows in all: %d)", rows)
}
