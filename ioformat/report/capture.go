package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/ringing"
)

// Captured is one capture with what was found in it.
type Captured struct {
	Capture *waveform.Capture
	Result  *ringing.Result
}

// CaptureText writes what captures say, for people to read.
func CaptureText(w io.Writer, list []Captured, sweeps []Swept) error {
	var b strings.Builder
	for i, c := range list {
		if i > 0 {
			b.WriteString("\n")
		}
		captureText(&b, c)
	}
	for i, s := range sweeps {
		if i > 0 || len(list) > 0 {
			b.WriteString("\n")
		}
		sweepText(&b, s)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func captureText(b *strings.Builder, c Captured) {
	r := c.Result
	n := len(c.Capture.Signal.Samples)
	column := c.Capture.Column
	if !strings.HasPrefix(column, "column ") { // a letter says so itself
		column = "column " + column
	}
	fmt.Fprintf(b, "%s: %s of %s, %s apart\n", recordName(c.Capture), count(n, "sample"), column,
		quantity.FormatValue(c.Capture.Signal.Interval, 4, "s"))
	section(b, fmt.Sprintf("A %s tone", r.Kind), "± is one standard uncertainty")
	unit := c.Capture.Unit
	t := newTable(left(""), right("value"), left("±"), left(""), left("95 % interval"))
	for _, q := range []struct {
		name string
		e    ringing.Estimate
		unit string
	}{
		{"resonance frequency, for the log", r.Resonance, "Hz"},
		{"frequency of the crossings", r.Frequency, "Hz"},
		{"quality factor", r.Quality, ""},
		{"damping", r.Damping, "1/s"},
		{"amplitude at the beginning", r.Amplitude, unit},
		{"offset", r.Offset, unit},
	} {
		t.row(append([]string{q.name}, ringCells(q.e, q.unit)...)...)
	}
	b.WriteString(t.text())
	if !r.Quality.Determined && r.QualityAtLeast > 0 {
		fmt.Fprintf(b, "  quality factor at least %s\n", quantity.FormatValue(r.QualityAtLeast, 2, ""))
	}
	fmt.Fprintf(b, "  residual noise %s rms\n", quantity.FormatValue(r.Noise.RMS, 2, unit))
	if len(r.Tones) > 1 {
		section(b, "Other tones", "")
		t := newTable(left(""), right("frequency"), left("±"), left(""), right("amplitude"), left("±"), left(""))
		for _, tone := range r.Tones[1:] {
			name := tone.Relation.String()
			if tone.Relation == ringing.Harmonic {
				name = fmt.Sprintf("harmonic %d", tone.Harmonic)
			}
			row := append([]string{name}, ringCells(tone.Frequency, "Hz")[:3]...)
			t.row(append(row, ringCells(tone.Amplitude, unit)[:3]...)...)
		}
		b.WriteString(t.text())
	}
	section(b, "Bursts", "")
	bursts := newTable(right("from"), right("to"), right("cycles"), right("quality factor"))
	for _, s := range r.Bursts {
		q := "-"
		if s.Tone.Quality.Determined {
			q = quantity.Format(s.Tone.Quality.Value, s.Tone.Quality.Uncertainty, "").String()
		}
		bursts.row(quantity.FormatValue(s.Start, 4, "s").String(), quantity.FormatValue(s.End, 4, "s").String(),
			fmt.Sprintf("%.0f", s.Cycles), q)
	}
	b.WriteString(bursts.text())
	if notes := captureNotes(c); len(notes) > 0 {
		section(b, "Notes", "")
		for _, n := range notes {
			bullet(b, n)
		}
	}
}

// recordName is the name of the file, and the segment in it.
func recordName(c *waveform.Capture) string {
	if c.Segment == 0 {
		return c.Name
	}
	return fmt.Sprintf("%s, segment %d", c.Name, c.Segment)
}

func captureNotes(c Captured) []string {
	notes := append([]string(nil), c.Capture.Notes...)
	for _, n := range c.Result.Notes {
		notes = append(notes, n.String())
	}
	return notes
}

// ringCells returns value, uncertainty, unit and interval.
func ringCells(e ringing.Estimate, unit string) []string {
	if !e.Determined {
		return []string{quantity.Undetermined, "", "", ""}
	}
	base := unit
	if unit == "1/s" { // takes no prefix
		base = ""
	}
	u := quantity.UnitFor(e.Value, e.Uncertainty, base)
	v := u.Format(e.Value, e.Uncertainty)
	i := u.FormatInterval(e.Interval[0], e.Interval[1])
	if base != "" {
		unit = v.Unit
	}
	return []string{v.Value, v.Uncertainty, unit, i.Low + " to " + i.High}
}

type jsonCaptures struct {
	Schema   int             `json:"schema"`
	Captures []jsonCapture   `json:"captures"`
	Sweeps   []jsonResonance `json:"sweeps,omitempty"`
}

type jsonCapture struct {
	Name           string       `json:"name"`
	Column         string       `json:"column"`
	Segment        int          `json:"segment,omitempty"`
	Samples        int          `json:"samples"`
	Interval       float64      `json:"interval"`
	IntervalUnit   string       `json:"interval_unit"`
	Kind           string       `json:"kind"`
	Resonance      jsonEstimate `json:"resonance_frequency"`
	Frequency      jsonEstimate `json:"crossing_frequency"`
	Quality        jsonEstimate `json:"quality_factor"`
	QualityAtLeast *float64     `json:"quality_factor_at_least,omitempty"`
	Damping        jsonEstimate `json:"damping"`
	Amplitude      jsonEstimate `json:"amplitude"`
	Offset         jsonEstimate `json:"offset"`
	NoiseRMS       *float64     `json:"noise_rms"`
	Tones          []jsonTone   `json:"tones"`
	Bursts         []jsonBurst  `json:"bursts"`
	Warnings       []string     `json:"warnings"`
}

type jsonTone struct {
	Relation  string       `json:"relation"`
	Harmonic  int          `json:"harmonic,omitempty"`
	Frequency jsonEstimate `json:"frequency"`
	Quality   jsonEstimate `json:"quality_factor"`
	Amplitude jsonEstimate `json:"amplitude"`
}

type jsonBurst struct {
	Start  float64 `json:"start"`
	End    float64 `json:"end"`
	Unit   string  `json:"unit"`
	Cycles float64 `json:"cycles"`
}

// CaptureJSON writes the same as one JSON object, SI throughout.
func CaptureJSON(w io.Writer, list []Captured, sweeps []Swept) error {
	out := jsonCaptures{Schema: Schema, Captures: []jsonCapture{}}
	for _, c := range list {
		out.Captures = append(out.Captures, captured(c))
	}
	for _, s := range sweeps {
		out.Sweeps = append(out.Sweeps, sweptJSON(s))
	}
	return writeJSON(w, out)
}

func captured(c Captured) jsonCapture {
	r, unit := c.Result, c.Capture.Unit
	j := jsonCapture{Name: c.Capture.Name, Column: c.Capture.Column, Segment: c.Capture.Segment, Samples: len(c.Capture.Signal.Samples),
		Interval: c.Capture.Signal.Interval, IntervalUnit: "s", Kind: r.Kind.String(),
		Resonance: ring("resonance_frequency", r.Resonance, "Hz"), Frequency: ring("crossing_frequency", r.Frequency, "Hz"),
		Quality: ring("quality_factor", r.Quality, "1"), Damping: ring("damping", r.Damping, "1/s"),
		Amplitude: ring("amplitude", r.Amplitude, unit), Offset: ring("offset", r.Offset, unit),
		NoiseRMS: number(r.Noise.RMS), Tones: []jsonTone{}, Bursts: []jsonBurst{}, Warnings: append([]string{}, captureNotes(c)...)}
	if r.QualityAtLeast > 0 {
		j.QualityAtLeast = number(r.QualityAtLeast)
	}
	for _, t := range r.Tones {
		j.Tones = append(j.Tones, jsonTone{t.Relation.String(), t.Harmonic, ring("frequency", t.Frequency, "Hz"),
			ring("quality_factor", t.Quality, "1"), ring("amplitude", t.Amplitude, unit)})
	}
	for _, s := range r.Bursts {
		j.Bursts = append(j.Bursts, jsonBurst{s.Start, s.End, "s", s.Cycles})
	}
	return j
}

// ring is estimate for what ringing found.
func ring(name string, e ringing.Estimate, unit string) jsonEstimate {
	j := jsonEstimate{Name: name, Unit: unit, Determined: e.Determined}
	if e.Determined {
		j.Value, j.Uncertainty = number(e.Value), number(e.Uncertainty)
		if !math.IsInf(e.Interval[0], 0) && !math.IsInf(e.Interval[1], 0) {
			j.Interval = &[2]float64{e.Interval[0], e.Interval[1]}
		}
	}
	return j
}

// Row makes a row of a bench log of a capture, with the words of the state it
// was taken in. Its note holds what the capture leaves in doubt.
func Row(c Captured, words []string) benchlog.Row {
	r := c.Result
	row := benchlog.Row{Frequency: r.Resonance.Value, Uncertainty: r.Resonance.Uncertainty,
		Amplitude: math.NaN(), AmplitudeUnit: c.Capture.Unit, Quality: math.NaN(), State: words, Cautions: captureNotes(c)}
	if r.Amplitude.Determined {
		row.Amplitude = r.Amplitude.Value
	}
	if r.Quality.Determined {
		row.Quality = r.Quality.Value
	}
	return row
}
