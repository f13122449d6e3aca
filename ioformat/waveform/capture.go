package waveform

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/ringing"
)

// Options steers Read. The zero value works.
type Options struct {
	// Column is the voltage to read, by name, number (from 1) or letter; ""
	// means the only one.
	Column string
	// Interval is the time between samples in s, where the file doesn't say;
	// 0 means that it does.
	Interval float64
	// Progress is called now and then with the bytes read and the size of the
	// file, 0 when unknown.
	Progress func(read, size int64)
}

// Capture is what a file holds.
type Capture struct {
	Name      string
	Signal    ringing.Signal // the voltages in V, or in Unit
	Column    string         // header or letter of the voltage's column
	Unit      string         // "V", another unit as written, or "" when none is named
	FirstLine int            // of the table
	Notes     []string       // what was assumed
}

// Read reads a capture; name is what messages call the file. The error is a
// [cells.Faults] when the file or an option is at fault, else what r failed
// with.
func Read(r io.Reader, name string, opt Options) (*Capture, error) {
	rd := &reader{name: name, opt: opt, size: sizeOf(r)}
	text, start, err := decode(&counter{r: r, rd: rd})
	if err != nil {
		return nil, rd.unreadable(err)
	}
	h := newHead(start, len(start) < headSize)
	table, ok := findTable(h)
	if !ok {
		return nil, rd.refuse(noTable(h))
	}
	rd.layout = table
	role, fault := table.assign(opt.Column)
	if fault != nil {
		return nil, rd.refuse(*fault)
	}
	rd.roles = role
	if fault := rd.setInterval(); fault != nil {
		return nil, rd.refuse(*fault)
	}
	rd.allocate(h)
	if err := rd.rows(text); err != nil {
		return nil, rd.unreadable(err)
	}
	rd.finish()
	if err := rd.faults.Err(); err != nil {
		return nil, err
	}
	return rd.capture(), nil
}

// reader is the state of one reading.
type reader struct {
	name string
	opt  Options
	layout
	roles
	stated  stated
	size    int64 // of the file, 0 when unknown
	read    int64
	failure error // of the file's reader

	samples []float64
	clock   clock
	faults  cells.Faults
	pending []cells.Fault // of rows behind which no good one has come yet
	words   int           // of pending: lines without any number
	row     int           // line of the present row
	notes   []string
}

// sizeOf returns the size of a file or of what is in memory, 0 when unknown.
func sizeOf(r io.Reader) int64 {
	switch r := r.(type) {
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := r.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	case interface{ Len() int }:
		return int64(r.Len())
	}
	return 0
}

// counter tells the caller how far reading has come.
type counter struct {
	r    io.Reader
	rd   *reader
	told int64
}

func (c *counter) Read(b []byte) (int, error) {
	const often = 1 << 22
	n, err := c.r.Read(b)
	c.rd.read += int64(n)
	if err != nil && !errors.Is(err, io.EOF) {
		c.rd.failure = err
	}
	if c.rd.opt.Progress != nil && (c.rd.read-c.told >= often || err != nil) {
		c.told = c.rd.read
		c.rd.opt.Progress(c.rd.read, c.rd.size)
	}
	return n, err
}

// allocate makes room for as many samples as the rest of the file may hold.
func (rd *reader) allocate(h head) {
	const most = 1 << 28
	rows := len(h.lines) - rd.first
	if rd.size > 0 && h.bytes > 0 {
		rows = int(float64(rd.size) / float64(h.bytes) * 1.03 * float64(len(h.lines)))
	}
	rd.samples = make([]float64, 0, min(rows+16, most))
}

func (rd *reader) refuse(f cells.Fault) error {
	f.File = rd.name
	rd.faults.Add(f)
	return rd.faults.Err()
}

// unreadable turns an error of reading into one that names the file. What the
// decoder has to say of the file's bytes is a fault of the file.
func (rd *reader) unreadable(err error) error {
	if rd.failure != nil {
		return fmt.Errorf("%s: %w", rd.name, rd.failure)
	}
	f := cells.Fault{Problem: err.Error()}
	var line int
	if n, _ := fmt.Sscanf(f.Problem, "line %d:", &line); n == 1 {
		_, f.Problem, _ = strings.Cut(f.Problem, ": ")
		f.Line = line
	}
	return rd.refuse(f)
}

