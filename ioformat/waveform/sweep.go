package waveform

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/resonance"
)

// Sweep is a table of frequencies and amplitudes of a driven coil.
type Sweep struct {
	Name   string
	Column string // header or letter of the amplitudes' column
	Unit   string // of the amplitudes, "" when none is named; "1" for ratios that were in dB
	Points []resonance.Point
	Notes  []string // what was assumed
}

// mostSweepRows is more than anyone sweeps by hand or instrument.
const mostSweepRows = 100000

// frequencies tells whether the table is a sweep: a column of frequencies with
// their amplitudes. That of a spectrum is refused.
func (rd *reader) frequencies() (bool, *cells.Fault) {
	if f := rd.spectrum(); f != nil {
		return false, f
	}
	rd.frequency = -1
	for _, i := range rd.columnList() {
		name, unit := rd.header(i)
		_, isFrequency := frequencyUnit(unit)
		if isFrequency || frequencyName(name) {
			rd.frequency = i
			break
		}
	}
	return rd.frequency >= 0 && !rd.hasTimes(), nil
}

// header returns name and unit of column i.
func (l *layout) header(i int) (name, unit string) {
	name, unit = splitHeader(l.names[i])
	return name, cmp.Or(l.units[i], unit)
}

func frequencyName(name string) bool {
	switch strings.Trim(name, commentMarks) {
	case "frequency", "freq", "f", "frequenz", "fréquence", "frecuencia", "frequenza":
		return true
	}
	return false
}

// hasTimes tells whether a column is one of times: a counter beside a trace is
// no sweep.
func (rd *reader) hasTimes() bool {
	for _, i := range rd.columnList() {
		name, unit := rd.header(i)
		_, isFrequency := frequencyUnit(unit)
		if _, isTime := timeUnit(rd.unitOf(i)); isTime || timeName(name) && !isFrequency {
			return true
		}
	}
	return false
}

// spectrum refuses what was computed from a trace. Its lines are as wide as
// the record is short, whatever the coil does.
func (rd *reader) spectrum() *cells.Fault {
	s, v, ok := horizontalUnit(rd.settingList)
	if rd.hasTimes() || ok && looksLikeTime(v.text) {
		return nil
	}
	refused := func(line, column int, what string) *cells.Fault {
		return &cells.Fault{Line: line, Column: column, Problem: "this is a spectrum: " + quantity.Quote(what), Expected: "a trace in time, or a sweep of the drive's frequency",
			Do: "save the channel itself, in time, with the scope's spectrum switched off"}
	}
	says := func(text string) bool {
		text = strings.ToLower(text)
		return strings.Contains(text, "fft") || strings.Contains(text, "spectrum")
	}
	if i := slices.IndexFunc(rd.names, says); i >= 0 {
		return refused(rd.first, i+1, rd.names[i])
	}
	for _, s := range rd.settingList {
		for _, v := range s.behind {
			if says(v.text) {
				return refused(v.line, v.column, s.text+" "+v.text)
			}
		}
	}
	if _, isFrequency := frequencyUnit(v.text); ok && isFrequency {
		return refused(v.line, v.column, s.text+" "+v.text)
	}
	return nil
}

// sweep reads the rows of a sweep.
func (rd *reader) sweep(r io.Reader) (*File, error) {
	column, fault := rd.amplitudes()
	if fault != nil {
		return nil, rd.refuse(*fault)
	}
	hertz, fault := rd.hertz()
	if fault != nil {
		return nil, rd.refuse(*fault)
	}
	size, unit, form := rd.amplitudeUnit(column)
	s := &Sweep{Name: rd.name, Column: quantity.Visible(rd.names[column]), Unit: quantity.Visible(unit)}
	if s.Column == "" {
		s.Column = "column " + cells.Letter(column+1)
	}
	over := 0 // the first line that is too many
	take := func(b []byte, line int) {
		text := string(b)
		if blank(text) {
			return
		}
		if len(s.Points) == mostSweepRows {
			over = cmp.Or(over, line)
		} else if p, ok := rd.point(text, line, column, hertz, size, form); ok {
			s.Points = append(s.Points, p)
		}
	}
	if err := rd.rows(r, take, take); err != nil {
		return nil, err
	}
	if over > 0 {
		return nil, rd.refuse(cells.Fault{Line: over, Problem: fmt.Sprintf("the sweep has more than %d rows", mostSweepRows), Do: "sweep around the resonance alone"})
	}
	if f := rd.evenFromZero(s); f != nil {
		return nil, rd.refuse(*f)
	}
	if len(rd.pending) > 0 && rd.words == len(rd.pending) && rd.pending[0].Line > rd.row {
		rd.assumed("the lines from %d on are not rows of the table: left out", rd.pending[0].Line)
	} else {
		rd.report()
	}
	if err := rd.faults.Err(); err != nil {
		return nil, err
	}
	s.Notes = rd.notes
	return &File{Sweep: s}, nil
}

