package main

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// printed is a number in a line of text: what it says, and half of its last digit.
type printed struct{ value, half float64 }

var (
	numberInText = regexp.MustCompile(`[-+−]?[0-9]+(\.[0-9]+)?(e-[0-9]+)?`)
	unitInText   = regexp.MustCompile(`(MHz|kHz|Hz|mH|µH|pF|fF|nF|MΩ|kΩ|Ω|mV|V|µJ|nJ|mJ|mA|µA|A|ns²|ps²|cm|mm|µs|ns|ms|ppm|%)( |$|,|;|\))`)
)

// unitsOfText is what a number stands for beside a unit. A ratio has none, or is in percent.
var unitsOfText = map[string]float64{"": 1, "%": 1e-2, "ppm": 1e-6, "MHz": 1e6, "kHz": 1e3, "Hz": 1, "H": 1, "mH": 1e-3, "µH": 1e-6, "nF": 1e-9, "pF": 1e-12, "fF": 1e-15,
	"MΩ": 1e6, "kΩ": 1e3, "Ω": 1, "kV": 1e3, "V": 1, "mV": 1e-3, "kV/cm": 1e5, "A/mm²": 1e6, "mJ": 1e-3, "µJ": 1e-6, "nJ": 1e-9, "A": 1, "mA": 1e-3, "µA": 1e-6, "ns²": 1e-18, "ps²": 1e-24,
	"cm": 1e-2, "mm": 1e-3, "ms": 1e-3, "µs": 1e-6, "ns": 1e-9}

func numbersIn(line string) (list []printed) {
	for _, m := range numberInText.FindAllString(line, -1) {
		m = strings.ReplaceAll(m, "−", "-")
		v, err := strconv.ParseFloat(strings.TrimPrefix(m, "+"), 64)
		if err != nil {
			continue
		}
		digits, power, _ := strings.Cut(m, "e")
		exponent, _ := strconv.Atoi(power)
		if _, behind, ok := strings.Cut(digits, "."); ok {
			exponent -= len(behind)
		} else if short := strings.TrimRight(digits, "0"); len(short) > 1 { // 250: rounded to tens
			exponent += len(digits) - len(short)
		}
		list = append(list, printed{v, 0.5 * math.Pow10(exponent)})
	}
	return list
}

// inOrder tells whether the numbers of a line hold the values, one after another, rounded to their
// last digits, all but ratios in one of the units that the line names.
func inOrder(line string, values ...float64) bool {
	units := []string{""}
	for _, m := range unitInText.FindAllStringSubmatch(line, -1) {
		units = append(units, m[1])
	}
	for _, u := range units {
		left := values
		for _, p := range numbersIn(line) {
			if len(left) > 0 && math.Abs(p.value-left[0]/unitsOfText[u]) <= 1.01*p.half {
				left = left[1:]
			}
		}
		if len(left) == 0 {
			return true
		}
	}
	return false
}

// expectLine fails unless a line of the text has the values, and the word, which may run on
// to the next.
func expectLine(t *testing.T, text, word string, values ...float64) {
	t.Helper()
	var with []string
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		at := strings.Index(line+" "+strings.TrimSpace(lines[min(i+1, len(lines)-1)]), word)
		if at >= 0 && at < len(line) {
			if with = append(with, line); inOrder(line, values...) {
				return
			}
		}
	}
	t.Errorf("no line with %q has %v: %q", word, values, with)
}

// numbers are the value of an estimate, its uncertainty and its interval.
func (e *told) numbers() []float64 {
	if e.Uncertainty == nil || e.Interval == nil {
		return []float64{*e.Value}
	}
	return []float64{*e.Value, *e.Uncertainty, e.Interval[0], e.Interval[1]}
}

