package benchlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

// What a log and the options say of parts, worked out by hand: a tolerance is a bound that 95 % keep, over
// 1.96, or a rectangular one, over √3 (JCGM 100:2008, 4.3.4 and 4.3.7); a quarter of the variance is common
// unless a word says otherwise.
func TestPartsAsStated(t *testing.T) {
	const h = "f [MHz],added [pF],added ± [%]\n"
	root3 := math.Sqrt(3)
	part := func(name string, pF, u float64, common float64, flags string) string {
		return fmt.Sprintf("%s %.4g ± %.4g pF, %.2g common %s", name, pF, u, common, flags)
	}
	for _, c := range []struct {
		text string
		opt  Options
		want []string
	}{
		{h + "2.5,10,\n", Options{}, []string{part("10 pF", 10, 0.5/1.96, 0.25, "default")}},
		{h + "2.5,10,\n", Options{Tolerance: 0.02}, []string{part("10 pF", 10, 0.2/1.96, 0.25, "")}},
		{h + "2.5,10,\n", Options{Tolerance: 0.02, Share: Rectangular | Own}, []string{part("10 pF", 10, 0.2/root3, 0, "rectangular")}},
		{h + "2.5,10,\n", Options{Share: Rectangular}, []string{part("10 pF", 10, 0.5/root3, 0.25, "default rectangular")}},
		{h + "2.5,10,\n", Options{Exact: true, Tolerance: 0.02}, []string{part("10 pF", 10, 0, 0, "")}},
		{h + "2.5,10,\n", Options{Exact: true}, []string{part("10 pF", 10, 0, 0, "")}},
		{h + "2.5,10,2\n2.4,22,2 normal\n", Options{Share: Rectangular | Common}, []string{part("10 pF", 10, 0.2/root3, 1, "rectangular"), part("22 pF", 22, 0.44/1.96, 1, "")}},
		{h + "2.5,10,2 own\n2.4,22,2 common rectangular\n", Options{Share: Rectangular}, []string{part("10 pF", 10, 0.2/root3, 0, "rectangular"), part("22 pF", 22, 0.44/root3, 1, "rectangular")}},
		{h + "2.5,10+10+10,4.9\n2.4,10±0.2 pF+22,\n", Options{}, nil},
		{h + "2.5,10+10+10,4.9\n", Options{}, []string{part("10 pF", 10, 0.49/1.96, 0.25, ""), part("10 pF (2)", 10, 0.49/1.96, 0.25, ""), part("10 pF (3)", 10, 0.49/1.96, 0.25, "")}},
		{h + "2.5,1E+1,0\n2.4,none+4.7,\n2.3,—,\n", Options{}, []string{part("1E+1 pF", 10, 0, 0, ""), part("4.7 pF", 4.7, 0.235/1.96, 0.25, "default")}},
		{h + "2.5,spike+10,\n2.4,Roof,\n", Options{Parts: map[string]PartValue{"SPIKE": {2e-12, 1e-13, Own}, "0.01 nF": {11e-12, 2e-13, Common | Rectangular}}},
			[]string{part("spike", 2, 0.1, 0, ""), part("10 pF", 11, 0.2, 1, "rectangular"), "Roof unknown"}},
	} {
		l, err := Read(strings.NewReader(c.text), "log.csv", c.opt)
		if c.want == nil {
			if err == nil {
				t.Errorf("%q is read: %+v", c.text, l.Parts)
			}
			continue
		}
		if err != nil || len(l.Parts) != len(c.want) {
			t.Errorf("%q, %+v: %v", c.text, c.opt, err)
			continue
		}
		for i, p := range l.Parts {
			flags := strings.TrimSpace(map[bool]string{true: "default "}[p.Default] + map[bool]string{true: "rectangular"}[p.Rectangular])
			got := part(p.Name, p.Capacitance*1e12, p.Uncertainty*1e12, p.Common, flags)
			if !p.Known {
				got = p.Name + " unknown"
			}
			if got != c.want[i] || (p.Lot == "") != (p.Common == 0) {
				t.Errorf("%q, %+v: %s (lot %q), want %s", c.text, c.opt, got, p.Lot, c.want[i])
			}
		}
	}
	same := must.Get(Read(strings.NewReader(h+"2.5,10,5\n2.4,22,4.9\n2.3,33,5\n2.2,47±2 pF+56±2pF+40±5%,\n"), "log.csv", Options{})).In(t).Parts
	for i, like := range []int{0, 1, 0, 3, 3, 0} { // in per cent, and in pF
		for k, other := range same {
			if (same[i].Lot == other.Lot) != (like == []int{0, 1, 0, 3, 3, 0}[k]) {
				t.Errorf("lots of %s, %q, and %s, %q", same[i].Name, same[i].Lot, other.Name, other.Lot)
			}
		}
	}
}