// point reads one row; rd.row is the last that is one.
func (rd *reader) point(text string, line, amplitude int, hertz, size float64, decibel bool) (p resonance.Point, ok bool) {
	row := rd.split(text)
	here := rd.row
	rd.row = line
	defer func() {
		if !ok {
			rd.row = here
		}
	}()
	form := quantity.Form{Mark: rd.mark}
	parse := func(column int, what string) (q quantity.Quantity, ok bool) {
		if column >= len(row) {
			rd.pending = append(rd.pending, rd.short(row, max(amplitude, rd.frequency)))
			return q, false
		}
		q, err := form.Parse(row[column])
		if err == nil && q.Value <= 0 && !(decibel && column != rd.frequency) {
			err = &quantity.Error{Read: row[column], Expected: what, Do: "leave the row out"}
		}
		if err != nil {
			f := rd.badCell(column, row[column], what, err)
			if q.Value <= 0 && f.Do == "leave the row out" {
				f.Expected = what + " above 0"
			}
			rd.pending = append(rd.pending, f)
			if s, _ := rd.numeric(row); s&rd.columns == 0 {
				rd.words++
			}
		}
		return q, err == nil
	}
	f, ok := parse(rd.frequency, "a frequency")
	if !ok {
		return p, false
	}
	a, ok := parse(amplitude, "an amplitude")
	if !ok {
		return p, false
	}
	p = resonance.Point{Frequency: f.Value * hertz, FrequencyDigit: f.LastDigit * hertz, Amplitude: a.Value * size, AmplitudeDigit: a.LastDigit * size}
	if decibel {
		p.Amplitude = math.Pow(10, a.Value/20)
		p.AmplitudeDigit = p.Amplitude * a.LastDigit * math.Ln10 / 20
	}
	return p, true
}

// hertz is the size of the unit of the frequencies.
func (rd *reader) hertz() (float64, *cells.Fault) {
	_, unit := rd.header(rd.frequency)
	if size, ok := frequencyUnit(unit); ok {
		return size, nil
	}
	f := &cells.Fault{Line: max(1, rd.first), Column: rd.frequency + 1, Header: rd.names[rd.frequency],
		Problem: "the frequencies name no unit", Expected: "Hz, kHz or MHz in the header", Do: "write it there, as in frequency [MHz]"}
	if unit != "" {
		f.Problem = "the frequencies have the unit " + quantity.Quote(unit)
	}
	return 0, f
}

// amplitudes chooses the column of the amplitudes: the one asked for, or the
// only one that is no phase; a gain before the amplitude of its drive.
func (rd *reader) amplitudes() (int, *cells.Fault) {
	if rd.opt.Column != "" {
		r := roles{time: rd.frequency}
		if f := rd.wanted(&r, rd.opt.Column); f != nil {
			f.Problem = strings.Replace(f.Problem, "voltages", "amplitudes", 1)
			return 0, f
		}
		return r.channels[0].column, nil
	}
	var left, gains []int
	for _, i := range rd.columnList() {
		name, unit := rd.header(i)
		if i == rd.frequency || strings.Contains(name, "phase") || unit == "°" || unit == "deg" || unit == "rad" || indexName(name) || rd.counts(i) {
			continue
		}
		left = append(left, i)
		if strings.Contains(name, "gain") || strings.Contains(name, "ratio") {
			gains = append(gains, i)
		}
	}
	switch {
	case len(left) == 1:
		return left[0], nil
	case len(gains) == 1:
		rd.assumed("the amplitude is taken from %s", rd.title(gains[0]))
		return gains[0], nil
	case len(left) == 0:
		return 0, &cells.Fault{Line: max(1, rd.first), Problem: "the table has frequencies and no column of amplitudes", Expected: "an amplitude beside each frequency",
			Do: "add it, or use fitcoil fit if this is a log"}
	}
	return 0, &cells.Fault{Line: max(1, rd.first), Problem: fmt.Sprintf("%d columns could be the amplitude: %s", len(left), rd.describe(left)),
		Expected: "one", Do: "choose one, as in --column " + rd.call(left[0])}
}

// amplitudeUnit returns the size of the unit of the amplitudes, what they are
// given in, and whether that is in decibel.
func (rd *reader) amplitudeUnit(i int) (size float64, unit string, decibel bool) {
	_, unit = rd.header(i)
	if strings.HasPrefix(unit, "dB") {
		return 1, "1", true
	}
	if v, ok := voltageUnit(unit); ok {
		return v, "V", false
	}
	return 1, unit, false
}

// evenFromZero refuses what looks like a spectrum though nothing calls it one:
// many frequencies at equal steps from zero on.
func (rd *reader) evenFromZero(s *Sweep) *cells.Fault {
	const many = 64
	n := len(s.Points)
	if n < many {
		return nil
	}
	step := (s.Points[n-1].Frequency - s.Points[0].Frequency) / float64(n-1)
	for i, p := range s.Points {
		if math.Abs(p.Frequency-s.Points[0].Frequency-float64(i)*step) > 0.5*step+p.FrequencyDigit {
			return nil
		}
	}
	if s.Points[0].Frequency <= 2*step+s.Points[0].FrequencyDigit {
		return &cells.Fault{File: rd.name, Line: rd.first + 1, Column: rd.frequency + 1, Header: rd.names[rd.frequency],
			Problem:  "the frequencies go from zero in equal steps: this is a spectrum",
			Expected: "a trace in time, or a sweep of the drive's frequency around the resonance",
			Do:       "save the channel itself, in time, with the scope's spectrum switched off"}
	}
	rd.assumed("the frequencies go in equal steps: if they are a spectrum of a trace and no sweep of the drive, the width is that of the record, not the coil's")
	return nil
}
