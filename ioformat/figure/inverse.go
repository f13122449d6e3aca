package figure

import (
	"fmt"
	"math"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// InverseSquare shows 1/ω² against added capacitance C. A lumped coil lies on the straight
// line L·(C + C₀), which has the slope L and meets the axis at −C₀; a long winding bends a
// little. The line that touches the curve of the bare coil at C = 0 has the effective
// inductance as its slope, and meets the axis at minus the effective capacitance, as
// d(1/ω²)/dC = L_eff there (Rayleigh's principle, docs/mathematics.md).
func InverseSquare(r *model.Result) Figure {
	v := look(r)
	f := Figure{Name: "inverse-square", Title: "Which L and C follow from the added capacitors?"}
	shown, _ := split(v.readings, func(r *reading) bool {
		return quantities.Finite(r.added) && math.IsInf(r.State.Hand, 1) && r.State.Primary.Kind == readings.PrimaryOpen
	})
	own := 0.0
	pair, ok := r.Pair()
	if ok {
		own = pair.Capacitance.Value
	}
	shown, beyond := nearOwn(shown, own)
	most := addedUpTo(shown)
	if most == 0 {
		return empty(f, "Nothing was added in any reading without a hand: frequencies alone fix only the product of L and C.")
	}
	p, ut := v.inversePanel(shown, most, own)
	if ok {
		x0, x1 := -own, math.Min(most, 3*own)
		y1 := pair.Inductance.Value * (x1 + own)
		p.Lines = append(p.Lines, chart.Line{Style: chart.Ink, Dashed: true, Thin: true, Points: []chart.XY{{X: 1e12 * x0}, {X: 1e12 * x1, Y: ut(y1)}}})
		f.Keys = append(f.Keys, chart.Key{Text: "tangent at the bare coil", Style: chart.Ink, Line: true, Dashed: true})
		f.Notes = append(f.Notes, fmt.Sprintf("The slope of the tangent is the effective inductance, %s; it meets the axis at minus the effective capacitance, −(%s).",
			estimate(&pair.Inductance), estimate(&pair.Capacitance)))
		p.Points = append(p.Points, chart.Point{XY: chart.XY{X: 1e12 * x0}, Style: chart.Ink.Shaped(3), Label: "−C"})
	}
	f.Keys = append(v.keys(shown), f.Keys...)
	if len(beyond) > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("Not shown: %s, with so much on the top that the others would lie in the corner.", lines(beyond)))
	}
	f.Panels = []chart.Panel{p}
	f.Notes = append(f.Notes, v.remarks()...)
	f.Alt = fmt.Sprintf("1/ω² of %s against up to %s of added capacitance, which rises nearly in a straight line.", quantity.Count(len(shown), "reading"), quantity.FormatValue(most, 3, "F"))
	if ok {
		f.Alt += fmt.Sprintf(" Effective inductance (slope) %s, effective capacitance (intercept) %s.", estimate(&pair.Inductance), estimate(&pair.Capacitance))
	}
	return f
}

// nearOwn leaves out readings with much more on the top than the coil has itself, where some
// have less.
func nearOwn(list []reading, own float64) (shown, beyond []reading) {
	const much = 12
	if own == 0 {
		return list, nil
	}
	shown, beyond = split(list, func(r *reading) bool { return r.added <= much*own })
	if addedUpTo(shown) == 0 {
		return list, nil
	}
	return shown, beyond
}

// inversePanel draws readings and curves in pF and mH·pF; unit turns s² into the latter.
func (v *view) inversePanel(shown []reading, most, own float64) (p chart.Panel, unit func(float64) float64) {
	const milli, pico = 1e-3, 1e-12
	unit = func(s float64) float64 { return s / (milli * pico) }
	inverse := func(hz float64) float64 { w := 2 * math.Pi * hz; return unit(1 / (w * w)) }
	p = chart.Panel{Height: 210, Rules: []chart.Rule{{At: 0}, {At: 0, Upright: true}}}
	y := span{}
	y.add(0)
	for i := range shown {
		r := &shown[i]
		d := r.point(r.added/pico, inverse(r.Frequency))
		d.Label = ""
		p.Points = append(p.Points, d)
		y.add(d.Y)
	}
	d := v.curves(most)
	for _, k := range d.curves {
		line := chart.Line{Style: k.style}
		for _, q := range k.mean {
			line.Points = append(line.Points, chart.XY{X: q.X / pico, Y: inverse(q.Y)})
		}
		if k.read.high > k.read.low && math.IsInf(k.of.Hand, 1) && k.of.Primary.Kind == readings.PrimaryOpen && len(line.Points) > 0 {
			p.Lines = append(p.Lines, line)
			y.add(line.Points[len(line.Points)-1].Y)
		}
	}
	p.X = chart.Over("added capacitance C [pF]", -own/pico, most/pico, 8)
	p.Y = chart.Over("1/ω² [mH·pF]", y.low, y.high, 6)
	return p, unit
}
