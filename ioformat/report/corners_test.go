package report

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/ringing"
)

// Numbers of all sizes, in words.
func TestNumbersInWords(t *testing.T) {
	pair := func(of func(v float64) string, list ...any) {
		t.Helper()
		for i := 0; i < len(list); i += 2 {
			if got := of(list[i].(float64)); got != list[i+1] {
				t.Errorf("%v: %q, want %q", list[i], got, list[i+1])
			}
		}
	}
	pair(func(v float64) string { return reduced(estimation.Quality{ChiSquare: 2 * v, DegreesOfFreedom: 2}) },
		0.0049, "0.00", 0.0051, "0.01", 9.994, "9.99", 10.4, "10", 999999.4, "999999", 2.34e7, "2.3e+07")
	pair(scaleText, 1.0, "1", 99.9, "99.9", 100.4, "100", 12345.0, "12345")
	pair(signedNumber, 99.94, "+99.9", 100.0, "+100", -1234.0, "-1234", -0.5, "-0.5")
	pair(func(v float64) string { return fmt.Sprint(residualDecimals(v)) }, 0.0, "2", math.Inf(1), "2", math.NaN(), "2", 500.0, "2", 99.0, "3", 1.0, "4", 1e-9, "7")
	pair(func(v float64) string { return perUnit(v, "mH", "pF") }, 0.5, "0.50 mH/pF")
	pair(func(v float64) string { return perUnit(v, "", "pF") }, 0.5, "0.50 /pF")
	pair(func(v float64) string { return perUnit(v, "mH", "") }, 0.5, "0.50 mH")
	pair(func(v float64) string { return perUnit(v, "", "") }, 0.5, "0.50")
	pair(func(v float64) string { return wording.Lines(make([]int, int(v))) }, 1.0, "line 0", 2.0, "lines 0 and 0", 9.0, "lines 0, 0, 0, 0, 0, 0, 0, 0 and 0", 10.0, "lines 0, 0, 0, 0, 0, 0, 0, 0 and 2 more")
	for name, want := range map[string]string{"ladder": "coupled-section", "line": "line"} {
		if got := shortName(name); got != want {
			t.Errorf("%q", got)
		}
	}
	for name, want := range map[string]string{"lumped": "lumped (forced)", "ladder": "coupled sections", "line": "uniform line with top load"} {
		if got := resonatorName(&model.Result{Result: &estimation.Result{Resonator: name}}); got != want {
			t.Errorf("%q", got)
		}
	}
	if got := verb(1, "is", "are") + verb(2, "is", "are") + verb(0, "is", "are"); got != "isareare" {
		t.Errorf("%q", got)
	}
	for k, want := range map[quantities.Key]string{{Name: "a"}: "a", {Name: "a", Core: "rod"}: "a:rod", {Name: "a", Part: "p"}: "a:p", {Name: "a", Hand: 0.1}: "a:0.1"} {
		if got := keyName(k); got != want {
			t.Errorf("%q", got)
		}
	}
	if got := strings.Join(Wrap("abcdefghijkl"+noBreak+"mnop"+noBreak+"qrstuvwxyz0123 end", 12), "|"); got != "abcdefghijkl|mnop|qrstuvwxyz01|23 end" {
		t.Errorf("%q", got)
	}
}

