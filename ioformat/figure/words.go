package figure

import (
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/quantities"
)

// empty is f with nothing drawn, and why.
func empty(f Figure, why string) Figure {
	f.Alt, f.Panels = why, []chart.Panel{{Empty: why}}
	return f
}

// fixed writes v with a number of decimals, for tables and sentences.
func fixed(v float64, decimals int) string {
	if !quantities.Finite(v) {
		return "-"
	}
	s := quantity.Decimals(v, decimals)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// lines names the log's lines of readings: "line 4", "lines 4, 7 and 9".
func lines(list []reading) string {
	var n []int
	for _, r := range list {
		n = append(n, r.Line)
	}
	return wording.Lines(n)
}

// estimate writes one with its ±.
func estimate(e *quantities.Estimate) string {
	return quantity.Format(e.Value, e.Uncertainty, quantity.BaseUnit(e.Unit)).String()
}
