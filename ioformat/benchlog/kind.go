package benchlog

import (
	"bytes"
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
		name, unit, _ := cells.SplitUnit(h)
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
