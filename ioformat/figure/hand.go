package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Hand shows by how much a hand lowers the frequency against its distance, both on
// logarithmic scales, where the law of the hand is nearly a straight line; nil without
// readings of a hand.
func Hand(r *model.Result) *Figure {
	v := look(r)
	hands, _ := split(v.readings, func(r *reading) bool { return !math.IsInf(r.State.Hand, 1) })
	if len(hands) == 0 {
		return nil
	}
	f := &Figure{Name: "hand", Title: "How much does a hand lower the frequency?"}
	curves := v.handCurves(hands)
	p := v.handPanel(f, curves, hands)
	f.Panels = []chart.Panel{p}
	if p.Empty != "" {
		f.Alt = p.Empty
		return f
	}
	f.Keys = append(f.Keys, stateKeys(flags(hands))...)
	f.Keys = append(f.Keys, chart.Key{Text: "fit, with 95 % band of the mean", Style: chart.Ink, Line: true, Band: true})
	f.Alt = "Frequency drop against the distance of a hand. " + v.handWords(f)
	f.Notes = append(f.Notes, v.remarks()...)
	return f
}

// handCurve is the drop in one state but for the hand.
type handCurve struct {
	state  readings.State // with nobody near
	name   string
	count  int
	points []handPoint
}

// handPoint is the drop at a distance [m, Hz].
type handPoint struct{ at, drop, low, high float64 }

// mostHandCurves is the number of states whose curves keep apart.
const mostHandCurves = 3

// handCurves works out the drop in some states: those with nothing on the top come first,
// and of these those in which a hand was read most often.
func (v *view) handCurves(hands []reading) (list []handCurve) {
	var reach span
	for _, r := range hands {
		reach.add(r.State.Hand)
		away := r.State
		away.Hand = math.Inf(1)
		name := v.state(away)
		i := slices.IndexFunc(list, func(c handCurve) bool { return c.name == name })
		if i < 0 {
			i = len(list)
			list = append(list, handCurve{state: away, name: name})
		}
		list[i].count++
	}
	laden := func(c handCurve) int {
		if plainTop(&c.state) {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(list, func(a, b handCurve) int { return cmp.Or(laden(a)-laden(b), b.count-a.count) })
	list = list[:min(len(list), mostHandCurves)]
	low, high := 0.7*reach.low, 1.4*reach.high
	const n = 40
	for i := range list {
		for k := range n + 1 {
			s := list[i].state
			s.Hand = low * math.Pow(high/low, float64(k)/n)
			if e := decisions.HandDrop(v.result.Result, s); e.Determined && e.Value > 0 {
				list[i].points = append(list[i].points, handPoint{s.Hand, e.Value, e.Interval[0], e.Interval[1]})
			}
		}
	}
	return list
}

// plainTop tells whether nothing is on the top.
func plainTop(s *readings.State) bool { return len(s.Parts) == 0 && s.Exact == 0 && !s.Clip }

// handMark is the drop that a reading shows [Hz].
type handMark struct {
	*reading
	curve           int
	drop, low, high float64
}

// handMarks returns the drop of each reading below what the fit has for the same state
// with nobody near, and notes on those that it leaves out.
func (v *view) handMarks(curves []handCurve, hands []reading) (marks []handMark, notes []string) {
	var below []reading
	others := 0
	for i := range hands {
		r := &hands[i]
		away := r.State
		away.Hand = math.Inf(1)
		k := slices.IndexFunc(curves, func(c handCurve) bool { return c.name == v.state(away) })
		if k < 0 {
			others++
			continue
		}
		e := decisions.HandDrop(v.result.Result, r.State)
		if !e.Determined || !quantities.Finite(r.Residual) {
			continue
		}
		own, _ := v.uncertainties(r)
		drop := e.Value - r.Residual // what drifted is no hand's doing
		if !(drop > 0) {
			below = append(below, *r)
			continue
		}
		marks = append(marks, handMark{r, k, drop, drop - own, drop + own})
	}
	if others > 0 {
		notes = append(notes, fmt.Sprintf("Not shown: %s of a hand with something else on the top.", quantity.Count(others, "reading")))
	}
	if len(below) > 0 {
		notes = append(notes, fmt.Sprintf("Not shown: %s, whose drop is not above zero.", lines(below)))
	}
	return marks, notes
}

// handPanel draws curves and marks.
func (v *view) handPanel(f *Figure, curves []handCurve, hands []reading) chart.Panel {
	marks, notes := v.handMarks(curves, hands)
	p := chart.Panel{Height: 220}
	var x, y span
	for _, m := range marks {
		x.add(m.State.Hand)
		y.add(m.drop, m.high)
	}
	for _, c := range curves {
		for _, q := range c.points {
			x.add(q.at)
			y.add(q.drop)
		}
	}
	if len(marks) == 0 {
		p.Empty = "By how much a hand lowers the frequency is not determined by these readings."
		return p
	}
	u, floor := unit(y.high, "Hz"), y.low/2
	const cm = 0.01
	up := func(hz float64) float64 { return u.FromSI(math.Max(hz, floor)) }
	for k, c := range curves {
		style := chart.Series(v.colour(c.state.Core), k, k)
		line, band := chart.Line{Style: style}, chart.Band{Style: style}
		for _, q := range c.points {
			line.Points = append(line.Points, chart.XY{X: q.at / cm, Y: up(q.drop)})
			band.Points = append(band.Points, chart.BandPoint{X: q.at / cm, Low: up(q.low), High: up(q.high)})
		}
		if len(line.Points) > 0 {
			p.Lines, p.Bands = append(p.Lines, line), append(p.Bands, band)
			f.Keys = append(f.Keys, chart.Key{Text: c.name, Style: style, Line: true, Mark: true})
		}
	}
	for _, m := range marks {
		d := m.point(m.State.Hand/cm, u.FromSI(m.drop))
		d.Style, d.Label = chart.Series(v.colour(m.State.Core), m.curve, 0), ""
		d.Low, d.High = up(m.low), u.FromSI(m.high)
		p.Points = append(p.Points, d)
	}
	p.X = chart.LogOver("distance of the hand from the top [cm], logarithmic", x.low/cm, x.high/cm, 0)
	p.Y = chart.LogOver(axisLabel("frequency drop", u)+", logarithmic", u.FromSI(floor), u.FromSI(y.high), 0)
	f.Notes = append(f.Notes, "Marks: fitted frequency with nobody near less the measured one; bars: ± one standard uncertainty of the reading.")
	f.Notes = append(f.Notes, notes...)
	return p
}

// handWords lists the drops of the bare coil, also as the table of f.
func (v *view) handWords(f *Figure) (s string) {
	f.Table.Columns = []string{"distance", "frequency drop of the bare coil", "95 % interval"}
	for i := range v.result.Derived {
		e := &v.result.Derived[i]
		if e.Name != quantities.HandFrequencyDrop || !e.Determined {
			continue
		}
		at := fmt.Sprintf("%s cm", quantity.Digits(100*e.Hand, 3))
		u := quantity.UnitFor(e.Value, e.Uncertainty, "Hz")
		in := u.FormatInterval(e.Interval[0], e.Interval[1])
		f.Table.Rows = append(f.Table.Rows, []string{at, estimate(e), in.Low + " to " + in.High + " " + in.Unit})
		s += fmt.Sprintf("At %s %s. ", at, estimate(e))
	}
	return s
}
