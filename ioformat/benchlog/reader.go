package benchlog

import (
	"io"
	"io/fs"
	"math"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// reader turns the rows of a table into readings.
type reader struct {
	table   *cells.Table
	columns *columns
	bench   *bench
	log     *Log
	// volts tells how the cells of the column amplitude are written: 0 not
	// known yet, 1 as plain numbers, 2 with a unit of voltage.
	volts        int
	splits       *splits
	size         int64 // bytes of the file; 0 when not known
	each, robust bool
	pool         *readings.Pool // of the readings, once there are too many

	qualities map[string]readQuality // the last read, by the name of the core
	pulls     [2]pulls               // with a quality factor assumed, and read
	clock     clock
}

// sizeOf returns how many bytes r will give, 0 when it can't tell.
func sizeOf(r io.Reader) int64 {
	switch r := r.(type) {
	case interface{ Len() int }:
		return int64(r.Len())
	case interface{ Stat() (fs.FileInfo, error) }:
		if info, err := r.Stat(); err == nil && info.Mode().IsRegular() {
			return info.Size()
		}
	}
	return 0
}

// row reads the current row. What is wrong is reported to the table.
func (rd *reader) row() {
	t, c := rd.table, rd.columns
	if rd.headerAgain() {
		t.Faults.Add(cells.Fault{File: rd.bench.notices.file, Line: t.Line(), Problem: "this row is the header again",
			Do: "if two logs of one session were joined, delete it; two sessions belong in two files"})
		return
	}
	r := readings.Reading{Line: t.Line(), Amplitude: math.NaN(), Quality: math.NaN(), Use: true}
	rd.splits.see(t)
	c.watch(t)
	ok := rd.frequency(&r)
	s, read := rd.bench.state(t, c)
	r.State = s
	ok = rd.amplitude(&r) && ok
	ok = rd.quality(&r) && ok
	ok = rd.drive(&r) && ok
	ok = rd.use(&r) && ok
	at, timed := rd.time()
	ok = timed && ok
	r.Note = strings.Clone(c.text(t, note))
	if !ok || !read {
		return
	}
	second, ok := rd.peaks(&r)
	if !ok {
		return
	}
	rd.keep(r, at)
	if second != nil {
		rd.keep(*second, at)
	}
}

// headerAgain says whether the current row repeats the header.
func (rd *reader) headerAgain() bool {
	for i, header := range rd.table.Header {
		if i >= len(rd.table.Row()) || !strings.EqualFold(header, rd.table.Cell(i)) {
			return false
		}
	}
	return true
}

// frequency reads the frequency and its standard uncertainty.
func (rd *reader) frequency(r *readings.Reading) bool {
	t, c := rd.table, rd.columns
	c.lacksUnit(t, frequencyPM, c.text(t, frequencyPM))
	if c.unitless[frequency] {
		return false
	}
	report := func(col column, read, expected, do string) bool {
		t.Report(c.at[col], &quantity.Error{Read: read, Expected: expected, Do: do})
		return false
	}
	text := c.text(t, frequency)
	if text == "" || text == "-" || quantity.IsMarker(text) {
		return report(frequency, text, "a frequency in each row", "write what was read, or delete the row")
	}
	f, ok := c.quantity(t, frequency)
	if !ok {
		return false
	}
	if f.Value <= 0 {
		return report(frequency, f.Text, "a frequency above 0", "write what was read, or delete the row")
	}
	r.Frequency = f.Value
	text = c.text(t, frequencyPM)
	if text == "" || text == "-" {
		r.Uncertainty, r.FromDigits = f.DigitUncertainty(), true
		return true
	}
	u, ok := c.quantity(t, frequencyPM)
	if !ok {
		return false
	}
	r.Uncertainty = u.Value
	if u.Unit.Dimension == quantity.Fraction {
		r.Uncertainty *= f.Value
	}
	switch {
	case r.Uncertainty <= 0:
		return report(frequencyPM, u.Text, "a standard uncertainty above 0", "leave the cell empty to have it taken from the digits of the frequency")
	case r.Uncertainty >= r.Frequency:
		return report(frequencyPM, u.Text, "an uncertainty below the frequency itself", "check the unit")
	}
	return true
}

// amplitude reads the pickup amplitude: a number in whichever unit, the same
// in all rows.
func (rd *reader) amplitude(r *readings.Reading) bool {
	t, c := rd.table, rd.columns
	text := c.text(t, amplitude)
	if text == "" || text == "-" {
		return true
	}
	mark, err := t.Number(text)
	q, how := quantity.Quantity{}, 1
	if err == nil {
		if q, err = (quantity.Form{Mark: mark}).Parse(text); err != nil {
			volts, other := (quantity.Form{Dimension: quantity.Voltage, Mark: mark}).Parse(text)
			if other == nil {
				q, how, err = volts, 2, nil
			}
		}
	}
	switch {
	case err != nil:
	case rd.volts != 0 && rd.volts != how:
		err = &quantity.Error{Read: text, Expected: "all amplitudes with a unit, or all without", Do: "only amplitudes in one unit can be compared"}
	case q.Value < 0:
		err = &quantity.Error{Read: text, Expected: "an amplitude of 0 or more", Do: "decibels have to be converted: 10^(dB/20)"}
	}
	if err != nil {
		t.Report(c.at[amplitude], err)
		return false
	}
	r.Amplitude, rd.volts = q.Value, how
	return true
}

// quality reads the quality factor.
func (rd *reader) quality(r *readings.Reading) bool {
	t, c := rd.table, rd.columns
	if text := c.text(t, quality); text == "" || text == "-" {
		return true
	}
	q, ok := c.quantity(t, quality)
	if ok && q.Value <= 0 {
		t.Report(c.at[quality], &quantity.Error{Read: q.Text, Expected: "a quality factor above 0", Do: "leave the cell empty when there was none"})
		return false
	}
	r.Quality = q.Value
	return ok
}

// use reads whether the row takes part in the fit.
func (rd *reader) use(r *readings.Reading) bool {
	t, c := rd.table, rd.columns
	text := c.text(t, use)
	switch strings.ToLower(text) {
	case "", "yes", "y", "1", "true":
		return true
	case "no", "n", "0", "false":
		r.Use = false
		return true
	}
	do := ""
	if strings.EqualFold(text, "x") {
		do = "an x could mean ticked or crossed out"
	}
	t.Report(c.at[use], &quantity.Error{Read: text, Expected: "yes or no", Do: do})
	return false
}
