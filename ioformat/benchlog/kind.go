package benchlog

import (
	"bytes"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// IsLog tells from the beginning of a file whether it is meant to be a bench
// log: a header with a frequency stands above a row with a number in that
// column. What has amplitudes alone beside is rather a sweep of the drive. line
// is the header's; 0 when it isn't on top.
func IsLog(start []byte) (line int, ok bool) {
	t, err := cells.NewTable(bytes.NewReader(start), "")
	if err != nil {
		return 0, false
	}
	header, line := t.Header, t.HeaderLine()
	for _, row := range t.Peek(20) {
		i := slices.IndexFunc(header, func(h string) bool { return ofFrequency(h) && h != "" && !isDigit(h[0]) })
		if i >= 0 && i < len(row) && row[i] != "" && isDigit(row[i][0]) {
			return line, !ofSweep(header)
		}
		header, line = row, 0 // perhaps there was a title above
	}
	return 0, false
}

// ofSweep says whether a header with a frequency has amplitudes beside it, and
// nothing that only a log has.
func ofSweep(header []string) bool {
	amplitudes := 0
	for _, h := range header {
		name, unit := cells.SplitUnit(h)
		d, _ := quantity.DimensionOf(unit)
		col, known := columnNamed(name)
		switch {
		case strings.Contains(name, "±"):
			return false
		case h == "" || ofFrequency(h):
		case known && col == amplitude, d == quantity.Voltage, strings.HasPrefix(strings.ToLower(unit), "db"):
			amplitudes++
		case known, d == quantity.Capacitance:
			return false
		}
	}
	return amplitudes > 0
}

// IsSweep tells whether the rows are a sweep of the drive across one resonance, and no
// readings of it: at least five frequencies of one state, each above the one before (or
// each below), whose amplitudes rise to a peak and fall again. Repeats of one reading
// scatter instead, and their amplitudes hardly change.
func (l *Log) IsSweep() bool {
	const fewest, leastPeak = 5, 1.3 // rows; the peak over the smaller end
	n := len(l.Readings)
	if n < fewest || l.Count() != n {
		return false
	}
	up := l.Readings[n-1].Frequency > l.Readings[0].Frequency
	peak := 0
	for i := range l.Readings {
		r := &l.Readings[i]
		switch {
		case math.IsNaN(r.Amplitude) || r.Condition() != l.Readings[0].Condition() || len(r.Parts) > 0 || r.Clip:
			return false
		case i > 0 && (r.Frequency == l.Readings[i-1].Frequency || (r.Frequency > l.Readings[i-1].Frequency) != up):
			return false
		case r.Amplitude > l.Readings[peak].Amplitude:
			peak = i
		}
	}
	top := l.Readings[peak].Amplitude
	if peak == 0 || peak == n-1 || !(top > leastPeak*l.Readings[0].Amplitude && top > leastPeak*l.Readings[n-1].Amplitude) {
		return false
	}
	for i := 1; i < n; i++ { // but for scatter of a twentieth
		rise := l.Readings[i].Amplitude - l.Readings[i-1].Amplitude
		if i <= peak && rise < -0.05*top || i > peak && rise > 0.05*top {
			return false
		}
	}
	return true
}