// both runs a command for people and for programs.
func both[T any](t *testing.T, command string) (text string, out T) {
	t.Helper()
	args := strings.Fields(command)
	for i := range args { // ~ stands for a space within a word
		args[i] = strings.ReplaceAll(args[i], "~", " ")
	}
	a := ask("", args...)
	if a.code != exitAnswered {
		t.Fatalf("%s: exit code %d: %s", command, a.code, a.err)
	}
	var machine []string
	for _, w := range args {
		if w != "--full" {
			machine = append(machine, w)
		}
	}
	j := ask("", append(machine, "--json")...)
	must.Do(t, json.Unmarshal([]byte(j.out), &out))
	return a.out, out
}

// The readings in the text of fit are those in JSON: read, fitted, residual with its sign,
// standardised residual, in this order. (Quantities: see TestToldNumbersGoTogether.)
func TestTextOfReadings(t *testing.T) {
	inDemo(t)
	type fitted struct {
		Readings []struct {
			Line                        int
			Frequency, Fitted, Residual float64
			Standardised                float64 `json:"standardised_residual"`
		}
		Quality struct {
			ChiSquare float64 `json:"chi_square"`
			PValue    float64 `json:"p_value"`
			Degrees   float64 `json:"degrees_of_freedom"`
		}
	}
	text, f := both[fitted](t, "fit lighthouse.csv --full")
	inMegahertz := strings.ReplaceAll(text, " kHz ", " MHz ") // as the head of their columns says
	for _, o := range f.Readings {
		word := fmt.Sprintf(" %d  ", o.Line)
		expectLine(t, inMegahertz, word, o.Frequency, o.Fitted)
		expectLine(t, text, word, o.Residual)
		expectLine(t, text, word, o.Standardised)
		sign := `\+`
		if o.Residual < 0 {
			sign = "-"
		}
		if last := regexp.MustCompile(`(?m)^ +` + strconv.Itoa(o.Line) + `  .* (?:` + sign + `[0-9.]+|[0.]+) kHz +(?:` + sign + `[0-9.]+|[0.]+)$`); !last.MatchString(text) {
			t.Errorf("line %d: its residual %v isn't told with its sign", o.Line, o.Residual)
		}
	}
	expectLine(t, text, "χ² = ", f.Quality.ChiSquare, f.Quality.Degrees)
	expectLine(t, text, "χ² = ", f.Quality.PValue)
}

// The frequency of a prediction with its interval, that of a new reading apart, and what
// else the change does.
func TestTextOfPredictions(t *testing.T) {
	inDemo(t)
	type predicted struct {
		Frequency struct {
			told
			New [2]float64 `json:"prediction_interval_95"`
		}
		effects
	}
	for _, state := range []string{"core=rod covered=60% hand=20cm", "hand=20cm", "core=rod"} {
		text, p := both[predicted](t, "predict lighthouse.csv "+state+" --full")
		expectLine(t, text, "MHz", append(p.Frequency.numbers(), p.Frequency.New[:]...)...)
		for _, e := range p.Effects {
			word := strings.ReplaceAll(strings.ReplaceAll(e.Name, "_", " "), "1 kV", "1")
			if e.Value != nil {
				expectLine(t, text, word, *e.Value, *e.Uncertainty)
			}
			expectLine(t, text, word, *e.Ratio.Value, *e.Ratio.Uncertainty)
		}
	}
	type reach struct {
		Setting  told
		Standard []struct {
			Capacitance float64
			Frequency   told
		} `json:"standard_values"`
	}
	text, r := both[reach](t, "predict lighthouse.csv --reach 1.5MHz --by added")
	expectLine(t, text, "pF", r.Setting.numbers()...)
	for _, s := range r.Standard {
		expectLine(t, text, fmt.Sprintf("%.2g pF", 1e12*s.Capacitance), *s.Frequency.Value, *s.Frequency.Uncertainty)
	}
}

