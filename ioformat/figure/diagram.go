package figure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/model/readings"
)

// diagram is frequency against added capacitance, in SI until it is a panel.
type diagram struct {
	x      addedAxis
	y      span // Hz
	curves []curve
	points []chart.Point
	beyond []readings.Condition // that have no curve, being too many
}

// curve is that of one condition.
type curve struct {
	name   string
	of     readings.Condition
	style  chart.Style
	points []chart.BandPoint
	mean   []chart.XY
	read   span // added capacitances read in that condition
}

// mostCurves is the number of curves that names beside them keep apart.
const mostCurves = 5

// curves works out conditions of v and further ones from nothing added to most: those
// without a hand, which hardly moves a curve, where there are such.
func (v *view) curves(most float64, further ...readings.Condition) *diagram {
	d := &diagram{x: v.newAddedAxis(most)}
	for i, c := range v.drawn(further) {
		if i >= mostCurves {
			d.beyond = append(d.beyond, c)
			continue
		}
		k := curve{name: v.condition(c), of: c, style: v.style(c)}
		same := 0 // curves of this colour so far
		for _, o := range d.curves {
			if int(o.style)%chart.Colors == int(k.style)%chart.Colors {
				same++
			}
		}
		k.style = chart.Series(v.colour(c.Core), v.shape(c), same)
		for _, r := range v.readings {
			if r.State.Condition() == c {
				k.read.add(r.added)
			}
		}
		var ends []float64
		if k.read.any {
			ends = []float64{math.Min(k.read.low, most), math.Min(k.read.high, most)}
		}
		for _, a := range d.x.places(ends...) {
			p := v.result.Frequency(c.State(a), nil)
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

// drawn lists the conditions to draw curves of, first those read with most different
// capacitances.
func (v *view) drawn(further []readings.Condition) []readings.Condition {
	list := slices.Clone(v.conditions)
	for _, c := range further {
		if !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	away := slices.DeleteFunc(slices.Clone(list), func(c readings.Condition) bool { return !math.IsInf(c.Hand, 1) })
	if len(away) > 0 {
		list = away
	}
	different := map[readings.Condition]map[float64]bool{}
	for _, r := range v.readings {
		c := r.State.Condition()
		if different[c] == nil {
			different[c] = map[float64]bool{}
		}
		different[c][r.added] = true
	}
	slices.SortStableFunc(list, func(a, b readings.Condition) int { return len(different[b]) - len(different[a]) })
	return list
}

// point adds a mark.
func (d *diagram) point(p chart.Point) {
	d.points = append(d.points, p)
	d.y.add(p.Y)
	if p.Low != 0 || p.High != 0 {
		d.y.add(p.Low, p.High)
	}
}

// units returns those that the axes read well in.
func (d *diagram) units() plane { return plane{d.x.unit, unit(d.y.largest(), "Hz")} }

// panel puts the diagram into the units of its axes. A band much wider than
// what was read is cut: the readings must stay legible.
func (d *diagram) panel() chart.Panel {
	u := d.units()
	low, high := d.y.low, d.y.high
	room := high - low
	for _, k := range d.curves {
		for _, b := range k.points {
			d.y.add(math.Max(b.Low, low-room/2), math.Min(b.High, high+room/2))
		}
	}
	p := chart.Panel{Height: 230}
	p.X = d.x.axis()
	p.Y = d.y.axis("frequency", u.y, 7)
	if d.x.shift > 0 {
		p.Y = chart.LogOver(p.Y.Label, u.y.FromSI(math.Max(d.y.low, low/2)), u.y.FromSI(d.y.high), 0)
	}
	for _, k := range d.curves {
		if len(k.mean) == 0 {
			continue
		}
		band := chart.Band{Style: k.style}
		for _, b := range k.points {
			band.Points = append(band.Points, chart.BandPoint{X: u.x.FromSI(b.X), Low: math.Max(u.y.FromSI(b.Low), p.Y.Min), High: u.y.FromSI(b.High)})
		}
		p.Bands = append(p.Bands, band)
		p.Lines = append(p.Lines, k.lines(u)...)
	}
	for _, m := range d.points {
		m.XY, m.Low, m.High = u.xy(m.X, m.Y), u.y.FromSI(m.Low), u.y.FromSI(m.High)
		p.Points = append(p.Points, m)
	}
	return p
}

// lines is the fitted curve, thin where its condition was not read.
func (k *curve) lines(u plane) (list []chart.Line) {
	for i := 1; i < len(k.mean); i++ {
		from, to := k.mean[i-1], k.mean[i]
		thin := !k.read.any || to.X <= k.read.low || from.X >= k.read.high
		if n := len(list); n == 0 || list[n-1].Thin != thin {
			list = append(list, chart.Line{Style: k.style, Thin: thin, Points: []chart.XY{u.xy(from.X, from.Y)}})
		}
		l := &list[len(list)-1]
		l.Points = append(l.Points, u.xy(to.X, to.Y))
	}
	return list
}

// keys puts the name of each condition beside the end of its curve.
func (d *diagram) keys() (keys []chart.Key) {
	for _, k := range d.curves {
		end := d.y.low
		if n := len(k.mean); n > 0 {
			end = k.mean[n-1].Y
		}
		keys = append(keys, chart.Key{Text: k.name, Style: k.style, Mark: true, Line: len(k.mean) > 0, Aside: true, At: d.units().y.FromSI(end)})
	}
	return keys
}

// notes explains thin curves, and names the conditions that have none.
func (d *diagram) notes(v *view) (notes []string) {
	var without, beyond []string
	for _, k := range d.curves {
		if slices.ContainsFunc(k.lines(d.units()), func(l chart.Line) bool { return l.Thin }) && len(notes) == 0 {
			notes = append(notes, "Thin: extrapolated beyond the capacitances read in that condition.")
		}
		if len(k.mean) == 0 {
			without = append(without, k.name)
		}
	}
	for _, c := range d.beyond {
		beyond = append(beyond, v.condition(c))
	}
	if len(beyond) > 0 {
		notes = append(notes, fmt.Sprintf("Marks only, without a curve: %s.", strings.Join(beyond, "; ")))
	}
	if len(without) > 0 {
		notes = append(notes, fmt.Sprintf("No curve for %s: not determined by these readings.", strings.Join(without, "; ")))
	}
	return notes
}
