package report

import (
	"fmt"
	"io"
	"math"
	"slices"
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
	claim := "± is one standard uncertainty"
	if r.Unclaimed {
		claim = "without ±: see the notes"
	}
	section(b, fmt.Sprintf("A %s tone", r.Kind), claim)
	unit := c.Capture.Unit
	t := newTable(left(""), right("value"), left("±"), left(""), left("95 % interval"))
	type quantityRow struct {
		name string
		e    ringing.Estimate
		unit string
	}
	rows := []quantityRow{
		{"resonance frequency, for the log", r.Resonance, "Hz"},
		{"frequency of the crossings", r.Frequency, "Hz"},
		{"quality factor", r.Quality, ""},
		{"damping", r.Damping, "1/s"},
	}
	if r.Kind == ringing.Steady {
		rows = []quantityRow{{"frequency of the tone", r.Frequency, "Hz"}}
	}
	for _, q := range append(rows, quantityRow{"amplitude at the beginning", r.Amplitude, unit}, quantityRow{"offset", r.Offset, unit}) {
		t.row(append([]string{q.name}, ringCells(q.e, q.unit)...)...)
	}
	b.WriteString(t.text())
	if !r.Quality.Determined && r.QualityAtLeast > 0 {
		fmt.Fprintf(b, "  quality factor at least %s\n", quantity.FormatValue(r.QualityAtLeast, 2, ""))
	}
	fmt.Fprintf(b, "  residual noise %s rms\n", quantity.FormatValue(r.Noise.RMS, 2, unit))
	modeText(b, r, unit)
	tonesText(b, r, unit)
	burstText(b, r)
	usedText(b, r)
	if notes := captureNotes(c); len(notes) > 0 {
		section(b, "Notes", "")
		for _, n := range notes {
			bullet(b, n)
		}
	}
}

// modeText lists the modes of a coupled circuit.
func modeText(b *strings.Builder, r *ringing.Result, unit string) {
	if len(r.Modes) < 2 {
		return
	}
	section(b, "Modes", "of the loudest ring")
	t := newTable(right("undamped frequency"), left("±"), left(""), right("quality factor"), left("±"), right("amplitude"), left("±"), left(""))
	for _, m := range r.Modes {
		row := append(ringCells(m.Natural, "Hz")[:3], ringCells(m.Quality, "")[:2]...)
		t.row(append(row, ringCells(m.Amplitude, unit)[:3]...)...)
	}
	b.WriteString(t.text())
	f1, f2 := r.Modes[0].Natural, r.Modes[1].Natural
	split := ringing.Estimate{Value: math.Abs(f2.Value - f1.Value), Unclaimed: r.Unclaimed, Uncertainty: math.Hypot(f1.Uncertainty, f2.Uncertainty)}
	if v := r.Covariance; v != nil {
		split.Uncertainty = math.Sqrt(math.Max(0, v[0][0]+v[2][2]-2*v[0][2]))
	}
	fmt.Fprintf(b, "  split of the first two: %s, %s of the lower one\n",
		ringText(split, "Hz"), share(math.Abs(f2.Value-f1.Value)/math.Min(f1.Value, f2.Value)))
}

// share writes a ratio in percent.
func share(x float64) string { return quantity.FormatValue(100*x, 3, "").String() + " %" }

// tonesText lists what was found beside the modes.
func tonesText(b *strings.Builder, r *ringing.Result, unit string) {
	t := newTable(left(""), right("frequency"), left("±"), left(""), right("amplitude"), left("±"), left(""), right("quality factor"), left("±"))
	rows := 0
	for _, tone := range r.Tones[1:] {
		if slices.ContainsFunc(r.Modes, func(m ringing.Tone) bool { return m.Frequency.Value == tone.Frequency.Value }) {
			continue
		}
		rows++
		name := tone.Relation.String()
		if tone.Relation == ringing.Harmonic {
			name = fmt.Sprintf("harmonic %d", tone.Harmonic)
		}
		row := append([]string{name}, ringCells(tone.Frequency, "Hz")[:3]...)
		row = append(row, ringCells(tone.Amplitude, unit)[:3]...)
		q := []string{"-", ""}
		if tone.Quality.Determined && tone.Relation != ringing.Steadily {
			q = ringCells(tone.Quality, "")[:2]
		}
		t.row(append(row, q...)...)
	}
	if rows > 0 {
		section(b, "Besides", "")
		b.WriteString(t.text())
	}
}

func burstText(b *strings.Builder, r *ringing.Result) {
	title := "Rings"
	if r.Kind == ringing.Steady {
		title = "Stretches"
	}
	section(b, title, "")
	t := newTable(right("from"), right("to"), right("cycles"), right("frequency"), right("quality factor"), left(""))
	for _, s := range r.Bursts {
		q, apart := "-", ""
		if s.Tone.Quality.Determined && r.Kind == ringing.Decay {
			q = ringText(s.Tone.Quality, "")
		}
		if s.Apart {
			apart = "left out"
		}
		t.row(quantity.FormatValue(s.Start, 4, "s").String(), quantity.FormatValue(s.End, 4, "s").String(),
			fmt.Sprintf("%.0f", s.Cycles), ringText(s.Tone.Natural, "Hz"), q, apart)
	}
	b.WriteString(t.text())
	if n := len(r.Bursts); r.Found > n {
		fmt.Fprintf(b, "  %d of %d rings found were fitted; the others are too short, hold no tone, or are not among the loudest\n", n, r.Found)
	}
}

// usedText says how much of the capture was fitted, and why the rest wasn't.
func usedText(b *strings.Builder, r *ringing.Result) {
	if r.Used > mostlyAll {
		return
	}
	var why []string
	for w := ringing.BeforeRing; w <= ringing.OtherRing; w++ {
		var seconds float64
		for _, l := range r.Left {
			if l.Why == w {
				seconds += l.End - l.Start
			}
		}
		if seconds > 0 {
			why = append(why, quantity.FormatValue(seconds, 3, "s").String()+" "+w.String())
		}
	}
	fmt.Fprintf(b, "  fitted: %s of the capture; left out: %s\n", share(r.Used), strings.Join(why, ", "))
}

// mostlyAll is the share of a capture above which nothing was left out.
const mostlyAll = 0.995

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

// notClaimed stands for an interval where more is wrong than noise.
const notClaimed = "not claimed"

// ringText writes a quantity with its ±, if any is claimed.
func ringText(e ringing.Estimate, unit string) string {
	t := quantity.Format(e.Value, e.Uncertainty, unit)
	if e.Unclaimed {
		t.Uncertainty = ""
	}
	return t.String()
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
	if e.Unclaimed {
		return []string{v.Value, "", unit, notClaimed}
	}
	return []string{v.Value, v.Uncertainty, unit, i.Low + " to " + i.High}
}

// Row makes a row of a bench log of a capture, with the words of the state it
// was taken in. Its note holds what the capture leaves in doubt.
func Row(c Captured, words []string) benchlog.Row {
	r := c.Result
	row := benchlog.Row{Frequency: r.Resonance.Value, Uncertainty: r.Resonance.Uncertainty, Unclaimed: r.Resonance.Unclaimed,
		Amplitude: math.NaN(), AmplitudeUnit: c.Capture.Unit, Quality: math.NaN(), State: words, Cautions: captureNotes(c)}
	if r.Amplitude.Determined {
		row.Amplitude = r.Amplitude.Value
	}
	if r.Quality.Determined {
		row.Quality = r.Quality.Value
	}
	return row
}