// What lies at its limit has an interval and no ±.
func TestAtALimit(t *testing.T) {
	e := estimateOf(quantities.CoreGain, "1", 1.2, 0.1)
	e.Interval, e.Bound = [2]float64{1, 1.4}, fit.Free+1
	if got := known(&e); got != "at its limit, 95 % interval 1.00 to 1.40" {
		t.Errorf("%q", got)
	}
	if got := signed(&e, 1); got != known(&e) {
		t.Errorf("%q", got)
	}
	if got := strings.Join(cells(&e, units{})[:4], "|"); got != "at its limit|||1.00 to 1.40" {
		t.Errorf("%q", got)
	}
	e.Bound = fit.Free
	if got := signed(&e, 1) + ", " + signed(&e, -1); got != "+ 1.20 ± 0.10, − 1.20 ± 0.10" {
		t.Errorf("%q", got)
	}
	e.Determined = false
	if got := signed(&e, 1) + ", " + known(nil); got != "not determined by these readings, not determined by these readings" {
		t.Errorf("%q", got)
	}
	drift := estimateOf(quantities.Drift, "1/h", 120e-6, 30e-6)
	if u := (units{}).estimate(&drift, drift.Uncertainty); u.Symbol != "ppm/h" || math.Abs(u.FromSI(120e-6)-120) > 1e-9 {
		t.Errorf("%+v", u)
	}
	none := decisions.Change{}
	if u := changeUnit(&none); u.Symbol != "" {
		t.Errorf("%+v", u)
	}
	none.B = estimateOf("", "F", 0.3e-12, 0.01e-12)
	if u := changeUnit(&none); u.Symbol != "pF" {
		t.Errorf("%+v", u)
	}
	for i, want := range []string{`core gain of core "rod"`, `core gain of "roof"`, "core gain at hand at 10 cm", "core gain"} {
		e := quantities.Estimate{Key: []quantities.Key{{Name: quantities.CoreGain, Core: "rod"}, {Name: quantities.CoreGain, Part: "roof"}, {Name: quantities.CoreGain, Hand: 0.1}, {Name: quantities.CoreGain}}[i]}
		if got := quantityOf(&e); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// The verdict by χ², scatter and what contradicts.
func TestVerdicts(t *testing.T) {
	q := estimation.Quality{DegreesOfFreedom: 4, ChiSquare: 6, PValue: 0.2, Scale: 1, Redundancy: 3}
	r := &model.Result{Result: &estimation.Result{Problem: &estimation.Problem{}}}
	for i, c := range []struct {
		change func(q *estimation.Quality)
		want   string
	}{
		{func(q *estimation.Quality) {}, "consistent with the model (χ²/ν = 1.50, p = 0.200)"},
		{func(q *estimation.Quality) { q.DegreesOfFreedom = 0 }, "as many parameters as readings: the model can't be tested"},
		{func(q *estimation.Quality) { q.PValue = math.NaN() }, "the model can't be tested"},
		{func(q *estimation.Quality) { q.Scale = 1.05 }, "consistent with the model (χ²/ν = 1.50, p = 0.200); ± multiplied by the Birge ratio 1.05"},
		{func(q *estimation.Quality) { q.Scale, q.PValue = 1.05, 0.049 }, "hardly consistent with the model (χ²/ν = 1.50, p = 0.049); ± multiplied by the Birge ratio 1.05"},
		{func(q *estimation.Quality) { q.Scale, q.PValue = 1.04, 0.009 }, "not consistent with the model and what is known beforehand (χ²/ν = 1.50, p = 0.009)"},
		{func(q *estimation.Quality) { q.Redundancy = 0.9 }, "too few to test the model or their ±"},
	} {
		r.Quality = q
		c.change(&r.Quality)
		if got := Verdict(r); got != c.want {
			t.Errorf("%d: %q, want %q", i, got, c.want)
		}
	}
	r.Quality = q
	r.Quality.Scale, r.Quality.PValue = 2, 0.001
	r.Findings = []findings.Finding{{Kind: findings.CapacitanceBelowZero}}
	if got := Verdict(r); got != "contradictory (χ²/ν = 1.50, p = 0.001)" {
		t.Errorf("%q", got)
	}
	if n := earlierCount(r); n != "" {
		t.Errorf("%q", n)
	}
	r.Session.Earlier = []estimation.Earlier{{States: make([]readings.State, 3)}, {States: make([]readings.State, 4)}}
	if n := earlierCount(r); n != " and 7 of earlier sessions" {
		t.Errorf("%q", n)
	}
	r.Readings = []estimation.ReadingResult{{Reading: readings.Reading{Line: 4}, Without: &estimation.Without{}}, {Reading: readings.Reading{Line: 5}}}
	if got := Without(r, 4); got != "without this reading inductance and capacitance would not be determined" || Without(r, 5) != "" || Without(r, 6) != "" {
		t.Errorf("%q", got)
	}
	r.Session.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}}}
	if got := knownSource(r, r.Session.Known[0].Key); got != knownName(r.Session.Known[0].Key, false) || strings.Contains(got, "drawing") {
		t.Errorf("%q", got)
	}
}