// What each proposal does, before and after.
func TestTextOfNext(t *testing.T) {
	inDemo(t)
	type proposals struct {
		Now        told
		Candidates []struct {
			What, Kind    string
			Before, After told
			Helps         bool
		}
	}
	text, p := both[proposals](t, "next lighthouse.csv --for L")
	expectLine(t, text, "now", *p.Now.Value, *p.Now.Uncertainty)
	relative := func(e told) float64 { return *e.Uncertainty / *e.Value }
	told := 0
	for _, c := range p.Candidates {
		if c.Helps && strings.Contains(text, "  "+c.What+"  ") {
			expectLine(t, text, "  "+c.What+"  ", relative(c.Before), relative(c.After))
			told++
		}
	}
	if told < 5 {
		t.Errorf("%d of %d proposals are told", told, len(p.Candidates))
	}
}

// What moved between two sessions: both values, the difference and how many sigmas.
func TestTextOfCompare(t *testing.T) {
	inDemo(t)
	type compared struct {
		Changes []struct {
			Name             string
			A, B, Difference told
			Sigmas           float64
			Moved            bool
		}
	}
	text, c := both[compared](t, "compare lighthouse.csv rebuilt.csv --full")
	checked := 0
	for _, d := range c.Changes {
		if !d.Difference.Determined || strings.Contains(d.Name, "strength") || d.A.Hand > 0 {
			continue
		}
		checked++
		word := "  " + strings.Split(d.Name, "_")[0]
		switch {
		case d.A.Core != "":
			word = "core " + d.A.Core + ","
		case d.A.Part != "":
			word = d.A.Part
		case d.Name == "lc_product":
			word = "L × C"
		}
		expectLine(t, text, word, *d.A.Value, *d.B.Value, *d.Difference.Value, *d.Difference.Uncertainty)
		expectLine(t, text, word, d.Sigmas)
	}
	if checked < 12 {
		t.Errorf("%d differences looked at", checked)
	}
}

// A drawing, a capture and a log as read.
func TestTextOfInputs(t *testing.T) {
	inDemo(t)
	type coil struct {
		Estimates []told
		Cross     struct {
			Shape    float64 `json:"length_over_diameter"`
			Drawn    told
			Medhurst told
		} `json:"cross_check"`
	}
	text, c := both[coil](t, "coil lighthouse-coil.csv --hand 10cm --full")
	for i := range c.Estimates {
		e := &c.Estimates[i]
		word := "  " + strings.ReplaceAll(strings.TrimSuffix(e.Name, "_with_core"), "_", " ")
		expectLine(t, text, word, e.numbers()...)
	}
	for _, e := range []told{c.Cross.Drawn, c.Cross.Medhurst} {
		expectLine(t, text, "pF", *e.Value, *e.Uncertainty)
	}
	type captured struct {
		Captures []struct {
			Resonance told `json:"resonance_frequency"`
			Crossing  told `json:"crossing_frequency"`
			Quality   told `json:"quality_factor"`
			Damping   told
			Amplitude told
			Offset    told
		}
	}
	text, d := both[captured](t, "capture captures/lighthouse-ringdown.csv --full")
	r := d.Captures[0]
	for word, e := range map[string]told{"resonance frequency": r.Resonance, "damped frequency": r.Crossing, "quality factor": r.Quality,
		"decay rate": r.Damping, "initial amplitude": r.Amplitude, "offset": r.Offset} {
		expectLine(t, text, "  "+word, e.numbers()...)
	}
	type read struct {
		Readings []struct {
			Line        int
			Frequency   float64
			Uncertainty float64 `json:"standard_uncertainty"`
		}
		Parts []struct {
			Name        string
			Capacitance float64
			Uncertainty float64 `json:"standard_uncertainty"`
			Known       bool
		}
	}
	text, l := both[read](t, "check lighthouse.csv")
	for _, o := range l.Readings {
		expectLine(t, text, fmt.Sprintf(" %d  ", o.Line), o.Frequency, o.Uncertainty)
	}
	_, parts, _ := strings.Cut(text, "Parts")
	parts = strings.ReplaceAll(strings.Join(strings.Fields(parts), " "), "; ", "\n")
	for _, p := range l.Parts {
		if p.Known {
			expectLine(t, parts, p.Name, p.Capacitance, p.Uncertainty)
		}
	}
}
