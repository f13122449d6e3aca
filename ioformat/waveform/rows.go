package waveform

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

const (
	bufferSize  = 1 << 20
	longestLine = bufferSize / 2
)

// rows reads the table from r, which starts at the beginning of the file: take gets its lines,
// last what no line end follows.
func (rd *reader) rows(r io.Reader, take, last func(b []byte, line int)) error {
	buf := make([]byte, bufferSize)
	have, line := 0, 0
	for {
		n, err := r.Read(buf[have:])
		have += n
		rest := buf[:have]
		for {
			end := bytes.IndexByte(rest, '\n')
			if end < 0 {
				break
			}
			if line++; line > rd.first {
				take(rest[:end], line)
			}
			rest = rest[end+1:]
		}
		have = copy(buf, rest)
		switch {
		case errors.Is(err, io.EOF):
			if line >= rd.first && !blank(string(buf[:have])) {
				last(buf[:have], line+1)
			}
			return nil
		case err != nil:
			return rd.unreadable(err)
		case have > longestLine:
			return rd.refuse(cells.Fault{Line: line + 1, Problem: "this line is longer than half a million characters", Do: "check that this is the right file"})
		}
	}
}

// lastLine leaves out a last line that no line end follows. It may have been cut
// within a number, which can't be seen: one sample less does no harm.
func (rd *reader) lastLine(_ []byte, line int) {
	rd.assumed("line %d, the last, has no line end and may be cut off: left out", line)
}

// take reads one row.
func (rd *reader) take(b []byte, line int) {
	if n := len(b); n > 0 && b[n-1] == '\r' {
		b = b[:n-1]
	}
	rd.row = line
	t, digit, ok := rd.quick(b)
	if !ok {
		if t, digit, ok = rd.slow(b); !ok {
			return
		}
	}
	var heading []cells.Fault
	if len(rd.pending) > 0 {
		if rd.headings(rd.pending) {
			heading = slices.Clone(rd.pending)
			rd.pending, rd.words = rd.pending[:0], 0
		} else {
			rd.report()
		}
	}
	if rd.time < 0 {
		if heading != nil {
			rd.pause(pause{row: len(rd.samples[0]), line: line, faults: heading})
		}
		rd.clock.n++
	} else {
		rd.tick(t, digit, line, heading)
	}
	for k, v := range rd.volts {
		c := &rd.channels[k]
		rd.samples[k] = append(rd.samples[k], v*c.volts+c.zero)
	}
}

// tick takes the time of a row.
func (rd *reader) tick(t, digit float64, line int, heading []cells.Fault) {
	if rd.index {
		digit = 0 // counted, not rounded
	}
	c := &rd.clock
	if c.step == 0 && c.jumps(t, heading != nil) {
		rd.settle()
	}
	before := tick{time: c.last, digit: c.lastDigit}
	ok := c.add(t, digit, line)
	if !ok || heading != nil {
		p := pause{row: len(rd.samples[0]), line: line, before: before, after: tick{time: t, digit: digit}, faults: heading}
		if !ok && heading == nil {
			p.faults = []cells.Fault{rd.offStep(t-before.time, line)}
		}
		rd.pause(p)
		c.skip() // the next one belongs to this
	}
	if c.step == 0 && len(c.early) == earlyRows {
		rd.settle()
	}
}

// quick reads a row whose cells hold plain numbers.
func (rd *reader) quick(b []byte) (t, digit float64, ok bool) {
	if rd.delimiter == ' ' || rd.origin != nil {
		return 0, 0, false
	}
	left := len(rd.volts)
	if rd.time >= 0 {
		left++
	}
	for column := range mostColumns {
		slot := rd.slot[column]
		if column == rd.time || slot >= 0 {
			for len(b) > 0 && b[0] == ' ' {
				b = b[1:]
			}
			x, last, n := scanNumber(b, byte(rd.mark))
			if n == 0 {
				return 0, 0, false
			}
			b = b[n:]
			for len(b) > 0 && b[0] == ' ' {
				b = b[1:]
			}
			if len(b) > 0 && b[0] != rd.delimiter {
				return 0, 0, false
			}
			if column == rd.time {
				t, digit = x*rd.seconds, math.Pow10(last)*rd.seconds
			} else {
				rd.volts[slot] = x
			}
			if left--; left == 0 {
				return t, digit, true
			}
		}
		next := bytes.IndexByte(b, rd.delimiter)
		if next < 0 || rd.delimiter == 0 {
			return 0, 0, false
		}
		b = b[next+1:]
	}
	return 0, 0, false
}

