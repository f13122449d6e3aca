package report

import (
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/ringing"
)

// noisy is a source with four warnings of two lines each, or of none: they take eight lines of the
// first draft of an answer, six of the second and four of the third.
func noisy(warnings int) Source {
	src := Source{Log: "evening.csv"}
	for range warnings {
		src.Warnings = append(src.Warnings, strings.Repeat("a word of a warning ", 6))
	}
	return src
}

// Of many, an answer in brief lists as many as its draft allows: each draft that had more than 30 lines
// is followed by a terser one. The numbers were worked out by hand from the lines that there are.
func TestHowManyAreListed(t *testing.T) {
	type writer func(n int, src Source) func(w io.Writer) error
	brief := View{}
	changes := func(moved bool) writer {
		return func(n int, src Source) func(w io.Writer) error {
			c := decisions.Comparison{SplitA: true, SplitB: true}
			for i := range n {
				c.Changes = append(c.Changes, changed(ofCore(fmt.Sprintf("rod%d", i), estimateOf(quantities.CoreFrequencyDrop, "Hz", 1e5, 1e3)), 2e5, 1e3, moved, false))
			}
			return func(w io.Writer) error {
				return CompareText(w, c, [2]*model.Result{consistent(), consistent()}, [2]Source{src, {}}, brief)
			}
		}
	}
	log := func(n int) (log readings.Log) {
		for i := range n {
			log.Readings = append(log.Readings, readings.Reading{State: readings.Bare(), Line: i + 2, Frequency: 2e6, Uncertainty: 1e3, Use: true})
		}
		return log
	}
	check := func(n int, src Source) func(w io.Writer) error {
		return func(w io.Writer) error { return CheckText(w, log(n), src, brief) }
	}
	named := func(n int, src Source) func(w io.Writer) error {
		log := log(40)
		for i := range n {
			log.Parts = append(log.Parts, readings.Part{Name: fmt.Sprintf("spike%d", i)})
		}
		return func(w io.Writer) error { return CheckText(w, log, src, brief) }
	}
	parts := func(n int, src Source) func(w io.Writer) error {
		r := fittedInvented(t)
		r.Parameters, r.Session.Log.Parts = nil, nil
		for i := range n {
			name := fmt.Sprintf("spike%d", i)
			r.Parameters = append(r.Parameters, ofPart(name, estimateOf(quantities.PartCapacitance, "F", 1e-12, 1e-14)))
			r.Session.Log.Parts = append(r.Session.Log.Parts, readings.Part{Name: name})
		}
		r.Parameters = append(r.Parameters, estimateOf(quantities.Inductance, "H", 1.2e-3, 30e-6), ofCore("rod", estimateOf(quantities.CoreGain, "1", 1.9, 0.02)))
		return func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, src, brief) }
	}
	hands := func(n int, src Source) func(w io.Writer) error {
		r := fittedInvented(t)
		r.Derived = r.Derived[:len(r.Derived)-2]
		for i := range n {
			r.Derived = append(r.Derived, atHand(float64(i+1)/100, estimateOf(quantities.HandFrequencyDrop, "Hz", 1e3, 10)))
		}
		return func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, src, brief) }
	}
	captures := func(n int, src Source) func(w io.Writer) error {
		var list []Captured
		for i := range n {
			c := inventedCapture()
			c.Capture.Name, c.Capture.Notes = fmt.Sprintf("scope%d.csv", i), nil
			list = append(list, c)
		}
		list[0].Capture.Notes = src.Warnings
		return func(w io.Writer) error { return CaptureText(w, list, nil, brief) }
	}
	modes := func(n int, src Source) func(w io.Writer) error {
		c := inventedCapture()
		for len(c.Result.Modes) < n {
			c.Result.Modes = append(c.Result.Modes, c.Result.Modes[0])
		}
		return func(w io.Writer) error { return CaptureText(w, []Captured{c}, nil, brief) }
	}
	states := func(n int, src Source) func(w io.Writer) error {
		var p Predictions
		for i := range n {
			p.List = append(p.List, predicted(withState(readings.Bare(), func(s *readings.State) { s.Core, s.To = fmt.Sprintf("rod%d", i), 1 })))
		}
		return func(w io.Writer) error { return PredictText(w, consistent(), p, decisions.Planned{}, src, brief) }
	}
	agreed := func(n int, src Source) func(w io.Writer) error {
		var list []decisions.Agreed
		for i := range n {
			e := ofCore(fmt.Sprintf("rod%d", i), estimateOf(quantities.CoreGain, "1", 2, 0.1))
			list = append(list, decisions.Agreed{Estimate: e, Sessions: []*quantities.Estimate{&e, &e}, Sigmas: []float64{0, 0}, PValue: 1})
		}
		return func(w io.Writer) error {
			return ConsensusText(w, []*model.Result{consistent(), consistent()}, list, []Source{src, {}}, brief)
		}
	}
	for _, c := range []struct {
		what        string
		write       writer
		item        string // what stands once in each line listed
		n, warnings int
		want        int
	}{
		{"changes", changes(true), "+100.0", 10, 0, 10}, {"changes", changes(true), "+100.0", 14, 0, 10}, {"changes", changes(true), "+100.0", 14, 8, 8},
		{"not moved", changes(false), "rod", 8, 0, 8}, {"not moved", changes(false), "rod", 20, 0, 8},
		{"check", check, "the log", 24, 0, 24}, {"check", check, "the log", 25, 0, 20}, {"check", check, "the log", 40, 4, 14}, {"check", check, "the log", 16, 4, 16},
		{"parts of a log", named, "spike", 20, 0, 10}, {"parts of a log", named, "spike", 20, 4, 6},
		{"parts", parts, "spike", 7, 0, 7}, {"parts", parts, "spike", 20, 0, 6},
		{"hands", hands, " cm ", 6, 0, 6}, {"hands", hands, " cm ", 20, 0, 5},
		{"captures", captures, "scope", 18, 0, 18}, {"captures", captures, "scope", 30, 0, 18}, {"captures", captures, "decaying", 30, 8, 15},
		{"modes", modes, "700 10 mV", 2, 0, 1}, {"modes", modes, "1.100 0.010 V", 7, 0, 3},
		{"states", states, "core rod", 14, 0, 14}, {"states", states, "core rod", 30, 0, 14}, {"states", states, "core rod", 30, 8, 12},
		{"consensus", agreed, "core", 40, 0, 15},
	} {
		var b strings.Builder
		must.Do(t, c.write(c.n, noisy(c.warnings))(&b))
		text := strings.Join(strings.Fields(b.String()), " ")
		if n := strings.Count(b.String(), "\n"); n > briefLines {
			t.Errorf("%s: %d lines", c.what, n)
		}
		if got := strings.Count(text, c.item); got != c.want {
			t.Errorf("%d of %s with %d warnings: %d listed, want %d in\n%s", c.n, c.what, c.warnings, got, c.want, b.String())
		}
	}
	// However many there are, those listed and those said to be more are all of them.
	for _, c := range []struct {
		what  string
		write writer
		item  string
	}{{"changes", changes(true), "+100.0"}, {"not moved", changes(false), "rod"}, {"check", check, "the log"}, {"parts", parts, "spike"},
		{"hands", hands, " cm "}, {"captures", captures, "scope"}, {"states", states, "core rod"}, {"consensus", agreed, "core"}} {
		for n := 1; n <= 26; n++ {
			text := flat(t, c.write(n, noisy(0)))
			more := 0
			if m := moreOf.FindStringSubmatch(text); m != nil {
				more = must.Get(strconv.Atoi(m[1])).In(t)
			}
			if listed := strings.Count(text, c.item); listed+more != n || listed == 0 {
				t.Errorf("%d of %s: %d listed and %d more in\n%s", n, c.what, listed, more, text)
			}
		}
	}
}

