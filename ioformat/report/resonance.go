package report

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
)

// Swept is a sweep with the resonance found in it.
type Swept struct {
	Sweep  *waveform.Sweep
	Result *resonance.Result
	// Captures is the number of captures that the sweep was put together of, 0
	// for a table.
	Captures int
}

// DrivenSweep puts captures of a steady tone each together as a sweep; ok is
// false unless all are steady, at seven frequencies at least, and none is far
// from the others.
func DrivenSweep(list []Captured) (s *waveform.Sweep, timebase float64, ok bool) {
	const fewest, span = 7, 1.5
	if len(list) < fewest {
		return nil, 0, false
	}
	s = &waveform.Sweep{Name: fmt.Sprintf("%d captures", len(list)), Column: "amplitude", Unit: list[0].Capture.Unit}
	low, high := math.Inf(1), 0.0
	for _, c := range list {
		r := c.Result
		if r.Kind != ringing.Steady || !r.Amplitude.Determined || !(r.Amplitude.Value > 0) || c.Capture.Unit != s.Unit {
			return nil, 0, false
		}
		s.Points = append(s.Points, resonance.Point{Frequency: r.Frequency.Value, Amplitude: r.Amplitude.Value})
		low, high = math.Min(low, r.Frequency.Value), math.Max(high, r.Frequency.Value)
		timebase = math.Max(timebase, r.Frequency.Uncertainty/r.Frequency.Value)
	}
	return s, timebase, high < span*low
}

// swept writes the resonance of a sweep.
func (t *text) swept(s Swept, terse int) {
	r := s.Result
	n := len(r.Points)
	low, high := r.Points[0].Frequency, r.Points[n-1].Frequency
	head := fmt.Sprintf("%s: %d amplitudes of %s", s.Sweep.Name, n, columnName(s.Sweep.Column))
	if s.Captures > 0 {
		head = s.Sweep.Name + " as a sweep of the drive, if all are of one state of the coil"
	}
	t.line(fmt.Sprintf("%s, %s to %s", head, quantity.FormatValue(low, 4, "Hz"), quantity.FormatValue(high, 4, "Hz")))
	if notes := sweepNotes(s); len(notes) > 0 {
		t.section("Notes", "")
		t.bullets(notes, terse)
	}
	t.section("A resonance curve", "± is one standard uncertainty")
	t.table(foundTable(sweepQuantities(s)))
	of := "of the amplitude"
	if r.Constant {
		of = "of the peak"
	}
	t.under(fmt.Sprintf("the readings scatter by %s %% %s about the curve", quantity.Digits(100*r.Scatter, 2), of))
	if terse == everything {
		t.section("Taken as given", "")
		for _, n := range sweepAssumptions {
			t.bullet(n)
		}
		return
	}
	t.blank()
	t.point("Limits", "the drive is taken to be equally large at all frequencies; driver and probe lower the quality factor")
	t.point("Next", "fitcoil capture FILE --row STATE --append LOG adds it to a log; more: --full")
}

// sweepAssumptions hold for every sweep.
var sweepAssumptions = []string{
	"the drive is taken to be equally large at all frequencies",
	"the quality factor is that of the coil with all that loads it: driver and probe, coupled as they are, lower it",
}

func sweepQuantities(s Swept) []foundRow {
	r := s.Result
	unit := cmp.Or(s.Sweep.Unit, "1")
	return []foundRow{
		{"resonance_frequency", "resonance frequency", r.Resonance, "Hz"},
		{"quality_factor", "quality factor", r.Quality, "1"},
		{"amplitude", "amplitude at resonance", r.Peak, unit},
		{"direct_share", "share that reaches the probe directly", r.Direct, "1"},
	}
}

// sweptNotes say what those on a sweep mean; {a}, {p} and {f} are what they hold, as a number, a percentage and a frequency.
var sweptNotes = map[resonance.Kind]string{
	resonance.Pattern:   "the readings don't scatter about the curve at random: this isn't one resonance alone, or drive or coil changed during the sweep; the uncertainties are enlarged, but f and Q may be off by more",
	resonance.FewInPeak: "only {a} readings lie within the half-power width: take more there",
	resonance.Below:     "below the peak the amplitude was followed to {p} % only: go on to half of it",
	resonance.Above:     "above the peak the amplitude was followed to {p} % only: go on to half of it",
	resonance.FewDigits: "the frequencies are written to {f}, which makes most of the uncertainty: write as many digits as the generator shows",
	resonance.Coupled:   "{p} % of the peak reaches the probe directly: move the probe away from the driver",
}