// States of a log: parts stay as the log has them, a state that is refused leaves nothing behind, and two
// tables may have two units.
func TestStatesLeaveTheLog(t *testing.T) {
	read := func(text string) *Log {
		return must.Get(Read(strings.NewReader(text), "log.csv", Options{})).In(t)
	}
	s := read("f [MHz],added [pF]\n2.5,\n2.4,4.7\n").States()
	for words, says := range map[string]string{
		"added=22pF+roof":  "a part that the log has readings of (4.7 pF, 22 pF)",
		"added=4.7pF±1%":   "state the tolerance of 4.7 pF in the log",
		"added=22pF+22pF+": "there is a + too many",
		"core=rod":         "a core that the log has readings of",
		"covered=60%":      "nothing, since no core is named",
		"hand=0cm":         "a distance above 0",
	} {
		if _, err := s.Parse(strings.Fields(words)); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", words, err, says)
		}
	}
	if p := s.Parts(); len(p) != 1 {
		t.Errorf("left behind: %+v", p)
	}
	if _, err := read("f [MHz]\n2.5\n").States().Parse([]string{"added=roof"}); err == nil || !strings.Contains(err.Error(), "give its value in the coil sheet") {
		t.Errorf("of a log without parts: %v", err)
	}
	for _, c := range []struct {
		table string
		want  float64
	}{{"added [pF],note\n10,a\n", 10e-12}, {"added [nF],note\n10,a\n", 10e-9}} {
		list, err := s.Read(strings.NewReader(c.table), "states.csv")
		if err != nil || math.Abs(s.Parts()[list[0].Parts[0]].Capacitance/c.want-1) > 1e-12 {
			t.Errorf("%q: %+v, %v", c.table, list, err)
		}
	}
	for table, says := range map[string]string{
		"core,covered [%]\nrod,0.5\n": "no row covers more than 1 %",
		"core,stuff\n" + strings.Repeat("rod,\n", 250) + strings.Repeat("rod,4.7 pF\n", 3): "a header that tells",
		"core,f [MHz],note\nrod,,\n#a,2.5,\n":                                              "a reading that doesn't begin with #",
		"note\nx\n":                                                                        "at least one of the columns",
		"core\n":                                                                           "there is no state below the header",
	} {
		if _, err := read("f [MHz],core\n2.5,rod\n").States().Read(strings.NewReader(table), "states.csv"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, want %q", table, err, says)
		}
	}
	h := read("f [MHz],added [pF],added ± [%]\n2.5,,\n2.4,10,5\n").States()
	for _, c := range []struct {
		text  string
		known bool
		says  string
	}{{"10pF±4.99%", true, ""}, {"10pF±5%", false, "a smaller tolerance"}, {"22pF±1%", false, ""}, {"22pF±2%", false, "stated before"}, {"22pF", false, ""}, {"roof", false, "readings of"}} {
		m, known, err := h.Have(c.text)
		if known != c.known || (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) || known && math.Abs(m.Relative-0.0499/1.96) > 1e-12 {
			t.Errorf("%s: %+v, %v, %v", c.text, m, known, err)
		}
	}
}

// Cells that say nothing, and marks that say that a core is in.
func TestCellsOfCores(t *testing.T) {
	for _, c := range []struct{ text, cores, says string }{
		{"f [MHz],core\n2.5,true\n", "", "write which core is in"},
		{"f [MHz],core\n2.5,x\n2.4,y\n", "", "the name of a core in each row"},
		{"f [MHz],core\n2.5,x\n2.4,X\n2.3,none\n", "core core ", ""},
		{"f [MHz],ferrite\n2.5,x\n2.4,yes\n2.3,false\n2.2,TRUE\n", "ferrite ferrite  ferrite", ""},
		{"f [MHz],core\n2.5,4µ7\n", "", "this is a number"},
		{"f [MHz],core\n2.5,4p\n", "", "this is a number"},
		{"f [MHz],core\n2.5,p47\n2.4,4pp7\n", "p47 4pp7", ""},
		{"f [MHz],core\n2.5,ROD\n2.4,r o d\n", "ROD ROD", ""},
		{"f [MHz],Ferrite\n2.5,x\n2.4,X\n", "Ferrite Ferrite", ""},
	} {
		l, err := Read(strings.NewReader(c.text), "log.csv", Options{})
		if c.says != "" {
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%q: %v, want %q", c.text, err, c.says)
			}
			continue
		}
		var got []string
		if err == nil {
			for _, r := range l.Readings {
				got = append(got, r.Core)
			}
		}
		if err != nil || strings.Join(got, " ") != c.cores {
			t.Errorf("%q: %q, %v, want %q", c.text, got, err, c.cores)
		}
	}
	l := must.Get(Read(strings.NewReader("f [kHz];core;covered [%];added [pF]\n2500;rod;20..60,5;clip+none\n2400;;;clip+none\n"), "log.csv", Options{})).In(t)
	if r := l.Readings; r[0].To != 0.605 || r[0].From != 0.2 || !r[0].Clip || !r[1].Clip {
		t.Errorf("%+v", r)
	}
}

