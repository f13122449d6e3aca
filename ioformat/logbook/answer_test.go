package logbook

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Every digit may have been meant by every other, wherever it stands.
func TestEveryDigitMayBeMeant(t *testing.T) {
	for place, shape := range []string{"#.25", "3.#8", "26.#7", "4.8#", "1234#"} {
		for typed := range 10 {
			for meant := range 10 {
				read, want := strings.Replace(shape, "#", strconv.Itoa(typed), 1), strings.Replace(shape, "#", strconv.Itoa(meant), 1)
				if typed == meant || place == 0 && typed*meant == 0 {
					continue
				}
				value, expected := number(read), number(want)
				got := slip(read+" MHz", func(ratio float64) float64 { return math.Abs(ratio*value-expected) / (1e-6 * expected) })
				if got != want {
					t.Errorf("%s for %s: %q", read, want, got)
				}
			}
		}
	}
	// 1.6115 lies 1.5 of √(600² + 800²) Hz off, 2.5 of the 600 Hz of what was expected.
	got, off := surprise(known1("", 1.613e6, 600, "Hz"), benchlog.Row{Frequency: 1.6715e6, Uncertainty: 800}, "1.6715")
	if want := "58.5 σ above the 1.6130 ± 0.0010 MHz expected: read 1.6715 or 1.6115? < takes it back"; got != want || !off {
		t.Errorf("%q, want %q", got, want)
	}
}

// A slip is two neighbouring digits swapped, or one digit another, the point where it stands; of all that lie
// within two standard uncertainties of what was expected the nearest, a swap as if nearer by two: found again by
// writing all of them down.
func TestSlipsWrittenDown(t *testing.T) {
	swaps, others, none := 0, 0, 0
	for i, typed := range []string{"1.163", "2.519", "26.17", "987.4", "0.8741", "1234", "12.30", "9.09"} {
		digits := strings.ReplaceAll(typed, ".", "")
		point := strings.IndexByte(typed+".", '.')
		written := func(d string) string {
			if point == len(typed) {
				return d
			}
			return d[:point] + "." + d[point:]
		}
		slips := map[string]float64{} // and what speaks against each
		for k := range digits {
			for c := '0'; c <= '9'; c++ {
				if text := digits[:k] + string(c) + digits[k+1:]; text != digits {
					slips[written(text)] = 2
				}
			}
		}
		for k := range len(digits) - 1 {
			if text := digits[:k] + digits[k+1:k+2] + digits[k:k+1] + digits[k+2:]; text != digits {
				slips[written(text)] = 0
			}
		}
		value := number(typed)
		for off := range 400 {
			u := value * []float64{1e-4, 2e-3, 5e-2}[off%3]
			expected := value * (0.1 + 0.0077*float64(off+i))
			if math.Abs(value-expected) < 4*u { // of which nobody is asked
				continue
			}
			best, want := math.Inf(1), ""
			for text, against := range slips {
				if z := math.Abs(number(text)-expected) / u; z < 2 && against+z < best {
					best, want = against+z, text
				}
			}
			if got := slip(typed+"MHz", func(ratio float64) float64 { return math.Abs(ratio*value-expected) / u }); got != want {
				t.Errorf("%s where %g ± %g is expected: %q, want %q", typed, expected, u, got, want)
			}
			switch {
			case want == "":
				none++
			case slips[want] == 0:
				swaps++
			default:
				others++
			}
		}
		for _, wrong := range []float64{10 * value, value / 10} { // the point alone is no slip
			if got := slip(typed, func(ratio float64) float64 { return math.Abs(ratio*value-wrong) / (1e-9 * value) }); got != "" {
				t.Errorf("%s for %g: %q", typed, wrong, got)
			}
		}
	}
	if swaps < 20 || others < 200 || none < 200 {
		t.Errorf("%d swaps, %d digits, %d of neither", swaps, others, none)
	}
}

