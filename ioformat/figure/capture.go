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
	var time, volt span
	time.add(d.Whole.Trace.Time...)
	volt.add(d.Whole.Trace.Min...)
	volt.add(d.Whole.Trace.Max...)
	ut, uv := unit(time.largest(), "s"), unit(volt.largest(), "V")
	whole := tracePanel("whole capture", d.Whole, ut, uv)
	whole.Areas = leftOut(r, whole.Y, ut)
	if len(whole.Areas) > 0 {
		whole.Title += "; the shaded part is not fitted"
	}
	whole.Lines = append(edges(d.Whole.Fit, ut, uv, false), whole.Lines...)
	rest := residualTrace(d.Whole, ut)
	whole.X.Label, whole.X.Unshown = "", true
	rest.X = chart.Over(axisLabel("time", ut), ut.FromSI(time.low), ut.FromSI(time.high), 8)
	f.Panels = []chart.Panel{whole, rest, detailPanel(d.Detail, uv)}
	if len(d.Modes.Each) > 1 {
		f.Panels = append(f.Panels, modesPanel(d.Modes, uv))
	}
	f.Panels = append(f.Panels, spectrumPanel(d.Spectrum, r))
	f.Keys = []chart.Key{
		{Text: "captured", Style: captured, Line: true},
		{Text: "fit", Style: fitted, Line: true},
		{Text: "residual (captured − fit)", Style: left, Line: true},
	}
	if len(d.Modes.Each) > 1 {
		f.Keys = append(f.Keys, chart.Key{Text: "envelope of each mode", Style: mode, Line: true})
	}
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

// leftOut shades the stretches that were not fitted.
func leftOut(r *ringing.Result, y chart.Axis, ut quantity.Unit) (list []chart.Area) {
	for _, l := range r.Left {
		list = append(list, chart.Area{Style: chart.Mist, Outline: box(ut.FromSI(l.Start), ut.FromSI(l.End), y.Min, y.Max)})
	}
	return list
}

// modesPanel shows the envelopes of the modes, and of their sum, which beats.
func modesPanel(m ringing.ModesView, uv quantity.Unit) chart.Panel {
	var x, y span
	x.add(m.Time...)
	ut := unit(x.largest(), "s")
	line := func(list []float64, s chart.Style, dashed bool) chart.Line {
		l := chart.Line{Style: s, Dashed: dashed}
		for i, v := range list {
			l.Points = append(l.Points, chart.XY{X: ut.FromSI(m.Time[i]), Y: uv.FromSI(v)})
		}
		return l
	}
	p := chart.Panel{Title: "envelopes of each mode, and their sum, which beats", Height: 100}
	for _, each := range m.Each {
		p.Lines = append(p.Lines, line(each, mode, false))
	}
	p.Lines = append(p.Lines, line(m.Sum, fitted, false))
	y.add(m.Sum...)
	y.add(0)
	for _, each := range m.Each {
		y.add(each...)
	}
	p.X = chart.Over(axisLabel("time", ut), ut.FromSI(x.low), ut.FromSI(x.high), 8)
	p.Y = chart.Over(axisLabel("amplitude", uv), 0, uv.FromSI(y.high), 5)
	return p
}

// tracePanel shows a stretch of the trace.
func tracePanel(title string, v ringing.View, ut, uv quantity.Unit) chart.Panel {
	var x, y span
	x.add(v.Trace.Time...)
	for _, b := range []ringing.Band{v.Trace, v.Fit} {
		y.add(b.Min...)
		y.add(b.Max...)
	}
	p := chart.Panel{Title: title, Height: 120, Lines: columns(v.Trace, captured, ut, uv)}
	if len(p.Lines) == 0 {
		p.Empty = "There is no sample to show."
	}
	p.X = chart.Over(axisLabel("time", ut), ut.FromSI(x.low), ut.FromSI(x.high), 8)
	p.Y = chart.Over(axisLabel("voltage", uv), uv.FromSI(y.low), uv.FromSI(y.high), 5)
	return p
}

