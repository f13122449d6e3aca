package figure

import (
	"math"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// span is the range of what was put into it.
type span struct {
	low, high float64
	any       bool
}

func (s *span) add(values ...float64) {
	for _, v := range values {
		if !quantities.Finite(v) {
			continue
		}
		if !s.any {
			s.low, s.high, s.any = v, v, true
		}
		s.low, s.high = math.Min(s.low, v), math.Max(s.high, v)
	}
}

// largest returns the largest magnitude.
func (s *span) largest() float64 { return math.Max(math.Abs(s.low), math.Abs(s.high)) }

// over is a span of values.
func over(lists ...[]float64) (s span) {
	for _, list := range lists {
		s.add(list...)
	}
	return s
}

// axis is one over s, labelled with the unit, with about n ticks.
func (s *span) axis(what string, u quantity.Unit, n int) chart.Axis {
	return chart.Over(axisLabel(what, u), u.FromSI(s.low), u.FromSI(s.high), n)
}

// plane has the units that a panel's axes are in.
type plane struct{ x, y quantity.Unit }

// xy places what is in SI.
func (p plane) xy(x, y float64) chart.XY { return chart.XY{X: p.x.FromSI(x), Y: p.y.FromSI(y)} }

// line joins points of x and y, which are in SI.
func (p plane) line(style chart.Style, x, y []float64) chart.Line {
	l := chart.Line{Style: style}
	for i := range x {
		l.Points = append(l.Points, p.xy(x[i], y[i]))
	}
	return l
}

// unit returns the unit in which values up to most read well.
func unit(most float64, base string) quantity.Unit { return quantity.UnitFor(most, 0, base) }

// axisLabel labels a quantity with its unit: "frequency [MHz]".
func axisLabel(what string, u quantity.Unit) string {
	if u.Symbol == "" {
		return what
	}
	return what + " [" + u.Symbol + "]"
}

// box is the outline of a rectangle.
func box(left, right, bottom, top float64) []chart.XY {
	return []chart.XY{{X: left, Y: bottom}, {X: right, Y: bottom}, {X: right, Y: top}, {X: left, Y: top}}
}
