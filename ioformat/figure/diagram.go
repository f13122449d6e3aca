package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// diagram is frequency against added capacitance, in SI until it is a panel.
type diagram struct {
	x, y   span // F, Hz
	curves []curve
	points []chart.Point
}

// curve is that of one condition.
type curve struct {
	condition model.Condition
	style     chart.Style
	points    []chart.BandPoint
	mean      []chart.XY
	read      span // added capacitances read in that condition
}

// curves works out all conditions of v from nothing added to most.
func (v *view) curves(most float64) *diagram {
	d := &diagram{}
	d.x.add(0, most)
	for i, c := range v.conditions {
		k := curve{condition: c, style: chart.Style(i)}
		for _, r := range v.readings {
			if int(r.condition) == i {
				k.read.add(r.added)
			}
		}
		for _, a := range k.places(most) {
			s := model.State{Exact: a, Core: c.Core, From: c.From, To: c.To, Hand: c.Hand}
			p := v.result.Frequency(s, nil)
			if !p.Determined {
				continue
			}
			k.mean = append(k.mean, chart.XY{X: a, Y: p.Value})
			k.points = append(k.points, chart.BandPoint{X: a, Low: p.Interval[0], High: p.Interval[1]})
			d.y.add(p.Value)
		}
		d.curves = append(d.curves, k)
	}
	return d
}

// places returns the capacitances to work a curve out at: closer where it bends
// most, with little added, and where its readings begin and end.
func (k *curve) places(most float64) []float64 {
	const n = 24
	list := []float64{0, most}
	for j := 1; j < n; j++ {
		share := float64(j) / n
		list = append(list, most*share*share)
	}
	if k.read.any {
		list = append(list, k.read.low, k.read.high)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// point adds a mark.
func (d *diagram) point(p chart.Point) {
	d.points = append(d.points, p)
	d.x.add(p.X)
	d.y.add(p.Y)
	if p.Low != 0 || p.High != 0 {
		d.y.add(p.Low, p.High)
	}
}

// units returns those that the axes read well in.
func (d *diagram) units() (x, y quantity.Unit) {
	return unit(d.x.largest(), "F"), unit(d.y.largest(), "Hz")
}

// panel puts the diagram into the units of its axes. A band much wider than
// what was read is cut: the readings must stay legible.
func (d *diagram) panel() chart.Panel {
	ux, uy := d.units()
	low, high := d.y.low, d.y.high
	room := high - low
	for _, k := range d.curves {
		for _, b := range k.points {
			d.y.add(math.Max(b.Low, low-room/2), math.Min(b.High, high+room/2))
		}
	}
	p := chart.Panel{Height: 230}
	p.X = chart.Over(axisLabel("added capacitance", ux), ux.FromSI(d.x.low), ux.FromSI(d.x.high), 8)
	p.Y = chart.Over(axisLabel("frequency", uy), uy.FromSI(d.y.low), uy.FromSI(d.y.high), 7)
	for _, k := range d.curves {
		if len(k.mean) == 0 {
			continue
		}
		band := chart.Band{Style: k.style}
		for _, b := range k.points {
			band.Points = append(band.Points, chart.BandPoint{X: ux.FromSI(b.X), Low: uy.FromSI(b.Low), High: uy.FromSI(b.High)})
		}
		p.Bands = append(p.Bands, band)
		p.Lines = append(p.Lines, k.lines(ux, uy)...)
	}
	for _, m := range d.points {
		m.X, m.Y = ux.FromSI(m.X), uy.FromSI(m.Y)
		m.Low, m.High = uy.FromSI(m.Low), uy.FromSI(m.High)
		p.Points = append(p.Points, m)
	}
	return p
}

// lines is the fitted curve, thin where its condition was not read.
func (k *curve) lines(ux, uy quantity.Unit) (list []chart.Line) {
	for i := 1; i < len(k.mean); i++ {
		from, to := k.mean[i-1], k.mean[i]
		thin := !k.read.any || to.X <= k.read.low || from.X >= k.read.high
		if n := len(list); n == 0 || list[n-1].Thin != thin {
			list = append(list, chart.Line{Style: k.style, Thin: thin, Points: []chart.XY{{X: ux.FromSI(from.X), Y: uy.FromSI(from.Y)}}})
		}
		l := &list[len(list)-1]
		l.Points = append(l.Points, chart.XY{X: ux.FromSI(to.X), Y: uy.FromSI(to.Y)})
	}
	return list
}

// keys puts the name of each condition beside the end of its curve.
func (d *diagram) keys() (keys []chart.Key) {
	_, uy := d.units()
	for _, k := range d.curves {
		key := chart.Key{Text: wording.Condition(k.condition), Style: k.style, Mark: true, Line: len(k.mean) > 0, Aside: true}
		if n := len(k.mean); n > 0 {
			key.At = uy.FromSI(k.mean[n-1].Y)
		} else {
			key.At = uy.FromSI(d.y.low)
		}
		keys = append(keys, key)
	}
	return keys
}

// notes explains thin curves, and names the conditions that have none.
func (d *diagram) notes() (notes []string) {
	var without []string
	for _, k := range d.curves {
		if slices.ContainsFunc(k.lines(d.units()), func(l chart.Line) bool { return l.Thin }) && len(notes) == 0 {
			notes = append(notes, "Thin: beyond the capacitances read in that condition.")
		}
		if len(k.mean) == 0 {
			without = append(without, wording.Condition(k.condition))
		}
	}
	if len(without) > 0 {
		notes = append(notes, fmt.Sprintf("No curve for %s: the readings don't fix how its frequency falls with added capacitance.", strings.Join(without, "; ")))
	}
	return notes
}
