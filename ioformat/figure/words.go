package figure

import (
	"strconv"
	"strings"

	"fitcoil/ioformat/quantity"
)

// unit returns the unit in which values up to most read well.
func unit(most float64, base string) quantity.Unit {
	return quantity.UnitFor(most, 0, base)
}

// axisLabel labels a quantity with its unit: "frequency [MHz]".
func axisLabel(what string, u quantity.Unit) string {
	if u.Symbol == "" {
		return what
	}
	return what + " [" + u.Symbol + "]"
}

// fixed writes v with a number of decimals, for tables and sentences.
func fixed(v float64, decimals int) string {
	if !finite(v) {
		return "-"
	}
	s := quantity.Decimals(v, decimals)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// plural counts things: "1 reading", "3 readings".
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

// lines names the log's lines of readings: "line 4", "lines 4, 7 and 9".
func lines(list []reading) string {
	const most = 8
	var n []string
	for i, r := range list {
		if i == most && len(list) > most+1 {
			n = append(n, strconv.Itoa(len(list)-most)+" more")
			break
		}
		n = append(n, strconv.Itoa(r.Line))
	}
	if len(n) == 1 {
		return "line " + n[0]
	}
	return "lines " + strings.Join(n[:len(n)-1], ", ") + " and " + n[len(n)-1]
}
