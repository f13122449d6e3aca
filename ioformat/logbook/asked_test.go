package logbook

import (
	"bytes"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/report"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// What is asked of a log is answered as the commands answer it, in the terminal's width, with the log's
// name, its warnings, parts at hand and such as can be bought at the tolerance told.
func TestAskedAsOfTheCommands(t *testing.T) {
	const name = "evening.csv"
	content := []byte("frequency [MHz],frequency ± [kHz],added [pF],remark\n2.519,15,,a\n1.613,15,4.7±0.5%,b\n1.937,15,2.2±0.5%,c\n1.937,15,2.2±0.5%,c\n# 1.937,15,2.2±0.5%,d\n")
	read := Reader(name, benchlog.Options{}, nil, nil, estimation.Session{})
	log, _, err := read(content)
	must.Do(t, err)
	if len(log.Warnings) == 0 {
		t.Fatal("a log with a warning is needed")
	}
	for _, width := range []int{50, 100} {
		view := report.View{Width: width}
		b, _, err := Open(&Memory{content}, Bench{Name: name, Read: read, Now: time.Now, View: view, Tolerance: 0.2})
		must.Do(t, err)
		say(t, b, "have 10pF±1%,4.7pF±0.1%", "goal C L")
		r := fitOf(t, content)
		r.Judge()
		src := report.Source{Log: name, SHA256: log.SHA256, Warnings: log.Warnings}
		plan := func(want string) (decisions.Planned, []readings.Part) {
			s := log.States()
			bench := decisions.Bench{Tolerance: 0.2, Buy: true}
			for _, p := range []string{"10pF±1%", "4.7pF±0.1%"} {
				if m, better, err := s.Have(p); err == nil && better {
					bench.Measured = append(bench.Measured, m)
				}
			}
			bench.Parts = s.Parts()[len(log.Parts):]
			m := must.Get(known.ParseMeasurand(want, r, s)).In(t)
			return decisions.Next(r.Result, m, decisions.Candidates(r.Result, m, bench), bench.Parts, 1), s.Parts()
		}
		var fit, full, next, check bytes.Buffer
		p, parts := plan("L")
		must.Do(t, report.FitText(&fit, r, p, parts, src, view))
		must.Do(t, report.FitText(&full, r, p, parts, src, report.View{Full: true}))
		p, parts = plan("C")
		must.Do(t, report.NextText(&next, r, p, parts, 10, src, view))
		must.Do(t, report.CheckText(&check, log.Log, src, view))
		for line, want := range map[string]string{"fit": fit.String(), "next": next.String(), "check": check.String()} {
			if got := say(t, b, line); got != want {
				t.Errorf("%s in %d columns:\n%s\nwant\n%s", line, width, got, want)
			}
		}
		if got := b.Report(); got != full.String() {
			t.Errorf("report:\n%s\nwant\n%s", got, full.String())
		}
	}
}

// A reader gives parts the values of a sheet where the options have none, names what is known as the log does,
// and fits as it is told to.
func TestReaderAddsWhatASheetSays(t *testing.T) {
	sheet := must.Get(coilsheet.Read(strings.NewReader("quantity,value,±,unit\nturns,560,,\nwinding diameter,24,0.1,mm\nwinding length,220,1,mm\npart roof,2.8,5 %,pF\npart 10 pF,10,0.2,pF\n"), "sheet.csv")).In(t)
	for given, want := range map[float64]float64{0: 2.8e-12, 3e-12: 3e-12} {
		opt := benchlog.Options{Parts: map[string]benchlog.PartValue{}}
		if given > 0 {
			opt.Parts["roof"] = benchlog.PartValue{Capacitance: given, Uncertainty: 1e-14}
		}
		log, s, err := Reader("x.csv", opt, nil, sheet, estimation.Session{Lumped: true, Robust: true})([]byte("frequency [MHz],added [pF]\n2.519,\n1.9,roof\n"))
		if err != nil || len(log.Parts) != 1 || !log.Parts[0].Known || log.Parts[0].Capacitance != want || !s.Lumped || !s.Robust || len(s.Log.Readings) != 2 {
			t.Errorf("%v: %+v, %+v", err, log, s)
		}
	}
}

// What goes with a reading, and isn't its state, leaves the state proposed or typed.
func TestWordsBesideTheState(t *testing.T) {
	for _, word := range []string{"", " use=no", " note=in a draught", " time=12.5", " USE=no", " Note = cold"} {
		b := after(t, "±0.8kHz", "2.519", "added=10pF")
		say(t, b, "1.2299"+word)
		if r := b.log.Readings[1]; len(r.Parts) != 1 || b.log.Parts[r.Parts[0]].Name != "10 pF" {
			t.Errorf("%q: %+v", word, r)
		}
		b = after(t, "±0.8kHz", "2.519", "added=10pF")
		say(t, b, "2.519 bare"+word)
		if r := b.log.Readings[1]; len(r.Parts) != 0 {
			t.Errorf("bare%q: %+v", word, r)
		}
	}
	for line, want := range map[string]typed{
		"":                          {bare: true},
		"bare":                      {bare: true},
		"note=x":                    {more: []string{"note=x"}},
		"core=rod":                  {state: []string{"core=rod"}},
		"1.5 drive=self":            {what: "1.5", more: []string{"drive=self"}},
		"1.5 DRIVE=self added=2pF":  {what: "1.5", state: []string{"added=2pF"}, more: []string{"DRIVE=self"}},
		"1.5 kHz Bare use=no":       {what: "1.5 kHz", bare: true, more: []string{"use=no"}},
		"1.5 weight=3":              {what: "1.5", state: []string{"weight=3"}},
		"±1 kHz":                    {what: "±1 kHz"},
		"time=3 note=a b hand=10cm": {state: []string{"hand=10cm"}, more: []string{"time=3", "note=a b"}},
	} {
		if got := split(line); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v, want %+v", line, got, want)
		}
	}
	// An uncertainty for all readings may be typed with each of its signs; one that stands with a reading goes before it.
	for _, sign := range []string{"±", "+-", "+/-"} {
		b := after(t, "±3kHz", sign+" 0.5 kHz", "2.519", "2.518MHz±2kHz", "2.517MHz +- 4kHz")
		for i, want := range []float64{500, 2000, 4000} {
			if got := b.log.Readings[i].Uncertainty; math.Abs(got-want) > 1e-6 {
				t.Errorf("%s: %v, want %v", sign, got, want)
			}
		}
		if b = after(t, "±0.1%", "2.5 MHz"); math.Abs(b.log.Readings[0].Uncertainty-2500) > 1e-6 || b.log.Readings[0].FromDigits {
			t.Errorf("%+v", b.log.Readings[0])
		}
		if b = after(t, "±0.1%", sign, "2.500 MHz"); math.Abs(b.log.Readings[0].Uncertainty-1000/math.Sqrt(12)) > 1e-6 || !b.log.Readings[0].FromDigits {
			t.Errorf("%+v", b.log.Readings[0])
		}
	}
}