// sweepNotes says what a sweep leaves in doubt.
func sweepNotes(s Swept) []string {
	notes := append([]string(nil), s.Sweep.Notes...)
	for _, n := range s.Result.Notes {
		notes = append(notes, strings.NewReplacer("{a}", quantity.Decimals(n.Value, 0), "{p}", quantity.Decimals(100*n.Value, 0),
			"{f}", quantity.FormatValue(n.Value, 1, "Hz").String()).Replace(sweptNotes[n.Kind]))
	}
	return notes
}

// refusals say why a sweep gives no resonance, and what to do; {a} and {b} are the frequencies concerned.
var refusals = map[resonance.Reason]string{
	resonance.TooFew:   "a resonance curve of {got} frequencies; at least {need} are needed, three of them where the amplitude is above 70 % of the peak",
	resonance.BelowAll: "the amplitude falls from the lowest frequency on, {a}: the resonance is below; begin the sweep lower",
	resonance.AboveAll: "the amplitude rises to the highest frequency, {b}: the resonance is above; sweep on",
	resonance.NoPeak:   "the amplitude doesn't rise to a peak more clearly than the readings scatter: take more of them, from half of the peak on one side to half on the other",
	resonance.Slip:     "the amplitude at {a} is far from that at both its neighbours: check it, or take more readings there, where another peak or a dip may be",
	resonance.TwoPeaks: "there are two peaks, near {a} and {b}: two coupled circuits or two modes; sweep around one alone, or loosen the coupling to the driver",
	resonance.NoWidth:  "the readings leave the width of the resonance open: take more of them, on both sides down to half of the peak",
}

// SweepRefused says why a sweep gives no resonance, and what to do.
func SweepRefused(err error) string {
	var r *resonance.Refusal
	if !errors.As(err, &r) {
		return err.Error()
	}
	text := cmp.Or(refusals[r.Reason], "no resonance curve fits the readings: look at them; the amplitude should rise to one peak and fall behind it")
	return strings.NewReplacer("{a}", quantity.FormatValue(r.Frequencies[0], 4, "Hz").String(), "{b}", quantity.FormatValue(r.Frequencies[1], 4, "Hz").String(),
		"{got}", quantity.Decimals(r.Got, 0), "{need}", quantity.Decimals(r.Need, 0)).Replace(text)
}

type jsonResonance struct {
	Name       string         `json:"name"`
	Column     string         `json:"column"`
	Readings   int            `json:"readings"`
	Captures   int            `json:"captures,omitempty"`
	Quantities []jsonEstimate `json:"quantities"`
	Scatter    float64        `json:"scatter"`
	ScatterOf  string         `json:"scatter_of"`
	DegreesOf  float64        `json:"degrees_of_freedom"`
	Warnings   []string       `json:"warnings"`
	Assumed    []string       `json:"assumed"`
}

func sweptJSON(s *Swept) jsonResonance {
	r := s.Result
	j := jsonResonance{Name: s.Sweep.Name, Column: s.Sweep.Column, Readings: len(r.Points), Captures: s.Captures,
		Scatter: r.Scatter, ScatterOf: "amplitude", DegreesOf: r.Degrees, Warnings: append([]string{}, sweepNotes(*s)...), Assumed: sweepAssumptions}
	if r.Constant {
		j.ScatterOf = "peak"
	}
	if math.IsInf(j.DegreesOf, 0) {
		j.DegreesOf = float64(len(r.Points))
	}
	j.Quantities = each(sweepQuantities(*s), func(q *foundRow) jsonEstimate { return ring(q.name, q.e, q.unit) })
	return j
}

// SweepRow makes a row of a bench log of a sweep.
func SweepRow(s Swept, words []string) benchlog.Row {
	r := s.Result
	unit := quantity.BaseUnit(s.Sweep.Unit)
	return benchlog.Row{Frequency: r.Resonance.Value, Uncertainty: r.Resonance.Uncertainty,
		Amplitude: r.Peak.Value, AmplitudeUnit: unit, Quality: r.Quality.Value, State: words, Cautions: sweepNotes(s)}
}
