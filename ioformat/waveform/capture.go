package waveform

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/big"
	"math/bits"
	"slices"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/ringing"
)

// Options steers Read. The zero value works.
type Options struct {
	// Column is the voltage to read, by name, number (from 1) or letter; ""
	// means all.
	Column string
	// Interval is the time between samples in s, where the file doesn't say;
	// 0 means that it does.
	Interval float64
	// Progress is called now and then with the bytes read and the size of the
	// file, 0 when unknown.
	Progress func(read, size int64)
}

// Capture is one record of one voltage.
type Capture struct {
	Name      string
	Signal    ringing.Signal // the voltages in V, or in Unit
	Column    string         // header or letter of the voltage's column
	Call      string         // what Options.Column calls the column
	Unit      string         // "V", another unit as written, or "" when none is named
	FirstLine int            // of the table
	Segment   int            // from 1, of a file that holds several; else 0
	Title     string         // names the column by its header and its letter, as messages do
	Notes     []string       // what was assumed
}

// File is what a file holds: captures, or a sweep.
type File struct {
	Captures []*Capture
	Sweep    *Sweep
}

// Read reads the captures of a file, segment by segment, in each the voltages
// in the order of their columns; name is what messages call the file. The
// error is a [cells.Faults] when the file or an option is at fault, else what
// r failed with.
func Read(r io.Reader, name string, opt Options) (*File, error) {
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
	if sweep, fault := rd.frequencies(); fault != nil {
		return nil, rd.refuse(*fault)
	} else if sweep {
		return rd.sweep(text)
	}
	if fault := rd.prepare(); fault != nil {
		return nil, rd.refuse(*fault)
	}
	rd.allocate(h)
	if err := rd.rows(text, rd.take, rd.lastLine); err != nil {
		return nil, err
	}
	rd.finish()
	if err := rd.faults.Err(); err != nil {
		return nil, err
	}
	return rd.file(), nil
}

// prepare settles the roles of the columns, and their units.
func (rd *reader) prepare() *cells.Fault {
	role, fault := rd.assign(rd.opt.Column)
	if fault != nil {
		return fault
	}
	rd.roles = role
	rd.setOrigin()
	if fault := rd.setInterval(); fault != nil {
		return fault
	}
	rd.slot = make([]int8, mostColumns)
	for i := range rd.slot {
		rd.slot[i] = -1
	}
	for k := range rd.channels {
		c := &rd.channels[k]
		rd.scaleCounts(c, k, len(rd.channels))
		rd.slot[c.column] = int8(k)
	}
	rd.volts = make([]float64, len(rd.channels))
	return nil
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

	unknown    *cells.Fault // why there is no interval, told when the rows are counted
	origin     *big.Float   // of times that count from long ago, else nil
	frequency  int          // column of frequencies of a sweep, −1 if none
	slot       []int8       // of each column, its place among the channels, or −1
	volts      []float64    // of the present row
	samples    [][]float64  // of each channel
	clock      clock
	breaks     []pause
	moreBreaks int     // beyond those kept
	refined    float64 // s, stated interval that agrees with the times, or 0
	faults     cells.Faults
	pending    []cells.Fault // of rows behind which no good one has come yet
	words      int           // of pending: lines without any number
	row        int           // line of the present row
	notes      []string
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
	rd.samples = make([][]float64, len(rd.channels))
	for k := range rd.samples {
		rd.samples[k] = make([]float64, 0, min(rows+16, most/len(rd.channels)))
	}
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
	f, ok := cells.Damage(err)
	if !ok {
		f.Problem = err.Error()
	}
	return rd.refuse(f)
}

// noTable describes a file in which no table was found.
func noTable(h head) cells.Fault {
	f := cells.Fault{Problem: "no table of numbers was found", Expected: "rows with a voltage each, mostly beside its time",
		Do: "save the capture as CSV with its samples, not as a picture or a set-up"}
	if len(h.lines) == 1 && blank(h.lines[0]) {
		f.Problem = "the file is empty"
		return f
	}
	for i, line := range h.lines {
		for _, d := range dialects() {
			row := d.split(line)
			if s, _ := d.numeric(row); bits.OnesCount64(uint64(s)) >= manyCells {
				f.Line, f.Problem = i+1, fmt.Sprintf("the line holds %d cells, most of them numbers", len(row))
				f.Expected = "a row for each sample"
				f.Do = "write each sample on a line of its own"
				return f
			}
			if d.delimiter != 0 && len(row) > 1 && d.withUnits(row) {
				f.Line, f.Problem = i+1, "units stand behind the numbers: "+quantity.Quote(quantity.Trim(line))
				f.Expected = "numbers alone, and their units in the header"
				f.Do = "write the units into the header, as in Time [s],CH1 [V], and numbers without them below"
				return f
			}
		}
	}
	if d, columns := guess(h.lines); bits.OnesCount64(uint64(columns)) > 1 {
		rows := 0
		for _, line := range h.lines {
			if s, _ := d.numeric(d.split(line)); s&columns == columns {
				rows++
			}
		}
		if rows < fewestRows {
			f.Problem, f.Expected = "the table has "+quantity.Count(rows, "row"), fmt.Sprintf("at least %d", fewestRows)
		}
	}
	return f
}

// manyCells is a number of cells of a line that holds a whole record.
const manyCells = 32

// withUnits tells whether all cells are times or voltages with their unit.
func (d dialect) withUnits(row []string) bool {
	for _, c := range row {
		_, time := quantity.Form{Dimension: quantity.Time, Mark: d.mark}.Parse(c)
		_, voltage := quantity.Form{Dimension: quantity.Voltage, Mark: d.mark}.Parse(c)
		if time != nil && voltage != nil {
			return false
		}
	}
	return true
}

// file puts together what was read.
func (rd *reader) file() *File {
	f := &File{}
	parts := rd.parts()
	for i, p := range parts {
		for k, c := range rd.channels {
			w := &Capture{
				Name: rd.name,
				Signal: ringing.Signal{
					Start:               p.clock.start(),
					Interval:            p.clock.interval(),
					IntervalUncertainty: p.clock.uncertainty(),
					Samples:             rd.samples[k][p.from:p.to],
				},
				Column:    quantity.Visible(rd.names[c.column]),
				Call:      rd.call(c.column),
				Unit:      quantity.Visible(c.unit),
				FirstLine: rd.first + 1,
				Notes:     slices.Clone(rd.notes),
				Title:     quantity.Visible(rd.title(c.column)),
			}
			if w.Column == "" {
				w.Column = "column " + cells.Letter(c.column+1)
			}
			if len(parts) > 1 {
				w.Segment = i + 1
			}
			f.Captures = append(f.Captures, w)
		}
	}
	return f
}

// assumed notes what a careful reader would ask about.
func (rd *reader) assumed(format string, args ...any) {
	rd.notes = append(rd.notes, fmt.Sprintf(format, args...))
}