// noTable describes a file in which no table was found.
func noTable(h head) cells.Fault {
	f := cells.Fault{Problem: "no table of numbers was found", Expected: "rows with a voltage each, mostly beside its time",
		Do: "save the capture as CSV with its samples, not as a picture or a set-up"}
	if len(h.lines) == 1 && blank(h.lines[0]) {
		f.Problem = "the file is empty"
	}
	return f
}

// capture puts together what was read.
func (rd *reader) capture() *Capture {
	c := &Capture{
		Name: rd.name,
		Signal: ringing.Signal{
			Start:               rd.clock.start(),
			Interval:            rd.clock.interval(),
			IntervalUncertainty: rd.clock.uncertainty(),
			Samples:             rd.samples,
		},
		Column:    rd.names[rd.voltage],
		Unit:      rd.unit,
		FirstLine: rd.first + 1,
		Notes:     rd.notes,
	}
	if c.Column == "" {
		c.Column = "column " + cells.Letter(rd.voltage+1)
	}
	return c
}

// assumed notes what a careful reader would ask about.
func (rd *reader) assumed(format string, args ...any) {
	rd.notes = append(rd.notes, fmt.Sprintf(format, args...))
}

// mustBeSeconds is the interval in an unnamed unit below which only seconds
// make sense: in ms it would be more than ten samples in a nanosecond, which
// scopes on a bench don't take (common practice).
const mustBeSeconds = 1e-7

// setInterval settles where the interval comes from.
func (rd *reader) setInterval() *cells.Fault {
	rd.stated = rd.layout.interval()
	given := rd.opt.Interval
	if given < 0 || math.IsNaN(given) || math.IsInf(given, 0) {
		return &cells.Fault{Problem: fmt.Sprintf("the sample interval is given as %g s", given), Expected: "a time above 0"}
	}
	if rd.time >= 0 && !rd.index {
		rd.clock.given = given
		return rd.setTimeUnit()
	}
	switch s := rd.stated; {
	case given > 0:
		rd.clock.given = given
	case s.line == 0:
		return &cells.Fault{Line: rd.first + 1, Problem: "the file has neither a column of times nor a sample interval",
			Do: "give the interval, as in --interval 4ns"}
	case !s.named && s.interval >= mustBeSeconds:
		return rd.unitless(s)
	default:
		rd.clock.given = s.interval
		if !s.named {
			rd.assumed("the sample interval %s in line %d names no unit: taken as seconds", quantity.Quote(s.text), s.line)
		}
	}
	rd.clock.byIndex = true
	rd.seconds = 1
	return nil
}

func (rd *reader) unitless(s stated) *cells.Fault {
	return &cells.Fault{Line: s.line, Column: s.column, Problem: "read " + quantity.Quote(s.text),
		Expected: "a sample interval with its unit (s, ms, µs, ns), or a rate in Sa/s",
		Do:       "give the interval, as in --interval 4ns"}
}

// setTimeUnit settles the unit of the times.
func (rd *reader) setTimeUnit() *cells.Fault {
	if !math.IsNaN(rd.seconds) {
		return nil
	}
	v := rd.values(rd.time)
	step := (v[len(v)-1] - v[0]) / float64(len(v)-1)
	reference := rd.stated.interval
	if !rd.stated.named {
		reference = 0
	}
	if rd.opt.Interval > 0 {
		reference = rd.opt.Interval
	}
	for _, size := range []float64{1, 1e-3, 1e-6, 1e-9} {
		if reference > 0 && math.Abs(step*size-reference) < 0.1*reference {
			rd.seconds = size
			return nil
		}
	}
	if step < mustBeSeconds {
		rd.seconds = 1
		rd.assumed("the times name no unit: taken as seconds")
		return nil
	}
	return &cells.Fault{Line: rd.first + 1, Column: rd.time + 1, Problem: fmt.Sprintf("the times go in steps of %.3g and name no unit", step),
		Expected: "a unit in the header, as in time [µs]",
		Do:       "write it there, or give the interval, as in --interval 4ns"}
}
