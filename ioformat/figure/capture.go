package figure

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
	"fitcoil/model/ringing"
)

// Capture shows a captured voltage with the fit, what the fit leaves, the first
// cycles in detail, and the spectrum.
func Capture(r *ringing.Result) Figure {
	f := Figure{Name: "capture", Title: "Does the fit follow the captured voltage?"}
	d := &r.Drawing
	time, volt := over(d.Whole.Trace.Time), over(d.Whole.Trace.Min, d.Whole.Trace.Max)
	u := plane{unit(time.largest(), "s"), unit(volt.largest(), "V")}
	whole := tracePanel("whole capture", d.Whole, u)
	for _, l := range r.Left { // stretches that were not fitted
		whole.Areas = append(whole.Areas, chart.Area{Style: chart.Mist, Outline: box(u.x.FromSI(l.Start), u.x.FromSI(l.End), whole.Y.Min, whole.Y.Max)})
	}
	if len(whole.Areas) > 0 {
		whole.Title += "; the shaded part is not fitted"
	}
	whole.Lines = append(edges(d.Whole.Fit, u, false), whole.Lines...)
	rest := residualTrace(d.Whole.Residual, u.x)
	rest.X = time.axis("time", u.x, 8)
	whole.X.Label, whole.X.Unshown = "", true
	f.Panels = []chart.Panel{whole, rest, detailPanel(d.Detail, u.y)}
	f.Keys = []chart.Key{
		{Text: "captured", Style: captured, Line: true},
		{Text: "fit", Style: fitted, Line: true},
		{Text: "residual (captured − fit)", Style: left, Line: true},
	}
	if len(d.Modes.Each) > 1 {
		f.Panels = append(f.Panels, modesPanel(d.Modes, u.y))
		f.Keys = append(f.Keys, chart.Key{Text: "envelope of each mode", Style: mode, Line: true})
	}
	f.Panels = append(f.Panels, spectrumPanel(d.Spectrum, r))
	f.Alt, f.Table = captureAlt(r), toneTable(r)
	return f
}

// The styles of a capture's curves.
const (
	captured chart.Style = 2
	fitted   chart.Style = 1
	left     chart.Style = 0
	mode     chart.Style = 3
)

// modesPanel shows the envelopes of the modes, and of their sum, which beats.
func modesPanel(m ringing.ModesView, uv quantity.Unit) chart.Panel {
	x, y := over(m.Time), over(append(slices.Clone(m.Each), m.Sum)...)
	u := plane{unit(x.largest(), "s"), uv}
	p := chart.Panel{Title: "envelopes of each mode, and their sum, which beats", Height: 100}
	for _, each := range m.Each {
		p.Lines = append(p.Lines, u.line(mode, m.Time, each))
	}
	p.Lines = append(p.Lines, u.line(fitted, m.Time, m.Sum))
	y.low = 0
	p.X, p.Y = x.axis("time", u.x, 8), y.axis("amplitude", u.y, 5)
	return p
}

// tracePanel shows a stretch of the trace.
func tracePanel(title string, v ringing.View, u plane) chart.Panel {
	x, y := over(v.Trace.Time), over(v.Trace.Min, v.Trace.Max, v.Fit.Min, v.Fit.Max)
	p := chart.Panel{Title: title, Height: 120, Lines: columns(v.Trace, captured, u)}
	if len(p.Lines) == 0 {
		p.Empty = "There is no sample to show."
	}
	p.X, p.Y = x.axis("time", u.x, 8), y.axis("voltage", u.y, 5)
	return p
}

// detailPanel shows samples as dots with the fit through them.
func detailPanel(v ringing.View, uv quantity.Unit) chart.Panel {
	x := over(v.Trace.Time)
	u := plane{unit(x.largest(), "s"), uv}
	p := tracePanel("first cycles", v, u)
	if single(v.Trace) {
		p.Lines = nil
		for i, t := range v.Trace.Time {
			if y := v.Trace.Min[i]; quantities.Finite(y) {
				p.Points = append(p.Points, chart.Point{XY: u.xy(t, y), Style: captured, Small: true})
			}
		}
	}
	p.Lines = append(p.Lines, edges(v.Fit, u, true)...)
	return p
}

// single tells whether each column holds one sample at most.
func single(b ringing.Band) bool {
	return slices.EqualFunc(b.Min, b.Max, func(a, b float64) bool { return a == b || a != a && b != b })
}

func residualTrace(b ringing.Band, ut quantity.Unit) chart.Panel {
	y := over(b.Min, b.Max)
	y.add(y.largest(), -y.largest())
	u := plane{ut, unit(y.high, "V")}
	p := chart.Panel{Height: 80, Rules: []chart.Rule{{At: 0}}, Lines: columns(b, left, u)}
	if len(p.Lines) == 0 {
		p.Empty = "No stretch of the capture was fitted."
	}
	p.Y = y.axis("residual (captured − fit)", u.y, 7)
	return p
}