// moreOf is what a list says of those that are not in it.
var moreOf = regexp.MustCompile(`\band (\d+) more\b`)

// A list that holds all says nothing of more; one item above its limit it says that there is one more.
func TestOneMoreThanListed(t *testing.T) {
	check := func(n int) string {
		log := readings.Log{Readings: make([]readings.Reading, n)}
		return flat(t, func(w io.Writer) error { return CheckText(w, log, Source{}, View{Full: true}) })
	}
	r := fittedInvented(t)
	fitted := func(n int) string {
		r.Readings = slices.Repeat(r.Readings[:1], n)
		return flat(t, func(w io.Writer) error { return FitText(w, r, decisions.Planned{}, nil, Source{}, View{Full: true}) })
	}
	defaults := func(n int) string {
		r := fittedInvented(t)
		r.Assumed = slices.Repeat([]estimation.Assumption{{Kind: estimation.AssumedDigits, Count: 2}}, n-len(r.MovedPriors()))
		tab, left := MovedPriors(r)
		return fmt.Sprintf("%d, and %d more", len(tab.Rows), left)
	}
	helping := proposal(decisions.Candidate{State: readings.Bare()}, 0.02, decisions.ReasonRange)
	none := proposal(decisions.Candidate{State: readings.Bare()}, 0.05, decisions.ReasonNothing)
	next := func(help, not, most int) string {
		p := decisions.Planned{Ranked: slices.Concat(slices.Repeat([]decisions.Suggestion{helping}, help), slices.Repeat([]decisions.Suggestion{none}, not))}
		return flat(t, func(w io.Writer) error { return NextText(w, r, p, nil, most, Source{}, View{}) })
	}
	steps := func(n int) string {
		text := newText(View{})
		text.steps("A plan", slices.Repeat([]decisions.Suggestion{helping}, n), nil, 0)
		return strings.Join(strings.Fields(text.String()), " ")
	}
	for _, c := range []struct{ text, say, silent string }{
		{check(MostLines), "", " more"}, {check(MostLines + 1), "and 1 more (--json has all)", ""}, {check(MostLines + 7), "and 7 more (--json has all)", ""},
		{fitted(MostLines), "", " more (--json"}, {fitted(MostLines + 1), "and 1 more (--json has all)", ""},
		{defaults(mostMoved), "40, and 0 more", ""}, {defaults(mostMoved + 1), "40, and 1 more", ""},
		{next(3, 0, 3), "", "not listed"}, {next(4, 0, 3), "not listed: 1 other that does less", ";"}, {next(5, 0, 3), "not listed: 2 others that do less", ";"},
		{next(3, 1, 3), "not listed: 1 other that makes no visible difference", ";"}, {next(3, 2, 3), "not listed: 2 others that make no visible difference", ";"},
		{next(4, 1, 3), "not listed: 1 other that does less; 1 other that makes no visible difference", ""},
		{steps(12), " 11 ", "…"}, {steps(13), "… 13 ", " 12 "},
	} {
		if !strings.Contains(c.text, c.say) || c.silent != "" && strings.Contains(c.text, c.silent) {
			t.Errorf("no %q, or %q, in\n%s", c.say, c.silent, c.text)
		}
	}
}

