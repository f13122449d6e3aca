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
	"fitcoil/model/quantities"
	"fitcoil/model/ringing"
)

// Captured is one capture with what was found in it.
type Captured struct {
	Capture *waveform.Capture
	Result  *ringing.Result
}

// CaptureText writes what captures give, for people to read.
func CaptureText(w io.Writer, list []Captured, sweeps []Swept, v View) error {
	return written(w, v, func(t *text, terse int) {
		several := terse >= 0 && len(list) > 1
		if several {
			t.capturesTable(list, terse)
		}
		for _, c := range list {
			if !several {
				t.blank()
				t.captured(c, terse)
			}
		}
		for _, s := range sweeps {
			t.blank()
			t.swept(s, terse)
		}
	})
}

// capturesTable lists several captures, a line each.
func (t *text) capturesTable(list []Captured, terse int) {
	t.line(fmt.Sprintf("%s (± is one standard uncertainty)", quantity.Count(len(list), "capture")))
	tab := newTable(left(""), right("resonance"), left("±"), left(""), right("Q factor"), left("±"), left(""))
	var notes []string
	most := 18 - 3*terse
	for i, c := range list {
		for _, n := range captureNotes(c) {
			notes = append(notes, recordName(c.Capture)+": "+n)
		}
		if i >= most {
			continue
		}
		r := c.Result
		row := append([]string{recordName(c.Capture)}, ringCells(r.Resonance, "Hz")[:3]...)
		q := []string{"-", ""}
		if r.Quality.Determined {
			q = ringCells(r.Quality, "")[:2]
		}
		tab.row(append(append(row, q...), r.Kind.String())...)
	}
	if len(notes) > 0 {
		t.section("Notes", "")
		t.bullets(notes, terse)
		t.blank()
	}
	t.table(tab)
	t.more(len(list) - most)
}

// foundRow is a quantity found in a capture or a sweep: its name in files, and in words.
type foundRow struct {
	name, words string
	e           quantities.Estimate
	unit        string
}

// foundRows lists what was found in a capture.
func foundRows(c Captured) []foundRow {
	r, unit := c.Result, c.Capture.Unit
	return []foundRow{
		{"resonance_frequency", "resonance frequency", r.Resonance, "Hz"},
		{"crossing_frequency", "damped frequency", r.Frequency, "Hz"},
		{"quality_factor", "quality factor", r.Quality, "1"},
		{"damping", "decay rate α", r.Damping, "1/s"},
		{"amplitude", "initial amplitude", r.Amplitude, unit},
		{"offset", "offset", r.Offset, unit},
	}
}

// capturedRows lists what is told of it, in brief or all of it.
func capturedRows(c Captured, all bool) []foundRow {
	list := foundRows(c)
	switch frequency, amplitude, offset := list[1], list[4], list[5]; {
	case c.Result.Kind == ringing.Steady:
		frequency.words, amplitude.words = "frequency of the tone", "amplitude"
		if list = []foundRow{frequency, amplitude}; all {
			list = append(list, offset)
		}
	case !all:
		list = []foundRow{list[0], list[2], amplitude}
	}
	return list
}

// foundTable has a row for each of them.
func foundTable(list []foundRow) *Table {
	tab := newTable(left(""), right("value"), left("±"), left(""), left("95 % interval"))
	for _, q := range list {
		tab.row(append([]string{q.words}, ringCells(q.e, quantity.BaseUnit(q.unit))...)...)
	}
	return tab
}

// columnName is that of a column of a file; a letter doesn't say so itself.
func columnName(s string) string { return "column " + strings.TrimPrefix(s, "column ") }

// captured writes one capture.
func (t *text) captured(c Captured, terse int) {
	r := c.Result
	t.line(fmt.Sprintf("%s: %s of %s, %s apart", recordName(c.Capture), quantity.Count(len(c.Capture.Signal.Samples), "sample"), columnName(c.Capture.Column),
		quantity.FormatValue(c.Capture.Signal.Interval, 4, "s")))
	if notes := captureNotes(c); len(notes) > 0 {
		t.section("Notes", "")
		t.bullets(notes, terse)
	}
	claim := "± is one standard uncertainty"
	if r.Unclaimed {
		claim = "without ±: see the notes"
	}
	t.section(fmt.Sprintf("A %s tone", r.Kind), claim)
	unit := c.Capture.Unit
	t.table(foundTable(capturedRows(c, terse == everything)))
	if !r.Quality.Determined && r.QualityAtLeast > 0 {
		t.under(fmt.Sprintf("quality factor at least %s", quantity.FormatValue(r.QualityAtLeast, 2, "")))
	}
	if terse == everything {
		t.under(fmt.Sprintf("residual noise %s rms", quantity.FormatValue(r.Noise.RMS, 2, unit)))
	}
	t.modes(r, unit, terse)
	if terse != everything {
		t.blank()
		t.point("Next", "fitcoil capture FILE --row STATE --append LOG adds it to a log; more: --full")
		return
	}
	t.tones(r, unit)
	t.bursts(r)
	t.usedShare(r)
}