// detailPanel shows samples as dots with the fit through them.
func detailPanel(v ringing.View, uv quantity.Unit) chart.Panel {
	var x span
	x.add(v.Trace.Time...)
	ut := unit(x.largest(), "s")
	p := tracePanel("first cycles", v, ut, uv)
	if single(v.Trace) {
		p.Lines = nil
		for i, t := range v.Trace.Time {
			if y := v.Trace.Min[i]; quantities.Finite(y) {
				p.Points = append(p.Points, chart.Point{XY: chart.XY{X: ut.FromSI(t), Y: uv.FromSI(y)}, Style: captured, Small: true})
			}
		}
	}
	p.Lines = append(p.Lines, edges(v.Fit, ut, uv, true)...)
	return p
}

// single tells whether each column holds one sample at most.
func single(b ringing.Band) bool {
	return slices.EqualFunc(b.Min, b.Max, func(a, b float64) bool { return a == b || a != a && b != b })
}

func residualTrace(v ringing.View, ut quantity.Unit) chart.Panel {
	var y span
	y.add(v.Residual.Min...)
	y.add(v.Residual.Max...)
	u := unit(y.largest(), "V")
	p := chart.Panel{Height: 80, Rules: []chart.Rule{{At: 0}}, Lines: columns(v.Residual, left, ut, u)}
	if len(p.Lines) == 0 {
		p.Empty = "No stretch of the capture was fitted."
	}
	most := u.FromSI(y.largest())
	p.Y = chart.Over(axisLabel("residual (captured − fit)", u), -most, most, 7)
	return p
}

// columns draws a band column by column, down one and up the next: where there
// is one sample a column it is the curve itself, where there are many it fills
// what they span. It breaks where there is nothing.
func columns(b ringing.Band, s chart.Style, ut, uv quantity.Unit) (list []chart.Line) {
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
		l.Points = append(l.Points, chart.XY{X: ut.FromSI(t), Y: uv.FromSI(low)})
		if low != high {
			l.Points = append(l.Points, chart.XY{X: ut.FromSI(t), Y: uv.FromSI(high)})
		}
	}
	return list
}

// edges draws the upper and the lower edge of a fit, which are one line where
// single samples show: a filled band would hide the trace.
func edges(b ringing.Band, ut, uv quantity.Unit, thin bool) []chart.Line {
	list := columns(ringing.Band{Time: b.Time, Min: b.Max, Max: b.Max}, fitted, ut, uv)
	if !single(b) {
		list = append(list, columns(ringing.Band{Time: b.Time, Min: b.Min, Max: b.Min}, fitted, ut, uv)...)
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
	most := highest(r)
	p := chart.Panel{Title: "spectrum", Height: 120}
	var x, peak span
	if n := sort.SearchFloat64s(s.Frequency, most); n > 1 {
		s.Frequency, s.Trace, s.Residual = s.Frequency[:n], s.Trace[:n], s.Residual[:n]
	}
	x.add(s.Frequency...)
	peak.add(s.Trace...)
	if len(s.Frequency) == 0 || !(peak.high > 0) {
		p.Empty = "There is no spectrum to show."
		return p
	}
	u := unit(x.largest(), "Hz")
	lowest := 0.0
	decibels := func(list []float64, style chart.Style) chart.Line {
		l := chart.Line{Style: style, Thin: true}
		for i, a := range list {
			level := math.Max(20*math.Log10(a/peak.high), -spectrumFloor)
			lowest = math.Min(lowest, level)
			l.Points = append(l.Points, chart.XY{X: u.FromSI(s.Frequency[i]), Y: level})
		}
		return l
	}
	for _, m := range r.Modes {
		if len(r.Modes) > 1 {
			p.Title = "spectrum, with the modes marked"
			p.Rules = append(p.Rules, chart.Rule{At: u.FromSI(m.Frequency.Value), Upright: true, Dashed: true})
		}
	}
	p.Lines = []chart.Line{decibels(s.Trace, captured), decibels(s.Residual, left)}
	p.X = chart.Over(axisLabel("frequency", u), u.FromSI(x.low), u.FromSI(x.high), 8)
	p.Y = chart.Over("amplitude, peak = 0 [dB]", lowest, 0, 5)
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