// A name nearly that of a core is asked about where a core is named, not where a part is; one that is at hand
// is known however it is written.
func TestNamesNearlyThoseOfCores(t *testing.T) {
	b := after(t, "2.519", "have core=Beads", "1.785 core=rod")
	for _, line := range []string{"1.7 core=Beads", "1.9 added=rd", "1.9 added=rodd", "added=bead", "1.9 core=BEADS", "1.9 core=ROD added=beds", "1.9 note=rd core=rod", "core=tube"} {
		say(t, b, line)
	}
	for line, want := range map[string]string{"core=ROD added=RD": "next: rd, core rod", "core=beads": "next: core Beads"} { // as the log names them
		if got := say(t, b, line); !strings.HasPrefix(got, want) || len(got) > len(want) && got[len(want)] != ':' && got[len(want)] != '\n' {
			t.Errorf("%q: %q", line, got)
		}
	}
	for line, want := range map[string]string{"1.9 core=rodd": `"rodd" so far, did you mean rod? for another core of that name: have core=rodd`, "core=bead added=2pF": `"bead" so far, did you mean Beads? for another core of that name: have core=bead`,
		"1.9 added=2pF CORE = beds": `"beds" so far, did you mean Beads? for another core of that name: have core=beds`} {
		if r := b.Line(line); r != (Reply{Text: "there is no core " + want + "\n", Refused: true}) {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
}

// What a book knows before a reading is what the fit of the log says: its p-value, the goals, and what the
// reading should give, with a part that no reading has, too.
func TestStandingBeforeAReading(t *testing.T) {
	b := after(t, "±0.8kHz", "2.519", "2.517 bare", "1.937 added=2.2pF", "1.613 added=4.7pF", "1.785 core=rod", "1.146 added=4.7pF core=rod")
	r := fitOf(t, b.Log())
	s := b.standing([]string{"core=rod"})
	if s.p != r.Quality.PValue || s.again || len(s.goals) != 2 || s.goals[0].label != "L" || s.goals[1].label != "gain of rod" || // the core is of the log, not at hand
		s.goals[0].Value != r.Find(quantities.Key{Name: quantities.EffectiveInductance}).Value || s.goals[1].Value != r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Value {
		t.Errorf("%+v", s)
	}
	inRod := readings.Bare()
	inRod.Core, inRod.To = "rod", 1
	if want := decisions.Predict(r.Result, inRod, nil).Frequency; s.expected.Value != want.Value || s.expected.Uncertainty != want.Uncertainty {
		t.Errorf("expected %+v, want %+v", s.expected, want)
	}
	say(t, b, "have 1pF,3.3pF", "goal frequency@added=3.3pF")
	states := b.log.States()
	with := must.Get(states.Parse([]string{"added=3.3pF"})).In(t)
	p := decisions.Predict(r.Result, with, states.Parts()[len(r.Parts()):]).Frequency
	want := "  frequency with 3.3 pF is " + quantity.Format(p.Value, p.Uncertainty, "Hz").String() + "\n"
	if got := b.summary(); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if _, ok := b.expect([]string{"added=nothing", "="}); ok {
		t.Error("expects something in a state that is none")
	}
	if e := open(t, &kept{}, nil).standing(nil); !math.IsNaN(e.p) || e.goals != nil || e.expected.Determined {
		t.Errorf("%+v before the first reading", e)
	}
}

// A reading that surprises is proposed once more; when it comes again it counts, and what it does is told.
func TestSurpriseComesTwice(t *testing.T) {
	lines := []string{"±0.8kHz", "2.519", "1.937 added=2.2pF", "1.613 added=4.7pF"}
	b := after(t, lines...)
	if got := say(t, b, "1.163 added=4.7pF"); !strings.Contains(got, "once more") || b.next.words != "added=4.7pF" {
		t.Errorf("%q", got)
	}
	if !b.standing(nil).again {
		t.Error("it stands as if nothing had surprised")
	}
	b = after(t, lines...) // a page shows at once how far all lie from a fit with it, and reports that
	say(t, b, "1.163 added=4.7pF")
	r, pending := fitOf(t, b.Log()), b.pending
	v := b.View()
	for i, o := range v.Readings {
		if want := r.Readings[i]; !pending || b.pending || !(math.Abs(o.Residual-want.Residual) <= 1e-3*want.Uncertainty) || !(math.Abs(o.Uncertainty-want.Weighed) <= 1e-3*want.Weighed) {
			t.Errorf("%+v, want %+v", o, want)
		}
	}
	if len(v.Readings) != 4 {
		t.Errorf("%+v", v)
	}
	b = after(t, lines...)
	say(t, b, "1.163 added=4.7pF")
	if full := b.Report(); !strings.Contains(full, "4 readings") || b.pending {
		t.Errorf("reported: %.200q", full)
	}
	for line, want := range map[string]string{"1.163": " σ below the ", "2.519": " σ above the "} { // of what the first of both makes expect
		b := after(t, append(lines, "1.163 added=4.7pF")...)
		if got := say(t, b, line); !strings.HasPrefix(got, "line 6: ") || !strings.Contains(got, want) || strings.Contains(got, "once more") || b.again != "" || b.pending {
			t.Errorf("%q", got)
		}
	}
	// One that doesn't surprise tells at once what it does.
	b = after(t, lines...)
	if got := say(t, b, "1.23 added=10pF"); b.again != "" || !strings.Contains(got, " σ below the ") {
		t.Errorf("%q", got)
	}
}

// Where readings can't be fitted that is told, with the reason, in the greeting and below each reading; a goal
// that isn't determined has no line, and a log without a reading that counts is no failure.
func TestReadingsThatCannotBeFitted(t *testing.T) {
	read := Reader("x.csv", benchlog.Options{}, []quantities.Known{{Key: quantities.Key{Name: "weight"}, Value: 1, Uncertainty: 0.1}}, nil, estimation.Session{})
	bench := Bench{Name: "x.csv", Read: read, Now: time.Now}
	b, greeting, err := Open(&Memory{[]byte("frequency [MHz]\n2.519\n")}, bench)
	must.Do(t, err)
	_, s, _ := read(b.Log())
	_, why := model.Fit(s)
	if want := "1 reading. One reading a line, as 1.613MHz added=4.7pF; ? lists the words, . ends.\nThe readings can't be fitted: " + why.Error() + "\n"; why == nil || greeting != "x.csv: "+want {
		t.Errorf("%q, want %q", greeting, want)
	}
	if got, want := say(t, b, "2.518"), "line 3: 2.51800 ± 0.00029 MHz, bare\n  written, but the readings can't be fitted: "+why.Error()+"\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for _, o := range b.View().Readings {
		if !math.IsNaN(o.Residual) || !math.IsNaN(o.Uncertainty) || !o.Used || o.Flagged {
			t.Errorf("%+v without a fit", o)
		}
	}
	for _, line := range []string{"fit", "next"} {
		if r := b.Line(line); !r.Refused || r.Text != why.Error()+"\n" {
			t.Errorf("%q: %+v", line, r)
		}
	}
	if got := after(t, "2.519"); got.summary() != "" || strings.Contains(got.Greeting(), "L is") {
		t.Errorf("%q", got.Greeting())
	}
	b, greeting, err = Open(&Memory{[]byte("frequency [MHz],use\n2.519,no\n")}, Bench{Name: "x.csv", Read: Reader("x.csv", benchlog.Options{}, nil, nil, estimation.Session{}), Now: time.Now})
	if err != nil || b.failed != nil || !strings.HasSuffix(greeting, ". ends.\nnext: bare\n") {
		t.Errorf("%v: %q", err, greeting)
	}
}

// An edit that fails leaves a log in memory as it was, even where it began to change it.
func TestMemoryKeepsTheLog(t *testing.T) {
	m := &Memory{[]byte("abc")}
	broken := errors.New("broken")
	if err := m.Update(func(c []byte) ([]byte, error) { c[0] = 'x'; return c, broken }); err != broken || string(m.Content) != "abc" {
		t.Errorf("%v, %s", err, m.Content)
	}
	if err := m.Update(func(c []byte) ([]byte, error) { return append(c, 'd'), nil }); err != nil || string(m.Content) != "abcd" {
		t.Errorf("%v, %s", err, m.Content)
	}
}

// What another program made of a log counts from the next line on: emptied, it has no readings; what can't be read is refused.
func TestLogThatChangesUnderneath(t *testing.T) {
	k := &kept{}
	b := open(t, k, nil)
	say(t, b, "2.519", "1.613 added=4.7pF")
	k.Content = []byte("\n \n")
	if r := b.Line("<"); !r.Refused || b.readings() != 0 || b.View().Readings != nil || b.Greeting()[:24] != "evening.csv: a new log. " {
		t.Errorf("%+v, %d readings", r, b.readings())
	}
	read, broken := b.bench.Read, errors.New("no longer a log")
	b.bench.Read = func(content []byte) (*benchlog.Log, estimation.Session, error) {
		if strings.Contains(string(content), "cold") {
			return nil, estimation.Session{}, broken
		}
		return read(content)
	}
	say(t, b, "2.519")
	for _, line := range []string{"note cold", "2.519 bare note=cold"} {
		if r := b.Line(line); !r.Refused || r.Text != "no longer a log\n" {
			t.Errorf("%q: %+v", line, r)
		}
		b = open(t, &kept{Memory: Memory{[]byte("frequency [MHz],note\n2.519,\n")}}, nil)
		b.bench.Read = func([]byte) (*benchlog.Log, estimation.Session, error) { return nil, estimation.Session{}, broken }
	}
}

// A page flags the readings that the fit flags.
func TestViewFlagsSuspects(t *testing.T) {
	b := must.Get(openNamed("frequency [MHz],frequency ± [kHz],added [pF]\n2.519,0.8,\n2.5195,0.8,\n2.5185,0.8,\n1.937,0.8,2.2\n1.9375,0.8,2.2\n1.963,0.8,2.2\n1.613,0.8,4.7\n1.6135,0.8,4.7\n")).In(t)
	v, r, any := b.View(), fitOf(t, b.Log()), false
	for i, o := range v.Readings {
		if o.Flagged != r.Readings[i].Flagged || o.Flagged != (i == 5) {
			t.Errorf("%+v is flagged, want %v", o, r.Readings[i].Flagged)
		}
		any = any || o.Flagged
	}
	if !any {
		t.Error("none is flagged")
	}
}

// A log with its head alone has no reading yet: what needs one is refused, what is told of it is what is told
// of a new log, but for its unit.
func TestLogWithItsHeadAlone(t *testing.T) {
	b := open(t, &kept{Memory: Memory{[]byte("frequency [kHz],added [pF],use,note\n")}}, nil)
	const none = "there is no reading yet: read the bare coil first\n"
	for line, want := range map[string]string{"<": "no reading is left that is used\n", "fit": none, "check": none, "next": none,
		"note x": "the log begins with its first reading; a remark goes below one, or as note=TEXT into one\n"} {
		if r := b.Line(line); r != (Reply{Text: want, Refused: true}) {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
	for _, line := range []string{"", "goal gain:rod", "have core=rod 2pF"} {
		if got := say(t, b, line); got != "next: bare\n" {
			t.Errorf("%q: %q", line, got)
		}
	}
	if v := b.View(); v.Readings != nil || len(v.Parts) != 1 || len(v.Cores) != 1 || v.Unit != "kHz" || b.Report() != "" || b.Next() != (NextView{"bare", "next: bare\n"}) {
		t.Errorf("%+v, %q, %+v", v, b.Report(), b.Next())
	}
	if got := b.Greeting(); got != "evening.csv: a new log. One reading a line, as 1.613MHz added=4.7pF; ? lists the words, . ends.\nnext: bare\n" {
		t.Errorf("%q", got)
	}
	if got := b.Line(".").Text; got != "evening.csv holds 0 readings.\n" {
		t.Errorf("%q", got)
	}
}

// What can't be written into a log is told with the log's name; of readings that are taken back the last that
// counts goes first, and is marked where something stands below it.
func TestWhatTheLogCannotTake(t *testing.T) {
	b := open(t, &kept{Memory: Memory{[]byte("frequency [kHz]\n2519\n# end\n")}}, nil)
	for line, want := range map[string]string{
		"<":              `evening.csv has no column for "use": delete line 2 by hand, or add the column`,
		"2518 note=cold": `evening.csv has no column for "note": add it to the header, and a delimiter to each row`,
		"2518 hand=1m":   `evening.csv has no column for "hand [cm]": add it to the header, and a delimiter to each row`,
		"2518 ± 1kHz":    `"2518 ± 1kHz": which unit is 2518 in? write it, as 2518 kHz ± 1kHz`,
	} {
		if r := b.Line(line); r != (Reply{Text: want + "\n", Refused: true}) {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
	b = open(t, &kept{Memory: Memory{[]byte("frequency [kHz],use\n2519,\n2518,\n2517,no\n")}}, nil)
	for _, c := range [][2]string{{"no longer used: line 3, 2.51800 ± 0.00029 MHz, bare\nnext: bare", "2519,\n2518,no\n2517,no\n"}, {"no longer used: line 2, 2.51900 ± 0.00029 MHz, bare\nnext: bare\n", "2519,no\n2518,no\n2517,no\n"}} {
		if got := say(t, b, "<"); !strings.HasPrefix(got, c[0]) || string(b.Log()) != "frequency [kHz],use\n"+c[1] {
			t.Errorf("%q, want %q:\n%s", got, c[0], b.Log())
		}
	}
}
