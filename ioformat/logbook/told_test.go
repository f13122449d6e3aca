package logbook

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func known1(name string, v, u float64, unit string) quantities.Estimate {
	return quantities.Estimate{Key: quantities.Key{Name: name}, Value: v, Uncertainty: u, Unit: unit, Determined: true}
}

// What a reading changed is told where a goal moved by a fifth of its ±, or is known better by a
// twentieth.
func TestWhatMovedIsTold(t *testing.T) {
	l := func(v, u float64) []goal { return []goal{{"L", known1("", v, u, "H")}} }
	open := []goal{{"L", quantities.Estimate{}}}
	for _, c := range []struct {
		before, after []goal
		want          string
	}{
		{nil, l(1e-3, 1e-5), "L is 1.000 ± 0.010 mH"}, {open, l(1e-3, 1e-5), "L is 1.000 ± 0.010 mH"}, {l(1e-3, 1e-5), open, "L is no longer determined"}, {open, open, ""}, {nil, open, ""},
		{l(1e-3, 1e-5), l(1.0021e-3, 1e-5), "L 1.000 ± 0.010 → 1.002 ± 0.010 mH"}, {l(1e-3, 1e-5), l(1.0019e-3, 1e-5), ""}, {l(1e-3, 1e-5), l(0.9979e-3, 1e-5), "L 1000 ± 10 → 998 ± 10 µH"},
		{l(1e-3, 1e-5), l(1e-3, 0.94e-5), "L 1.000 ± 0.010 → 1.0000 ± 0.0094 mH"}, {l(1e-3, 1e-5), l(1e-3, 0.96e-5), ""}, {l(1e-3, 1e-5), l(1e-3, 2e-5), ""}, {l(1e-3, 1e-5), l(1.003e-3, 2e-5), ""}, {l(1e-3, 1e-5), l(1.005e-3, 2e-5), "L 1.000 ± 0.010 → 1.005 ± 0.020 mH"}, {l(1e-3, 1e-5), []goal{{"C", known1("", 4e-12, 1e-13, "F")}}, "C is 4.00 ± 0.10 pF"},
		{append(l(1e-3, 1e-5), goal{"C", known1("", 4e-12, 1e-13, "F")}), append(l(1.1e-3, 1e-5), goal{"C", known1("", 5e-12, 1e-13, "F")}), "L 1.000 ± 0.010 → 1.100 ± 0.010 mH; C 4.00 ± 0.10 → 5.00 ± 0.10 pF"},
	} {
		if got := strings.Join(moved(c.before, c.after), "; "); got != c.want {
			t.Errorf("%+v to %+v: %q, want %q", c.before, c.after, got, c.want)
		}
	}
	for _, c := range []struct {
		e    quantities.Estimate
		want string
	}{{known1(quantities.EffectiveInductance, 1, 1, ""), "L"}, {known1(quantities.EffectiveCapacitance, 1, 1, ""), "C"}, {quantities.Estimate{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}, "gain of rod"}, {known1(quantities.Impedance, 1, 1, ""), "Z"}} {
		if got := label("Z", &c.e); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	before, after := known1(quantities.EffectiveInductance, -1e-3, 5e-5, "H"), known1(quantities.EffectiveInductance, 1e-3, 1.2e-5, "H")
	if got := text("x", before, after); got != "L from ± 5.0 % to ± 1.2 %" {
		t.Errorf("%q", got)
	}
	if got := text("x", quantities.Estimate{}, after); got != "L to ± 1.2 %" {
		t.Errorf("%q", got)
	}
	if got := text("x", before, quantities.Estimate{Key: after.Key}); got != "L still not determined" {
		t.Errorf("%q", got)
	}
	for _, c := range []struct{ v, u, want float64 }{{2, 1, 0.5}, {-2, 1, 0.5}, {1, 3, 1}} {
		if got := spread(known1("", c.v, c.u, "")); got != c.want {
			t.Errorf("%v", got)
		}
	}
	if spread(quantities.Estimate{}) != 1 {
		t.Error("what isn't determined is known")
	}
}

// How far a reading lies off what was expected counts in the uncertainties of both together: here
// √(600² + 800²) = 1000 Hz.
func TestSurpriseInWords(t *testing.T) {
	e := known1("", 1.613e6, 600, "Hz")
	for _, c := range []struct {
		read   float64
		digits string
		want   string
		off    bool
	}{
		{1.614e6, "1.614", "1.0 σ above the 1.6130 ± 0.0010 MHz expected", false}, {1.6105e6, "1.6105", "2.5 σ below the 1.6130 ± 0.0010 MHz expected", false},
		{1.6169e6, "1.6169", "3.9 σ above the 1.6130 ± 0.0010 MHz expected", false},
		{1.617e6, "1.617", "4.0 σ above the 1.6130 ± 0.0010 MHz expected: read 1.617 or 1.613? < takes it back", true},
		{1.163e6, "1.163MHz", "450.0 σ below the 1.6130 ± 0.0010 MHz expected: read 1.163 or 1.613? < takes it back", true},
		{2.222e6, "2.222", "609.0 σ above the 1.6130 ± 0.0010 MHz expected: another state than written, or a slip? < takes it back", true},
	} {
		got, off := surprise(e, benchlog.Row{Frequency: c.read, Uncertainty: 800}, c.digits)
		if got != c.want || off != c.off {
			t.Errorf("%q, %v, want %q", got, off, c.want)
		}
	}
	// Of two slips that fit, digits swapped are more usual than a digit misread.
	if got := slip("13.1", func(ratio float64) float64 { return math.Abs(13.1*ratio-11.1) / 0.15 }); got != "11.3" { // 11.1 lies nearer
		t.Errorf("%q", got)
	}
	if got := slip("19.1", func(ratio float64) float64 { return math.Abs(19.1*ratio-91.1) / 1e-9 }); got != "91.1" {
		t.Errorf("%q", got)
	}
	for text, want := range map[string]string{"1.5MHz": "1.5", "1.5": "1.5", "x": "x", "": ""} {
		if got := leading(text); got != want {
			t.Errorf("%q: %q", text, got)
		}
	}
	if v := number("x"); !math.IsNaN(v) {
		t.Errorf("%v", v)
	}
}

// fitOf fits a log as another program would.
func fitOf(t *testing.T, content []byte) *model.Result {
	t.Helper()
	l := must.Get(benchlog.Read(bytes.NewReader(content), "x", benchlog.Options{Blank: true})).In(t)
	return must.Get(model.Fit(estimation.Session{Log: l.Log})).In(t)
}

func told(r *model.Result, name string) string {
	e := r.Find(quantities.Key{Name: name})
	return quantity.Format(e.Value, e.Uncertainty, e.Unit).String()
}

// An evening: what is said back, expected, and known stands in the answers as a fit of the file
// says it.
func TestEvening(t *testing.T) {
	k, minutes := &kept{}, 0.0
	b, greeting, err := Open(k, Bench{Name: "eve\x1bning.csv", Read: Reader("evening.csv", benchlog.Options{}, nil, nil, estimation.Session{}), Now: func() time.Time { return time.Unix(0, 0).Add(time.Duration(minutes * float64(time.Minute))) }, Tolerance: 0.05 / 1.96})
	if want := "eve<U+001B>ning.csv: a new log. One reading a line, as 1.613MHz added=4.7pF; ? lists the words, . ends.\nnext: bare\n"; err != nil || greeting != want {
		t.Errorf("%v: %q, want %q", err, greeting, want)
	}
	if got := say(t, b, "±0.8kHz"); got != "readings without a ± have ± 0.8kHz from now on, one standard uncertainty; ± alone ends that.\n" {
		t.Errorf("%q", got)
	}
	if got := say(t, b, "have 22pF core=rod"); got != "next: bare\n" {
		t.Errorf("%q", got)
	}
	first := say(t, b, "2.519")
	if !strings.HasPrefix(first, "line 2: 2.51900 ± 0.00080 MHz, bare\nnext: ") {
		t.Errorf("%q", first)
	}
	bare := fitOf(t, k.Content)
	rest := strings.TrimPrefix(first, "line 2: 2.51900 ± 0.00080 MHz, bare\n")
	state := readings.Bare()
	state.Parts = []int{len(bare.Parts())}
	f := bare.Frequency(state, []readings.Part{{Name: "22 pF", Capacitance: 22e-12, Uncertainty: 22e-12 * 0.05 / 1.96, Known: true}})
	if want := "next: 22 pF: expect " + quantity.Format(f.Value, f.Uncertainty, "Hz").String() + " (first of 7: "; f.Determined && !strings.HasPrefix(rest, want) || !f.Determined && !strings.HasPrefix(rest, "next: 22 pF (first of 7: ") {
		t.Errorf("%q, want %q", rest, want)
	}
	if got := say(t, b, ""); got != rest {
		t.Errorf("the state proposed is %q, was %q", got, rest)
	}
	if got := say(t, b, "added=10pF hand=20cm"); !strings.HasPrefix(got, "next: 10 pF, hand at 20 cm") || strings.Count(got, "\n") != 1 {
		t.Errorf("%q", got)
	}
	if say(t, b, ""); b.own {
		t.Error("the state typed holds after an empty line")
	}
	second := say(t, b, "0.8882 added=22pF±5%")
	both := fitOf(t, k.Content)
	if want := "line 3: 888.20 ± 0.80 kHz, 22 pF\n"; !strings.HasPrefix(second, want) {
		t.Errorf("%q, want %q", second, want)
	}
	if want := "  L is " + told(both, quantities.EffectiveInductance) + "\n"; !strings.Contains(second, want) {
		t.Errorf("%q, want %q", second, want)
	}
	if want := "next: core=rod (no reading has this core yet)\n"; !strings.HasSuffix(second, want) {
		t.Errorf("%q, want %q", second, want)
	}
	third := say(t, b, "1.785")
	all := fitOf(t, k.Content)
	gain := all.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	if !strings.HasPrefix(third, "line 4: 1.78500 ± 0.00080 MHz, core rod\n") || gain.Determined && !strings.Contains(third, "  gain of rod is "+quantity.Format(gain.Value, gain.Uncertainty, "").String()+"\n") {
		t.Errorf("%q", third)
	}
	again := open(t, k, &minutes)
	if got, want := again.Greeting(), "evening.csv: 3 readings. One reading a line, as 1.613MHz added=4.7pF; ? lists the words, . ends.\n  L is "+told(all, quantities.EffectiveInductance)+"\n"; !strings.HasPrefix(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := say(t, b, "goal C"); !strings.HasPrefix(got, "next: ") {
		t.Errorf("%q", got)
	}
	if got, want := b.summary(), "  C is "+told(all, quantities.EffectiveCapacitance)+"\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	say(t, b, "goal frequency@core=rod added=22pF")
	inRod := readings.Bare()
	inRod.Core, inRod.To, inRod.Parts = "rod", 1, []int{0}
	p := decisions.Predict(all.Result, inRod, nil).Frequency
	if got, want := b.summary(), "  frequency with 22 pF, core rod is "+quantity.Format(p.Value, p.Uncertainty, "Hz").String()+"\n"; p.Determined && got != want {
		t.Errorf("%q, want %q", got, want)
	}
	say(t, b, "goal L, gain")
	if !slices.Equal(b.goals, []string{"L", "gain"}) {
		t.Errorf("%q", b.goals)
	}
	if say(t, b, "goal frequency,L C"); !slices.Equal(b.goals, []string{"frequency", "L", "C"}) {
		t.Errorf("%q", b.goals)
	}
	if got := say(t, b, "<"); !strings.HasPrefix(got, "removed: line 4, 1.78500 ± 0.00080 MHz, core rod\nnext: ") || b.readings() != 2 {
		t.Errorf("%q", got)
	}
	if got := say(t, b, "note moved to the other bench"); got != "noted.\n" || !bytes.Contains(k.Content, []byte("moved to the other bench")) {
		t.Errorf("%q", got)
	}
	if got := b.Line("."); got != (Reply{Text: "eve<U+001B>ning.csv holds 2 readings.\n", Done: true}) {
		t.Errorf("%+v", got)
	}
	if got := say(t, b, "± "); got != "readings without a ± are as certain as their digits.\n" || b.pm != "" {
		t.Errorf("%q", got)
	}
}

// Every word of the list is one that is understood, in the order of the list.
func TestHelpListsAllWords(t *testing.T) {
	b := open(t, &kept{}, nil)
	got := say(t, b, "?")
	var first []string
	for _, l := range strings.Split(strings.TrimSuffix(got, "\n"), "\n") {
		if !strings.HasPrefix(l, "  ") || len([]rune(l)) < 31 || []rune(l)[29] != ' ' || []rune(l)[30] == ' ' { // words in 28 columns, then what they do
			t.Errorf("%q", l)
			continue
		}
		first = append(first, strings.TrimSpace(string([]rune(l)[2:30])))
	}
	if want := []string{"1.613MHz added=4.7pF", "1.613", "1.613MHz±0.8kHz", "±0.8kHz", "added= core= covered= hand=", "drive= time= use= note=", "(empty line)", "ring.csv", "<", "have 22pF,47pF core=rod", "goal L", "note TEXT", "fit", "next", "check", "?", "."}; !slices.Equal(first, want) {
		t.Errorf("%q, want %q", first, want)
	}
	for i, about := range []string{"a reading; in MHz when no unit is given", "a reading of the state proposed", "with its standard uncertainty", "that of the readings to come", "the state of the next reading, or of this one",
		"what else the log has columns for", "the state proposed", "the file of a capture instead of a frequency", "take the last reading back", "parts and cores at hand, for the proposals", "what to find out: L, C, gain, hand, frequency@added=3.3pF",
		"write a remark into the log", "what the coil is, by the readings so far", "what to read or measure next, ranked", "how the log is understood", "this list", "end"} {
		if l := strings.Split(got, "\n")[i]; string([]rune(l)[30:]) != about {
			t.Errorf("%q, want %q", l, about)
		}
	}
	if r := b.Line("."); r.Text != "evening.csv holds 0 readings.\n" || !r.Done {
		t.Errorf("%+v", r)
	}
	for line, want := range map[string]string{"fit": "there is no reading yet: read the bare coil first\n", "<": "there is no reading to take back\n", "note x": "the log begins with its first reading; a remark goes below one, or as note=TEXT into one\n",
		"note": "note needs a text, as note moved to the other bench\n", "have": "have needs what is at hand, as have 22pF,47pF or have core=rod\n", "goal": "goal needs what is to be found out: L, C, gain, hand or frequency@added=3.3pF\n",
		"have 1uF": "\"1uF\": expected a capacitance between 0 and 1 µF\n", "have 0pF": "\"0pF\": expected a capacitance between 0 and 1 µF\n", "< 2": "< stands alone: it takes the last reading back\n", "hvae 2pF": "\"hvae 2pF\" is no frequency, did you mean have?\n", "xyzzy": "\"xyzzy\" is no frequency; ? lists the words\n",
		"4.7pF": "\"4.7pF\" is a capacitance, not a frequency; a state is written added=4.7pF\n", "note=cold": "\"note=cold\" goes with a frequency, as 1.613MHz note=cold\n", "use=no note=cold": "\"use=no\" goes with a frequency, as 1.613MHz use=no\n", "-2.5": "read \"-2.5\", expected a frequency above 0\n", "0": "read \"0\", expected a frequency above 0\n", "2": "read \"2\", expected a frequency of two digits or more; its digits tell how well it is known\n",
		"2.5MHz±0.25MHz": "read \"2.5MHz±0.25MHz\", expected a ± above 0 and below a tenth of the frequency; it is one standard uncertainty\n", "2.5MHz±0kHz": "read \"2.5MHz±0kHz\", expected a ± above 0 and below a tenth of the frequency; it is one standard uncertainty\n", "2.5±1kHz": "\"2.5±1kHz\": which unit is 2.5 in? write it, as 2.5 MHz ± 1kHz\n", "±0kHz": "read \"±0kHz\", expected a ± above 0\n"} {
		if r := b.Line(line); !r.Refused || r.Text != want {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
	say(t, b, "2.519", "have core=rod")
	for line, want := range map[string]string{"fit now": "\"now\": nothing follows this word\n", "2.5 core=rd": "there is no core \"rd\" so far, did you mean rod? for another core of that name: have core=rd\n", "2.5 Core = rd": "there is no core \"rd\" so far, did you mean rod? for another core of that name: have core=rd\n", "added=1pF CORE=rood": "there is no core \"rood\" so far, did you mean rod? for another core of that name: have core=rood\n", "note a\x1bb": "a remark is text without control characters\n"} {
		if r := b.Line(line); !r.Refused || r.Text != want {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
	for _, line := range []string{"FIT", "Check", "next"} {
		if r := b.Line(line); r.Refused || !strings.HasPrefix(r.Text, "evening.csv: ") {
			t.Errorf("%q: %+v", line, r)
		}
	}
	say(t, b, "goal gain:rod", "goal hand") // of readings to come
	if r := b.Line("goal gain:beads"); r.Refused {
		t.Errorf("%+v", r)
	}
	b.cores = nil
	if r := b.Line("goal gain:beads"); !r.Refused {
		t.Errorf("%+v", r)
	}
}

// A page sees the log as it stands: each reading, how far it lies from the fit, what is at hand.
func TestViewOfABook(t *testing.T) {
	b := open(t, &kept{}, nil)
	if v := b.View(); v.Readings != nil || v.Unit != "MHz" {
		t.Errorf("%+v", v)
	}
	if b.Report() != "" || b.Next() != (NextView{"bare", "next: bare\n"}) {
		t.Errorf("%q, %+v", b.Report(), b.Next())
	}
	say(t, b, "have 47pF core=rod", "±0.8kHz", "2.519", "1.937 added=2.2pF", "1.613 added=4.7pF", "1.23 added=10pF use=no")
	v := b.View()
	r := fitOf(t, b.Log())
	if len(v.Readings) != 4 || !slices.Equal(v.Cores, []string{"rod"}) || !slices.Equal(v.Parts, []string{"2.2pF", "4.7pF", "10pF", "47pF"}) || v.Unit != "MHz" {
		t.Fatalf("%+v", v)
	}
	for i, o := range v.Readings {
		want := &r.Readings[i]
		if o.Line != want.Line || o.State != []string{"bare", "2.2 pF", "4.7 pF", "10 pF"}[i] || o.Used != (i < 3) || o.Flagged != want.Flagged || o.Frequency != quantity.Format(want.Frequency, want.Uncertainty, "Hz").String() ||
			math.Abs(o.Residual-want.Residual) > 1e-3*want.Uncertainty || math.Abs(o.Uncertainty-want.Weighed) > 1e-3*want.Weighed {
			t.Errorf("%+v, want %+v", o, want)
		}
	}
	if n := b.Next(); n.Words != b.next.words || n.Text != b.proposal() || !strings.HasPrefix(n.Text, "next: ") {
		t.Errorf("%+v", n)
	}
	var want strings.Builder
	plan := decisions.Next(r.Result, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}, nil, nil, 1)
	if err := report.FitText(&want, r, plan, nil, report.Source{Log: "evening.csv", SHA256: b.log.SHA256, Warnings: b.log.Warnings}, report.View{Full: true}); err != nil || b.Report() != want.String() {
		t.Errorf("%v: %q, want %q", err, b.Report(), want.String())
	}
	log := b.Log()
	log[0] = 'x'
	if b.Log()[0] == 'x' {
		t.Error("a page changes the log behind the book's back")
	}
	if got := say(t, b, "<"); !strings.HasPrefix(got, "no longer used: line 4, ") {
		t.Errorf("%q", got)
	}
}

// broken is a store that can't be read.
type broken struct{ Memory }

var errBroken = errors.New("broken")

func (broken) Read() ([]byte, error) { return nil, errBroken }

// What can't be read isn't opened; what makes no sense is refused and the log stays.
func TestUnreadable(t *testing.T) {
	bench := Bench{Name: "x.csv", Read: Reader("x.csv", benchlog.Options{}, nil, nil, estimation.Session{}), Now: time.Now}
	if _, _, err := Open(&broken{}, bench); !errors.Is(err, errBroken) {
		t.Error(err)
	}
	if _, _, err := Open(&Memory{[]byte("hello\n")}, bench); err == nil {
		t.Error("opened")
	}
	k := &kept{}
	b := open(t, k, nil)
	if r := b.Line("ring.csv"); !r.Refused {
		t.Errorf("%+v", r)
	}
	b.bench.Capture = func(name string, state []string) (benchlog.Row, error) {
		if name != "ring.csv" && name != "1.csv" {
			return benchlog.Row{}, fmt.Errorf("no file %s", name)
		}
		return benchlog.Row{Frequency: 2.5e6, Uncertainty: 100, Amplitude: 1.5, AmplitudeUnit: "V", Quality: 80, Cautions: []string{"mind the hum", "mind the clip"}}, nil
	}
	if r := b.Line("other.csv"); r.Text != "no file other.csv\n" || !r.Refused {
		t.Errorf("%+v", r)
	}
	got := say(t, b, "ring.csv hand=20cm")
	if !strings.HasPrefix(got, "line 2: 2.50000 ± 0.00010 MHz, hand at 20 cm\n") || !strings.Contains(got, "\n  mind the hum\n  mind the clip\nnext: ") {
		t.Errorf("%q", got)
	}
	if got := say(t, b, "1.csv bare"); !strings.HasPrefix(got, "line 3: 2.50000 ± 0.00010 MHz, bare\n") {
		t.Errorf("%q", got)
	}
	k = &kept{Memory: Memory{[]byte("frequency [kHz],use\n2519,\n")}}
	page := open(t, k, nil)
	page.bench.Capture = b.bench.Capture
	if got := say(t, page, "ring.csv bare"); !strings.Contains(got, "\n  the log has no column for amplitude 1.500 V, quality factor 80.0, note \"mind the hum; mind the clip\": not written\n  mind the hum\n  mind the clip\nnext: ") {
		t.Errorf("%q", got)
	}
	if r := open(t, k, nil).Line("2518 note=cold drive=self"); !r.Refused || !strings.Contains(r.Text, `has no column for "note", "drive": add it to the header`) {
		t.Errorf("%+v", r)
	}
	k = &kept{Memory: Memory{[]byte("frequency [kHz],use\n2519,no\n")}}
	b = open(t, k, nil)
	if r := b.Line("<"); r.Text != "no reading is left that is used\n" {
		t.Errorf("%+v", r)
	}
}
