package benchlog

import (
	"fmt"

	"fitcoil/ioformat/quantity"
)

// tellFewerDigits points at frequencies with fewer decimals than most, where the
// digits tell the uncertainty: spreadsheets leave zeros at the end out.
func (rd *reader) tellFewerDigits() {
	readings := rd.log.Readings
	count, all := map[float64]int{}, 0
	for i := range readings {
		if r := &readings[i]; r.FromDigits && r.Repeats == nil {
			count[r.Uncertainty]++
			all++
		}
	}
	const fewest = 5 // readings that make a habit
	usual := 0.0
	for u, n := range count {
		if 2*n > all {
			usual = u
		}
	}
	if all < fewest || usual == 0 || len(count) == 1 {
		return
	}
	fewer, line := 0, 0
	for i := range readings {
		if r := &readings[i]; r.FromDigits && r.Repeats == nil && r.Uncertainty > 9*usual {
			if fewer++; fewer == 1 {
				line = r.Line
			}
		}
	}
	if fewer > 0 {
		rd.bench.notices.add(line, fmt.Sprintf(
			"the frequency has fewer digits than most, and counts for less%s; if a zero at the end was left out, write it, or give the uncertainty in the column %s",
			inAll(fewer), quantity.Quote("frequency ±")))
	}
}

// inAll says how many rows a notice is about, where it isn't the one that it is at.
func inAll(rows int) string {
	if rows == 1 {
		return ""
	}
	return fmt.Sprintf(" (such rows in all: %d)", rows)
}