// slow reads a row cell by cell, and reports what is wrong in it.
func (rd *reader) slow(b []byte) (t, digit float64, ok bool) {
	text := string(b)
	if blank(text) {
		return 0, 0, false
	}
	row := rd.split(text)
	form := quantity.Form{Mark: rd.mark}
	bad := len(rd.pending)
	parse := func(column int, what string) (q quantity.Quantity) {
		if column >= len(row) {
			rd.pending = append(rd.pending, rd.short(row, rd.lastColumn()))
			return q
		}
		q, err := form.Parse(row[column])
		if err != nil {
			rd.pending = append(rd.pending, rd.badCell(column, row[column], what, err))
		}
		return q
	}
	if rd.time >= 0 {
		q := parse(rd.time, "a time")
		if len(rd.pending) == bad && rd.origin != nil {
			q.Value, _ = beyond(row[rd.time], rd.mark, rd.origin)
		}
		t, digit = q.Value*rd.seconds, q.LastDigit*rd.seconds
		if q.Value == 0 && strings.ContainsAny(q.Text, "eE") {
			digit = 0 // as in scanNumber
		}
	}
	for k := range rd.channels {
		if len(rd.pending) == bad {
			rd.volts[k] = parse(rd.channels[k].column, "a voltage").Value
		}
	}
	if len(rd.pending) > bad {
		rd.clock.skip()
		if s, _ := rd.numeric(row); s&rd.columns == 0 {
			rd.words++
		}
		const most = 1000 // behind the table, or a file of nothing but faults
		if len(rd.pending) > most {
			rd.report()
		}
		return 0, 0, false
	}
	return t, digit, true
}

// short tells of a row that ends before its last column.
func (rd *reader) short(row []string, last int) cells.Fault {
	f := cells.Fault{File: rd.name, Line: rd.row, Problem: "the row has " + strconv.Itoa(len(row)) + " cells",
		Expected: fmt.Sprintf("at least %d, as above", last+1),
		Do:       "restore the row from the scope's file, or capture again"}
	if len(row) == 1 {
		f.Problem = "the row has 1 cell"
	}
	return f
}

// lastColumn is the last one that is read.
func (rd *reader) lastColumn() int {
	last := rd.time
	for _, c := range rd.channels {
		last = max(last, c.column)
	}
	return last
}

// badCell words what is wrong in a cell.
func (rd *reader) badCell(column int, text, what string, err error) cells.Fault {
	f := cells.Fault{File: rd.name, Line: rd.row, Column: column + 1, Header: rd.names[column],
		Problem: "read " + quantity.Quote(text), Expected: what + " as in the rows above"}
	if text == "" {
		f.Problem = "the cell is empty"
	}
	if q, ok := errors.AsType[*quantity.Error](err); ok {
		f.Do = q.Do
	}
	if v, e := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64); quantity.IsMarker(text) || e == nil && math.Abs(v) >= overload {
		f.Do = "the scope marks overflow or a missing sample this way: lower its sensitivity and capture again"
	}
	return f
}

// overload is what instruments write for a reading that they don't have
// (SCPI-1999, volume 1, 7.2.1.4).
const overload = 9.9e37

// report makes faults of what stood between good rows.
func (rd *reader) report() {
	for _, f := range rd.pending {
		rd.faults.Add(f)
	}
	rd.pending, rd.words = rd.pending[:0], 0
}

// settle fixes the interval from the first rows.
func (rd *reader) settle() {
	early := rd.clock.early
	for _, t := range rd.clock.settle() {
		if t.step == 0 && rd.clock.uneven && paired(early) {
			rd.faults.Add(rd.timeFault(t.line, "there are two rows for each time", "one",
				"the scope saved the least and the greatest sample of each interval: switch its peak detection off, and capture again"))
			continue
		}
		if t.step == 0 && rd.clock.uneven {
			rd.faults.Add(rd.timeFault(t.line, "the times don't go in equal steps", "samples at equal intervals",
				"choose equal intervals in the scope, and capture again"))
			continue
		}
		rd.pause(pause{row: t.row, line: t.line, before: early[t.row-1], after: t, faults: []cells.Fault{rd.offStep(t.step, t.line)}})
	}
}

// paired tells whether each time stands in two rows.
func paired(rows []tick) bool {
	for i := 0; i+3 < len(rows); i += 2 {
		if rows[i].time != rows[i+1].time || rows[i+1].time == rows[i+2].time {
			return false
		}
	}
	return len(rows) > 3
}

func (rd *reader) timeFault(line int, problem, expected, do string) cells.Fault {
	return cells.Fault{File: rd.name, Line: line, Column: rd.time + 1, Header: rd.names[rd.time],
		Problem: problem, Expected: expected, Do: do}
}

// offStep describes a time that comes at another step after the one before.
func (rd *reader) offStep(step float64, line int) cells.Fault {
	f := rd.timeFault(line, fmt.Sprintf("the time goes on by %s s", quantity.Digits(step, 3)),
		fmt.Sprintf("%s s as between the other rows", quantity.Digits(rd.clock.step, 3)),
		"rows are missing, or the capture wasn't sampled evenly: save it again")
	switch {
	case step < 0:
		f.Problem = fmt.Sprintf("the time goes back by %s s", quantity.Digits(-step, 3))
		f.Do = "save each capture in a file of its own"
	case step == 0:
		f.Problem = "the time is the same as in the row above"
	}
	if rd.index {
		f.Problem = fmt.Sprintf("the row numbers go on by %s", quantity.Digits(step, 6))
		f.Expected = "1"
	}
	return f
}