// columns draws a band column by column, down one and up the next: where there
// is one sample a column it is the curve itself, where there are many it fills
// what they span. It breaks where there is nothing.
func columns(b ringing.Band, s chart.Style, u plane) (list []chart.Line) {
	open := false
	for i, t := range b.Time {
		low, high := b.Min[i], b.Max[i]
		if !quantities.Finite(low, high) {
			open = false
			continue
		}
		if !open {
			list = append(list, chart.Line{Style: s, Thin: true})
			open = true
		}
		l := &list[len(list)-1]
		if i%2 == 1 {
			low, high = high, low
		}
		l.Points = append(l.Points, u.xy(t, low))
		if low != high {
			l.Points = append(l.Points, u.xy(t, high))
		}
	}
	return list
}

// edges draws the upper and the lower edge of a fit, which are one line where
// single samples show: a filled band would hide the trace.
func edges(b ringing.Band, u plane, thin bool) []chart.Line {
	list := columns(ringing.Band{Time: b.Time, Min: b.Max, Max: b.Max}, fitted, u)
	if !single(b) {
		list = append(list, columns(ringing.Band{Time: b.Time, Min: b.Min, Max: b.Min}, fitted, u)...)
	}
	for i := range list {
		list[i].Thin = thin
	}
	return list
}

// spectrumFloor is how far below its peak a spectrum is drawn, in decibels.
const spectrumFloor = 100

// highest is the frequency up to which the spectrum says something of the tones
// found: ten times the strongest one, or more where another lies higher.
func highest(r *ringing.Result) (hz float64) {
	for i, t := range r.Tones {
		if i == 0 {
			hz = 10 * t.Frequency.Value
		}
		hz = math.Max(hz, 1.1*t.Frequency.Value)
	}
	return hz
}

// spectrumPanel shows amplitudes up to a frequency, in decibels below the
// largest.
func spectrumPanel(s ringing.Spectrum, r *ringing.Result) chart.Panel {
	p := chart.Panel{Title: "spectrum", Height: 120}
	if n := sort.SearchFloat64s(s.Frequency, highest(r)); n > 1 {
		s.Frequency, s.Trace, s.Residual = s.Frequency[:n], s.Trace[:n], s.Residual[:n]
	}
	x, peak := over(s.Frequency), over(s.Trace)
	if len(s.Frequency) == 0 || !(peak.high > 0) {
		p.Empty = "There is no spectrum to show."
		return p
	}
	u, lowest := plane{x: unit(x.largest(), "Hz")}, 0.0
	decibels := func(list []float64, style chart.Style) chart.Line {
		l := chart.Line{Style: style, Thin: true}
		for i, a := range list {
			level := math.Max(20*math.Log10(a/peak.high), -spectrumFloor)
			lowest = math.Min(lowest, level)
			l.Points = append(l.Points, u.xy(s.Frequency[i], level))
		}
		return l
	}
	if len(r.Modes) > 1 {
		p.Title = "spectrum, with the modes marked"
		for _, m := range r.Modes {
			p.Rules = append(p.Rules, chart.Rule{At: u.x.FromSI(m.Frequency.Value), Upright: true, Dashed: true})
		}
	}
	p.Lines = []chart.Line{decibels(s.Trace, captured), decibels(s.Residual, left)}
	p.X, p.Y = x.axis("frequency", u.x, 8), chart.Over("amplitude, peak = 0 [dB]", lowest, 0, 5)
	return p
}

func captureAlt(r *ringing.Result) string {
	s := fmt.Sprintf("A %s voltage", r.Kind)
	if e := r.Resonance; e.Determined {
		s += " of " + estimateText(e, "Hz")
	}
	if e := r.Quality; e.Determined {
		s += ", quality factor " + estimateText(e, "")
	}
	return s + ", with the fit, what the fit leaves, the first cycles in detail, and the spectrum of both."
}

// estimateText writes a quantity with its ±, if any is claimed.
func estimateText(e quantities.Estimate, unit string) string {
	t := quantity.Format(e.Value, e.Uncertainty, unit)
	if e.Unclaimed {
		t.Uncertainty = ""
	}
	return t.String()
}

// toneTable lists what was fitted.
func toneTable(r *ringing.Result) chart.Table {
	t := chart.Table{Columns: []string{"tone", "frequency", "amplitude"}}
	cell := func(e quantities.Estimate) string {
		if !e.Determined {
			return quantity.Undetermined
		}
		return estimateText(e, e.Unit)
	}
	for _, tone := range r.Tones {
		t.Rows = append(t.Rows, []string{tone.Relation.String(), cell(tone.Frequency), cell(tone.Amplitude)})
	}
	return t
}