// Rows that differ in one thing beyond rounding aren't taken for one another; rows that don't, are.
func TestReadBackLimits(t *testing.T) {
	base := saidReading{readings.Reading{Frequency: 1e6, Uncertainty: 100, State: readings.State{Core: "rod", To: 0.6, Hand: 0.2, Primary: readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9}}, Use: true},
		[]readings.Part{{Name: "10 pF", Capacitance: 10e-12, Known: true}, {Name: "roof"}}}
	for what, change := range map[string][2]func(*saidReading){
		"frequency": {func(s *saidReading) { s.Frequency += 299 }, func(s *saidReading) { s.Frequency += 301 }},
		"core":      {func(s *saidReading) { s.Core = "R od" }, func(s *saidReading) { s.Core = "rods" }},
		"cover":     {func(s *saidReading) { s.To *= 1 + 0.9e-6 }, func(s *saidReading) { s.To *= 1 + 1.1e-6 }},
		"hand":      {func(s *saidReading) { s.Hand *= 1 - 0.9e-6 }, func(s *saidReading) { s.Hand *= 1 - 1.1e-6 }},
		"primary":   {func(*saidReading) {}, func(s *saidReading) { s.Primary.Capacitance = 2e-9 }},
		"parts":     {func(s *saidReading) { s.parts[0].Capacitance *= 1 + 0.9e-6 }, func(s *saidReading) { s.parts[0].Capacitance *= 1 + 1.1e-6 }},
		"use":       {func(*saidReading) {}, func(s *saidReading) { s.Use = false }},
	} {
		for i, f := range change {
			other := base
			other.parts = append([]readings.Part(nil), base.parts...)
			f(&other)
			want := []string{"", what}[i]
			if got, _, _ := other.differs(base); got != want {
				t.Errorf("%s: %q differs, want %q", what, got, want)
			}
		}
	}
}

// Times of the day go on past midnight, not by a slip of some hours; the day is that of the first row.
func TestTimesAgain(t *testing.T) {
	for text, want := range map[string]float64{
		"14:00:30\n14:01:00\n": 0.5 / 60,
		"14:00\n13:00\n":       -1,
		"13:00\n01:30\n":       -11.5,
		"13:00\n00:30\n":       11.5,
		"23:00\n22:00\n":       -1,
		"2026-01-31 23:59:30\n2026-02-01 00:00:00\n":        0.5 / 60,
		"2026-01-31T23:30:00+02:00\n2026-01-31T21:45:00Z\n": 0.25,
		"2026-03-29T01:00\n2026-03-30T01:00\n":              24,
		"0\n90\n":                                           1.5,
		"10\n5\n":                                           -5. / 60,
	} {
		rows := strings.Split(text, "\n")
		l, err := Read(strings.NewReader("f [MHz],time\n2.5,"+rows[0]+"\n2.4,"+rows[1]+"\n"), "log.csv", Options{})
		if err != nil || math.Abs(l.Moments[1]-l.Moments[0]-want) > 1e-6 {
			t.Errorf("%q: %v, want %g h", text, err, want)
		}
		if err == nil && strings.Contains(text, "-") && l.Date() != rows[0][:10] {
			t.Errorf("%q: of %s", text, l.Date())
		}
	}
	for _, c := range []struct {
		text   string
		passed time.Duration
		want   string
	}{{"time [min]\n2.5,10.9\n", 6 * time.Second, "11"}, {"time [min]\n2.5,10\n", 59 * time.Second, "10"}, {"time [s]\n2.5,0.1\n", 900 * time.Millisecond, "1"}, {"time [h]\n2.5,1.9\n", 6 * time.Minute, "2"}} {
		l := must.Get(Read(strings.NewReader("f [MHz],"+c.text), "log.csv", Options{})).In(t)
		if got := l.Time(time.Time{}, c.passed); got != c.want {
			t.Errorf("%q and %v: %s, want %s", c.text, c.passed, got, c.want)
		}
	}
}