// modes lists the modes of a coupled circuit.
func (t *text) modes(r *ringing.Result, unit string, terse int) {
	if len(r.Modes) < 2 {
		return
	}
	t.section("Modes", "of the loudest ring")
	tab := newTable(right("undamped frequency"), left("±"), left(""), right("quality factor"), left("±"), right("amplitude"), left("±"), left(""))
	modes := r.Modes
	if terse >= 0 {
		modes = modes[:min(len(modes), 4)]
	}
	for _, m := range modes {
		row := append(ringCells(m.Natural, "Hz")[:3], ringCells(m.Quality, "")[:2]...)
		tab.row(append(row, ringCells(m.Amplitude, unit)[:3]...)...)
	}
	t.table(tab)
	f1, f2 := r.Modes[0].Natural, r.Modes[1].Natural
	split := quantities.Estimate{Value: math.Abs(f2.Value - f1.Value), Unclaimed: r.Unclaimed, Uncertainty: math.Hypot(f1.Uncertainty, f2.Uncertainty)}
	if v := r.Covariance; v != nil {
		split.Uncertainty = math.Sqrt(math.Max(0, v[0][0]+v[2][2]-2*v[0][2]))
	}
	t.under(fmt.Sprintf("split of the first two: %s, %s of the lower one",
		ringText(split, "Hz"), share(math.Abs(f2.Value-f1.Value)/math.Min(f1.Value, f2.Value))))
}

// share writes a ratio in percent.
func share(x float64) string { return quantity.FormatValue(100*x, 3, "").String() + " %" }

// tones lists what was found beside the modes.
func (t *text) tones(r *ringing.Result, unit string) {
	tab := newTable(left(""), right("frequency"), left("±"), left(""), right("amplitude"), left("±"), left(""), right("quality factor"), left("±"))
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
		tab.row(append(row, q...)...)
	}
	if rows > 0 {
		t.section("Other tones", "")
		t.table(tab)
	}
}

func (t *text) bursts(r *ringing.Result) {
	title := "Rings"
	if r.Kind == ringing.Steady {
		title = "Stretches"
	}
	t.section(title, "")
	tab := newTable(right("from"), right("to"), right("cycles"), right("frequency"), right("quality factor"), left(""))
	for _, s := range r.Bursts {
		q, apart := "-", ""
		if s.Tone.Quality.Determined && r.Kind == ringing.Decay {
			q = ringText(s.Tone.Quality, "")
		}
		if s.Apart {
			apart = "left out"
		}
		tab.row(quantity.FormatValue(s.Start, 4, "s").String(), quantity.FormatValue(s.End, 4, "s").String(),
			quantity.Decimals(s.Cycles, 0), ringText(s.Tone.Natural, "Hz"), q, apart)
	}
	t.table(tab)
	if n := len(r.Bursts); r.Found > n {
		t.under(fmt.Sprintf("%d of %d rings found were fitted; the others are too short, hold no tone, or are not among the loudest", n, r.Found))
	}
}

// usedShare says how much of the capture was fitted, and why the rest wasn't.
func (t *text) usedShare(r *ringing.Result) {
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
	t.under(fmt.Sprintf("fitted: %s of the capture; left out: %s", share(r.Used), strings.Join(why, ", ")))
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
		notes = append(notes, CaptureNote(n))
	}
	return notes
}

// notClaimed stands for an interval where more is wrong than noise.
const notClaimed = "not claimed"

// ringText writes a quantity with its ±, if any is claimed.
func ringText(e quantities.Estimate, unit string) string {
	t := quantity.Format(e.Value, e.Uncertainty, unit)
	if e.Unclaimed {
		t.Uncertainty = ""
	}
	return t.String()
}

// ringCells returns value, uncertainty, unit and interval.
func ringCells(e quantities.Estimate, unit string) []string {
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
