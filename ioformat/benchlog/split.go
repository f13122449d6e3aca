package benchlog

import (
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// splits watches for commas inside numbers, decimal or between thousands, which a
// table with commas between its cells takes apart: 1,523 becomes 1 and 523. Rows
// show it only where the cells that follow were left out, so that the number of
// cells is right.
type splits struct {
	*cells.Table
	at    int    // column of frequencies, -1: don't watch
	unit  string // of its header
	text  int    // column of text, -1: none
	rows  int
	doubt []splitRow
	sound []string // frequencies that no comma went through
	noted int      // sound rows with a number for a note
}

// splitRow is a row whose frequency may have been taken apart.
type splitRow struct {
	line        int
	front, back string
	third       string
	noted       bool // the column of text holds a number with decimals
}

// mostSplits bounds the rows that are looked at.
const mostSplits = 2000

func newSplits(c *columns) *splits {
	s := &splits{Table: c.Table, at: c.at[frequency], unit: c.form[frequency].Unit.Symbol, text: c.at[note]}
	if c.Delimiter != ',' || s.at+1 >= len(c.Header) || s.unit == "" {
		s.at = -1
	}
	return s
}

// see looks at the current row.
func (s *splits) see() {
	if s.at < 0 || s.rows == mostSplits || s.at+1 >= len(s.Row()) {
		return
	}
	s.rows++
	front, back := s.Cell(s.at), s.Cell(s.at+1)
	noted := s.text > s.at && strings.Contains(s.Cell(s.text), ".") && !math.IsNaN(plainNumber(s.Cell(s.text)))
	switch {
	case allDigits(front) && len(front) <= 4 && front[0] != '0' && allDigits(back):
		s.doubt = append(s.doubt, splitRow{s.Line(), strings.Clone(front), strings.Clone(back), s.third(), noted})
	default:
		s.sound = append(s.sound, strings.Clone(front))
		if noted {
			s.noted++
		}
	}
}

// third returns the cell behind the two, where it can be three digits more.
func (s *splits) third() string {
	if s.at+2 < len(s.Row()) && len(s.Cell(s.at+2)) == 3 && allDigits(s.Cell(s.at+2)) {
		return strings.Clone(s.Cell(s.at + 2))
	}
	return ""
}

func allDigits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// report refuses rows whose frequency was taken apart, beyond doubt.
func (s *splits) report() {
	if len(s.doubt) == 0 {
		return
	}
	if len(s.sound) == 0 {
		if s.all() {
			d := s.doubt[0]
			thousands := ""
			if s.unit != "MHz" && s.unit != "GHz" {
				thousands = "if it stands between thousands, take it away; "
			}
			s.ReportAt(d.line, s.at, &quantity.Error{Read: "whole " + s.unit + " in all rows", Expected: "frequencies with a decimal point", Do: "if the comma is the decimal mark, use ; between cells; " + thousands + "if the frequencies are whole, write them as in " + d.front + ".0"})
		}
		return
	}
	for _, d := range s.some() {
		s.ReportAt(d.line, s.at, &quantity.Error{Read: d.front + "," + d.back, Expected: "a frequency like those of the other rows, in one cell", Do: "if the comma is the decimal mark, use ; between cells; if it stands between thousands, take it away; if the frequency is whole, write " + d.front + ".0"})
	}
}

// all judges a log in which each row may have been taken apart. Whole megahertz in
// all rows are none; of thousands, three digits follow, which values that are sold
// don't have; and a note is no number with decimals.
func (s *splits) all() bool {
	long, thousands, round, noted := false, true, true, false
	for _, d := range s.doubt {
		long = long || len(d.front) > 2
		thousands = thousands && len(d.front) <= 3 && len(d.back) == 3
		round = round && strings.HasSuffix(d.back, "0")
		noted = noted || d.noted
	}
	megahertz := (s.unit == "MHz" || s.unit == "GHz") && !long
	return megahertz || noted || thousands && !round || s.disordered()
}

// disordered says whether many of the second cells, read as capacitances, rise with
// the frequency beside them: what is added lowers it.
func (s *splits) disordered() bool {
	against, pairs := 0, 0
	for i, a := range s.doubt {
		for _, b := range s.doubt[:min(i, 100)] {
			fa, fb := plainNumber(a.front), plainNumber(b.front)
			if d := (fa - fb) * (plainNumber(a.back) - plainNumber(b.back)); fa != fb && a.back != b.back {
				pairs++
				if d > 0 {
					against++
				}
			}
		}
	}
	return pairs >= 10 && 3*against > pairs
}

// some finds the rows that were taken apart among others which were not.
func (s *splits) some() (list []splitRow) {
	var values []float64
	decimals := map[int]int{}
	for _, f := range s.sound {
		if v := plainNumber(f); v > 0 {
			values = append(values, v)
			_, after, _ := strings.Cut(f, ".")
			decimals[len(after)]++
		}
	}
	if len(values) < 2 { // of whole ones, those of three digits or more are no fronts of thousands
		for _, d := range s.doubt {
			if len(d.front) > 2 {
				values = append(values, plainNumber(d.front))
			}
		}
	}
	if len(values) < 2 {
		return nil
	}
	slices.Sort(values)
	middle := values[len(values)/2]
	like := func(text string) bool {
		v := plainNumber(text)
		return v > values[0]/5 && v < values[len(values)-1]*5
	}
	usual := 0
	for n, count := range decimals {
		if n > 0 && 2*count > len(values) {
			usual = n
		}
	}
	var ends []splitRow // 1,523 among 1.613
	for _, d := range s.doubt {
		far := plainNumber(d.front) < middle/30
		switch {
		case far && (len(d.back) == 3 && (like(d.front+d.back) || like(d.front+d.back+d.third)) || like(d.back)), d.noted && s.noted == 0:
			list = append(list, d)
		case usual > 0 && len(d.back) == usual && like(d.front+"."+d.back):
			ends = append(ends, d)
		}
	}
	if s.chance(usual, len(ends)) < 0.03 {
		list = append(list, ends...)
	}
	return list
}

// chance is about that of n or more frequencies with nothing but zeros behind the
// decimal point, which a spreadsheet leaves out.
func (s *splits) chance(decimals, n int) float64 {
	mean, p := float64(s.rows)*math.Pow10(-decimals), 1.0
	for i := range n {
		p *= mean / float64(i+1)
	}
	return p
}