// Words that change with a number change there.
func TestWordsChangeWhereTheNumberDoes(t *testing.T) {
	spreadOf := func(n, of int) string {
		list := make([]string, of)
		for i := range list {
			list[i] = fmt.Sprint(i)
		}
		return strings.Join(spread(list, n), " ")
	}
	some := func(n, most int) string {
		text := newText(View{})
		text.some("Parts", strings.Split(strings.Repeat("a,", n-1)+"a", ","), most)
		return strings.Join(strings.Fields(text.String()), " ")
	}
	heading := func(verdict int) string {
		text := newText(View{})
		text.heading("log: 9 readings", strings.Repeat("v", verdict))
		return fmt.Sprint(strings.Count(text.String(), "\n"))
	}
	verdict := func(scale, p float64) string {
		r := consistent()
		r.Quality.Scale, r.Quality.PValue = scale, p
		return Verdict(r)
	}
	ratio := func(pairs int) string {
		return contrast(readings.Contrast{Ratio: 0.8, Uncertainty: 0.05, Pairs: pairs})
	}
	used := func(share float64, why ringing.Why) string {
		text := newText(View{})
		text.usedShare(&ringing.Result{Used: share, Left: []ringing.Left{{End: 1e-6, Why: why}}})
		return strings.TrimSpace(text.String())
	}
	inputs := func(shares ...float64) string {
		e := estimateOf(quantities.Inductance, "H", 1e-3, 1e-5)
		var list []estimation.Input
		for _, s := range shares {
			in := estimation.Input{Uncertainty: math.NaN(), Contribution: math.Sqrt(s) * e.Uncertainty}
			in.Share = s
			list = append(list, in)
		}
		tab := budgetTable(list, &e, units{}.estimate(&e, e.Uncertainty), 9, false)
		return fmt.Sprint(len(tab.Rows), " ", strings.Join(strings.Fields(strings.Join(tab.Rows[len(tab.Rows)-2], " ")), " "))
	}
	for _, c := range [][2]string{
		{spreadOf(3, 10), "0 4 9"}, {spreadOf(1, 10), "0"}, {spreadOf(4, 10), "0 3 6 9"},
		{some(5, 4), "Parts a; a; a; a; a"}, {some(6, 4), "Parts a; a; a; a; and 2 more"},
		{heading(63), "1"}, {heading(64), "2"}, // 15 characters, a comma, a space and 63 are 80
		{verdict(1.49, 0.3), "consistent with the model (χ²/ν = 1.20, p = 0.300); ± multiplied by the Birge ratio 1.49"},
		{verdict(1.5, 0.3), "consistent with the model (χ²/ν = 1.20, p = 0.300); ± multiplied by the Birge ratio 1.5 of the few readings that test them"},
		{consistency(0.0099), "not consistent"}, {consistency(0.0101), "hardly consistent"},
		{ratio(1), "0.800 (1 pair of readings)"}, {ratio(2), "0.800 ± 0.050 (2 pairs of readings)"},
		{degrees(999), " (999 degrees of freedom)"}, {degrees(1001), ""},
		{percents(0), "0.0 %"}, {percents(4.9e-4), "< 0.1 %"}, {percents(5.1e-4), "0.1 %"}, {percents(0.1234), "12.3 %"},
		{inputs(0.5, 0.0011), "3 0 readings bare 3.3e-4 mH 0.1 %"}, {inputs(0.5, 0.0009, 0.0007), "3 2 more inputs 4.0e-4 mH 0.2 %"},
		{used(0.996, ringing.OtherRing), ""}, {used(0.99, ringing.OtherRing), "fitted: 99.0 % of the capture; left out: 1.00 µs ringing at another frequency"},
	} {
		if c[0] != c[1] {
			t.Errorf("%q, want %q", c[0], c[1])
		}
	}
}
