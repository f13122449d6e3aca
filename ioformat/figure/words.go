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

// box is the outline of a rectangle.
func box(left, right, bottom, top float64) []chart.XY {
	return []chart.XY{{X: left, Y: bottom}, {X: right, Y: bottom}, {X: right, Y: top}, {X: left, Y: top}}
}

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