// A line that begins as a number is one, and what its digits leave open is below a tenth: 1/√12 of 3 is, of 2 isn't.
func TestLinesThatBeginAsNumbers(t *testing.T) {
	for line, want := range map[string]string{"(2.519)": "expected a", "(x)": "expected a", "-x": "expected a", "2": "of two digits or more", "x": "is no frequency; ?", "×2.5": "is no frequency; ?", "fti 2.5": "did you mean fit?", "\\x": "is no frequency; ?"} {
		if r := after(t).Line(line); !r.Refused || !strings.Contains(r.Text, want) {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
	for line, want := range map[string]string{"3": "line 2: 3.00 ± 0.29 MHz, bare\n", ".5190": "line 2: 519.000 ± 0.029 kHz, bare\n", "2.0": "line 2: 2.000 ± 0.029 MHz, bare\n"} {
		if r := after(t).Line(line); r.Refused || !strings.HasPrefix(r.Text, want) {
			t.Errorf("%q: %+v, want %q", line, r, want)
		}
	}
	// The name of a file may be in a folder, in any case, and begin as a number.
	for _, name := range []string{"ring.csv", "folder/ring", `folder\ring`, "1.CSV", "2.5MHz.csv", "no.1"} {
		b, asked := after(t, "2.519"), ""
		b.bench.Capture = func(name string, _ []string) (benchlog.Row, error) {
			asked = name
			return benchlog.Row{Frequency: 2.52e6, Uncertainty: 100, Amplitude: nan, Quality: nan}, nil
		}
		if r := b.Line(name + " bare"); r.Refused || asked != name || !strings.HasPrefix(r.Text, "line 3: 2.52000 ± 0.00010 MHz, bare\n") {
			t.Errorf("%q: asked for %q, %+v", name, asked, r)
		}
	}
	b := after(t, "±0.8kHz", "2.519", "1.937 added=2.2pF", "1.613 added=4.7pF")
	b.bench.Capture = func(string, []string) (benchlog.Row, error) {
		return benchlog.Row{Frequency: 1.163e6, Uncertainty: 100, Amplitude: nan, Quality: nan}, nil
	}
	if got := say(t, b, "ring.csv added=4.7pF"); !strings.Contains(got, ": read 1.16300 or 1.61300? ") {
		t.Errorf("%q", got)
	}
}

// The time of a reading is that of the clock when it is typed, unless it is typed, too.
func TestTimeOfAReading(t *testing.T) {
	minutes := 100.0
	k := &kept{Memory: Memory{[]byte("time,frequency [kHz],use\n14:05,2519,\n")}}
	b := open(t, k, &minutes)
	minutes = 103
	say(t, b, "2518 bare", "2517 bare Time = 14:09")
	if want := "\n" + time.Unix(0, 0).Add(103*time.Minute).Format("15:04") + ",2518,\n14:09,2517,\n"; !strings.HasSuffix(string(k.Content), want) {
		t.Errorf("%q, want %q", k.Content, want)
	}
	k = &kept{}
	b = open(t, k, &minutes)
	minutes = 107
	say(t, b, "2.519 TIME=3", "2.518", "2.517 bare time = 6")
	minutes = 120
	if say(t, b, "2.516 bare"); !strings.HasSuffix(string(k.Content), "2.519,,,,,,,,3,,\n2.518,,,,,,,,3,,\n2.517,,,,,,,,6,,\n2.516,,,,,,,,19,,\n") { // 13 after 6
		t.Errorf("%q", k.Content)
	}
}

// Minutes are those since the log was opened, at each reading of an evening; parts of a minute aren't lost from
// one to the next.
func TestMinutesOfAnEvening(t *testing.T) {
	for what, c := range map[string]struct {
		log string
		add int
	}{"a new log": {"", 0}, "one that goes on": {"frequency [MHz],time [min]\n2.519,40\n", 40}, "one with its head alone": {"frequency [MHz],time [min]\n", 0}} {
		minutes := 1000.0
		k := &kept{Memory: Memory{[]byte(c.log)}}
		b := open(t, k, &minutes)
		for _, at := range []float64{5.6, 10.7, 11.5, 12.3, 13.1, 40} {
			minutes = 1000 + at
			say(t, b, "2.519 bare")
			rows := strings.Split(strings.TrimSpace(string(k.Content)), "\n")
			if want := "," + strconv.Itoa(c.add+int(at)); !strings.HasSuffix(strings.TrimRight(rows[len(rows)-1], ","), want) {
				t.Errorf("%s: minute %v, want %s:\n%s", what, at, want, k.Content)
			}
		}
	}
}

// Cores are those of the log in their order, of readings that don't count, too, and then those at hand; parts likewise.
func TestCoresAndPartsInTheirOrder(t *testing.T) {
	b := after(t, "2.519", "have core=beads,10pF core=rod 1pF", "1.9 core=tube use=no", "1.785 core=rod", "1.937 added=2.2pF use=no", "1.23 added=10pF")
	v := b.View()
	if got := strings.Join(b.knownCores(), " "); got != "tube rod beads" || strings.Join(v.Cores, " ") != got || strings.Join(v.Parts, " ") != "2.2pF 10pF 1pF" {
		t.Errorf("%s, %+v", got, v)
	}
	if got := strings.Join(b.wanted(), " "); got != "L gain:tube gain:rod gain:beads" {
		t.Errorf("%s", got)
	}
	if say(t, b, "have 0.99uF 2nF"); strings.Join(b.parts, " ") != "10pF 1pF 0.99uF 2nF" {
		t.Errorf("%q", b.parts)
	}
	b = after(t, "2.519", "have core=beads core=tube")
	if got := strings.Join(b.View().Cores, " "); got != "beads tube" {
		t.Errorf("%s", got)
	}
	for _, c := range [][3]string{{"a,b", "c", "a b c"}, {"rod", "Rod,tube", "rod tube"}, {"4.7pF", "4700fF,1pF", "4.7pF 1pF"}, {"", "a,a", "a"}} {
		cut := func(s string) []string { return strings.FieldsFunc(s, func(r rune) bool { return r == ',' }) }
		if got := strings.Join(merged(cut(c[0]), cut(c[1])), " "); got != c[2] {
			t.Errorf("%s and %s: %s", c[0], c[1], got)
		}
	}
}
