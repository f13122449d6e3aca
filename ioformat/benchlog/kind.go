package benchlog

import (
	"bytes"
	"slices"

	"fitcoil/ioformat/cells"
)

// IsLog tells from the beginning of a file whether it is meant to be a bench
// log: a header with a frequency stands above a row with a number in that
// column. line is the header's.
func IsLog(start []byte) (line int, ok bool) {
	t, err := cells.NewTable(bytes.NewReader(start), "")
	if err != nil {
		return 0, false
	}
	header, line := t.Header, t.HeaderLine()
	for _, row := range t.Peek(20) {
		i := slices.IndexFunc(header, ofFrequency)
		if i >= 0 && i < len(row) && row[i] != "" && '0' <= row[i][0] && row[i][0] <= '9' {
			return line, true
		}
		if slices.ContainsFunc(row, ofFrequency) { // perhaps there is a title above
			header, line = row, 0
		}
	}
	return 0, false
}