// Cautions and refusals of captures that other tests have none of.
func TestRingWords(t *testing.T) {
	for _, c := range []struct {
		kind   ringing.NoteKind
		values [4]float64
		want   string
	}{
		{ringing.Coloured, [4]float64{16}, "the residuals are 16 times as dense at the tone as on average; the uncertainties allow for it"},
		{ringing.Coloured, [4]float64{16.1}, "the residuals are 16.1 times as dense at the tone as on average: this may be no single tone, and the ± too small; look at the residuals"},
		{ringing.NotOneSine, [4]float64{4}, "this isn't one decaying sine: at the beginning the residual is 4 times the noise; half of what start and end of the ring differ by is in the ±"},
		{ringing.NotOneSine, [4]float64{4.01}, "this isn't one decaying sine: at the beginning the residual is 4.01 times the noise, so that no ± is claimed; look at the residuals for what else is there"},
		{ringing.Beating, [4]float64{900, 0.5, 1}, "two near tones beat at 900 Hz (amplitude ratio 0.5): two coupled circuits, or two modes; both are listed, the stronger one first"},
		{ringing.BurstsDisagree, [4]float64{1e6, 1.1e6, 2}, "the bursts ring at different frequencies: those at 1.000000 MHz are reported, 2 left out, the loudest of them at 1.100000 MHz"},
		{-1, [4]float64{}, ""},
	} {
		if got := CaptureNote(ringing.Note{Kind: c.kind, Values: c.values}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	const rest = "; a frequency or a loss that moves with the amplitude, a limiter, or a drive that goes on would do this; the end is reported, and half of what still differs is in the ±, where one is given"
	for v, want := range map[[4]float64]string{{1e6, 1.1e6, 40, 50}: "the ring is not the same at its start and its end: 1.000000 MHz, then 1.100000 MHz; quality factor 40, then 50" + rest,
		{1e6, 1.1e6, 0, 50}: "the ring is not the same at its start and its end: 1.000000 MHz, then 1.100000 MHz" + rest} {
		if got := startAndEnd(v); got != want {
			t.Errorf("%q", got)
		}
	}
	for _, c := range []struct {
		r    ringing.Refusal
		want string
	}{
		{ringing.Refusal{Reason: ringing.NoTone}, "no tone stands out of the noise; bring the probe closer or average on the scope"},
		{ringing.Refusal{Reason: ringing.NoTone, Got: 3, Need: 6}, "no tone stands out of the noise (the best candidate is 3 times its own uncertainty, 6 are asked for); bring the probe closer or average on the scope"},
		{ringing.Refusal{Reason: ringing.TooFewSamples, Got: 10, Need: 32}, "10 samples, at least 32 are needed; capture a longer stretch"},
		{ringing.Refusal{Reason: ringing.NotFinite, Index: 4, Got: math.Inf(1)}, "sample 5 is +Inf, expected a voltage; the scope marks overflow or a missing point this way: lower its sensitivity and capture again"},
		{ringing.Refusal{Reason: ringing.TooMuchClipped, Got: 0.4}, "40 % of the samples are flat at the top or the bottom: a clipped or a square signal; choose more volts per division and capture again"},
	} {
		if got := CaptureRefused(&c.r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := CaptureRefused(errors.New("other")); got != "other" {
		t.Errorf("%q", got)
	}
}

// A writer that fails makes CSV and JSON fail.
func TestWritersThatFail(t *testing.T) {
	if err := writeCSV(failing{}, []string{strings.Repeat("a", 5000)}, nil); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
	if err := writeJSON(failing{}, math.NaN()); err == nil {
		t.Error("NaN in JSON")
	}
	if err := writeJSON(failing{}, 1); !errors.Is(err, errFull) {
		t.Errorf("%v", err)
	}
}

type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errFull }
