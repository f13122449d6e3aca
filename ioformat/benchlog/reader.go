package benchlog

import (
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// reader turns the rows of a table into readings.
type reader struct {
	*columns
	bench *bench
	log   *Log
	// volts tells how the cells of the column amplitude are written: 0 not
	// known yet, 1 as plain numbers, 2 with a unit of voltage.
	volts        int
	splits       *splits
	each, robust bool
	pool         *readings.Pool // of the readings, once there are too many

	qualities map[string]readQuality // the last read, by the name of the core
	pulls     [2]pulls               // with a quality factor assumed, and read
	clock     clock
}

// blank says whether a cell holds nothing.
func blank(text string) bool { return text == "" || text == "-" }

// row reads the current row. What is wrong is reported to the table.
func (rd *reader) row() {
	if rd.headerAgain() {
		rd.Faults.Add(cells.Fault{File: rd.bench.notices.file, Line: rd.Line(), Problem: "this row is the header again",
			Do: "if two logs of one session were joined, delete it; two sessions belong in two files"})
		return
	}
	r := readings.Reading{Line: rd.Line(), Note: strings.Clone(rd.text(note)), Amplitude: math.NaN(), Quality: math.NaN(), Use: true}
	rd.splits.see()
	ok := rd.frequency(&r)
	s, read := rd.bench.state(rd.columns)
	r.State = s
	ok = rd.amplitude(&r) && ok
	ok = rd.quality(&r) && ok
	ok = rd.drive(&r) && ok
	ok = rd.use(&r) && ok
	at, timed := rd.time()
	if !ok || !read || !timed {
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
	return slices.EqualFunc(rd.Header, rd.Row(), strings.EqualFold)
}

// frequency reads the frequency and its standard uncertainty.
func (rd *reader) frequency(r *readings.Reading) bool {
	rd.lacksUnit(frequencyPM, rd.text(frequencyPM))
	if rd.unitless[frequency] {
		return false
	}
	const do = "write what was read, or delete the row"
	if text := rd.text(frequency); blank(text) || quantity.IsMarker(text) {
		return rd.refuse(frequency, text, "a frequency in each row", do)
	}
	f, ok := rd.quantity(frequency)
	if !ok {
		return false
	}
	if f.Value <= 0 {
		return rd.refuse(frequency, f.Text, "a frequency above 0", do)
	}
	r.Frequency = f.Value
	if blank(rd.text(frequencyPM)) {
		r.Uncertainty, r.FromDigits = f.DigitUncertainty(), true
		return true
	}
	u, ok := rd.quantity(frequencyPM)
	if !ok {
		return false
	}
	r.Uncertainty = u.Value
	if u.Unit.Dimension == quantity.Fraction {
		r.Uncertainty *= f.Value
	}
	switch {
	case r.Uncertainty <= 0:
		return rd.refuse(frequencyPM, u.Text, "a standard uncertainty above 0", "leave the cell empty to have it taken from the digits of the frequency")
	case r.Uncertainty >= r.Frequency:
		return rd.refuse(frequencyPM, u.Text, "an uncertainty below the frequency itself", "check the unit")
	}
	return true
}

// amplitude reads the pickup amplitude: a number in whichever unit, the same
// in all rows.
func (rd *reader) amplitude(r *readings.Reading) bool {
	text := rd.text(amplitude)
	if blank(text) {
		return true
	}
	q, err := rd.Parse(text, quantity.Form{})
	how := 1
	if volts, other := rd.Parse(text, quantity.Form{Dimension: quantity.Voltage}); err != nil && other == nil {
		q, how, err = volts, 2, nil
	}
	switch {
	case err != nil:
		rd.Report(rd.at[amplitude], err)
		return false
	case rd.volts != 0 && rd.volts != how:
		return rd.refuse(amplitude, text, "all amplitudes with a unit, or all without", "only amplitudes in one unit can be compared")
	case q.Value < 0:
		return rd.refuse(amplitude, text, "an amplitude of 0 or more", "decibels have to be converted: 10^(dB/20)")
	}
	r.Amplitude, rd.volts = q.Value, how
	return true
}

// quality reads the quality factor.
func (rd *reader) quality(r *readings.Reading) bool {
	if blank(rd.text(quality)) {
		return true
	}
	q, ok := rd.quantity(quality)
	if ok && q.Value <= 0 {
		return rd.refuse(quality, q.Text, "a quality factor above 0", "leave the cell empty when there was none")
	}
	r.Quality = q.Value
	return ok
}

// use reads whether the row takes part in the fit.
func (rd *reader) use(r *readings.Reading) bool {
	text := rd.text(use)
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
	return rd.refuse(use, text, "yes or no", do)
}
