package benchlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
)

// States are read from words as from the cells of a log; what can't be meant says what could.
func TestWordsOfStatesWordForWord(t *testing.T) {
	l := must.Get(Read(strings.NewReader("f [MHz],added [pF],added ± [%],core\n2.5,10,5,rod\n2.4,roof,,\n2.3,10+4.7,,\n"), "log.csv", Options{Parts: map[string]PartValue{"spike": {Capacitance: 1e-12}}})).In(t)
	for _, c := range []struct{ words, want string }{
		{"", ``}, {"added=10pF core=ROD covered=20..60% hand=15cm primary=shorted", `, parts [0], core "rod" 0.2..0.6, hand 0.15 m, primary 1 0 false`}, {"added=10pF+10pF", `, parts [0 3]
part "10 pF (2)" 1e-11 ± 2.55e-13 F by default, of lot "0.0255102 unsaid", 0.25 in common`}, {"added=22pF±1%", `, parts [3]
part "22 pF" 2.2e-11 ± 1.12e-13 F, of lot "0.00510204 unsaid", 0.25 in common`}, {"added=clip", `, clip`}, {"added=none hand=none", ``}, {"added=spike", `, parts [3]
part "spike" 1e-12 ± 0 F`}, {"covered=0% core=rod", `log.csv: the core "rod" covers 0 %: read as no core`},
		{"added", `"added": read "added", expected name=value, such as added=3.3pF`}, {"aded=3pF", `"aded=3pF": read "aded", expected added, core, covered, hand or primary; did you mean added?`}, {"weight=3kg", `"weight=3kg": read "weight", expected added, core, covered, hand or primary`}, {"added=10pF added=4.7pF", `"added=4.7pF": added is given twice`}, {"added=4,7pF", `"added=4,7pF": read "4,7pF", expected a point as decimal mark on the command line; write 4.7pF`}, {"added=10", `"added=10": read "10", expected a capacitance with its unit (fF, pF, nF, µF, F); the unit is missing`}, {"added=roff", `"added=roff": read "roff", expected a part that the log has readings of (10 pF, roof, 4.7 pF); did you mean "roof"?`}, {"added=10pF±2%", `"added=10pF±2%": read "10pF±2%", expected the tolerance of 10 pF stated before (5 %, line 2); one part has one tolerance; if these are two parts, give one of them a name, and the name a value in the coil sheet`}, {"core=rd", `"core=rd": read "rd", expected a core that the log has readings of (rod); did you mean "rod"?`}, {"core=beads", `"core=beads": read "beads", expected a core that the log has readings of (rod)`}, {"covered=60%", `"covered=60%": read "60%", expected nothing, since no core is named; name the core, or leave out what it covers`}, {"core=rod covered=120%", `"covered=120%": read "120%", expected 0 to 100 %; a core covers at most the whole winding`},
		{"hand=0cm", `"hand=0cm": read "0cm", expected a distance above 0; nobody touches the coil for a reading; give no distance when nobody is near`}, {"hand=x", `"hand=x": read "x", expected a length with its unit (µm, mm, cm, in, m)`}, {"primary=shut", `"primary=shut": read "shut", expected open, shorted, or tuned and a capacitance, such as tuned 4.7 nF; leave the cell empty where there is no primary`}, {"primary=tuned 4.7 nF", `, primary 2 4.7e-09 false`},
	} {
		s := l.States()
		state, err := s.Parse(Words(c.words))
		got := strings.TrimSpace(dumpState(state) + "\n" + dumpParts(s.Parts()[len(l.Parts):]) + strings.Join(s.Notices(), "\n"))
		if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q: %s\nwant %s", c.words, got, c.want)
		}
	}
	for text, want := range map[string]string{"2.2pF": "-1 0", "10pF±1%": "0 0.0051", "10pF±5%": `read "10pF±5%", expected a smaller tolerance than the log has for 10 pF; leave the tolerance out: the part counts as the log has it`, "x": `read "x", expected a part that the log has readings of (10 pF, roof, 4.7 pF); give its value in the coil sheet, or take a reading with it`, "22pF±1%": "-1 0", "10pF": "-1 0"} {
		m, known, err := l.States().Have(text)
		got := "-1 0"
		if known {
			got = fmt.Sprintf("%d %.2g", m.Part, m.Relative)
		}
		if err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"added [pF],core,covered [%],hand [cm]\n10,rod,60,\n,,,15\n", `state, parts [0], core "rod" 0..0.6
state, hand 0.15 m`}, {"note\nx\n", `states.csv:1: read "note", expected at least one of the columns added [pF], core, covered [%], hand [cm]`}, {"added [pF]\n", `states.csv: there is no state below the header, expected one row for each state`}, {"added [pF],core\n10,rd\n", `states.csv:2:2 (column B, "core"): read "rd", expected a core that the log has readings of (rod); did you mean "rod"?`}, {"added [pF],core,colour\n10,rod,red\n#11,rod,blue\n", `state, parts [0], core "rod" 0..1
states.csv:1: not used: column "colour"
states.csv:3: the line begins with # and is left out as a comment, though it has as many cells as the header: "#11,rod,blue"`},
	} {
		s := l.States()
		states, err := s.Read(strings.NewReader(c.text), "states.csv")
		got := ""
		for _, x := range states {
			got += "state" + dumpState(x) + "\n"
		}
		got = strings.TrimSpace(got + strings.Join(s.Notices(), "\n"))
		if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q: %s\nwant %s", c.text, got, c.want)
		}
	}
}

// A row is written in the way of the log, or refused with the reason.
func TestRowsWordForWord(t *testing.T) {
	nan := math.NaN()
	row := Row{Frequency: 2.5e6, Uncertainty: 1234, Amplitude: nan, Quality: nan}
	with := func(change func(r *Row)) Row { r := row; change(&r); return r }
	say := func(words ...string) Row { return with(func(r *Row) { r.State = words }) }
	const log = "f [kHz],added [pF],note\n2500,10,\n"
	for _, c := range []struct {
		log  string
		row  Row
		want string
	}{
		{"", row, `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50000,1.23,,,,,,,,`}, {"", say("added=4.7pF±1%+roof", "core=rod", "covered=20..60%", "hand=15cm", "use=no", "note=cold"), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50000,1.23,4.7±1%+roof,rod,20..60,15,,,no,cold`}, {"", say("primary=shorted", "drive=self", "time=12"), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,primary,drive,time [min],use,note
2.50000,1.23,,,,,,,shorted,self,12,,`}, {"", say("added=clip"), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50000,1.23,clip,,,,,,,`}, {"", say("added=none", "hand=none"), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50000,1.23,,,,,,,,`},
		{"", with(func(r *Row) {
			r.Amplitude, r.AmplitudeUnit, r.Quality, r.Cautions = 1.23456, "V", 81.23, []string{"mind this; do that", "hum"}
		}), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50000,1.23,,,,,1.235,81.2,,mind this; hum`}, {"", with(func(r *Row) { r.Unclaimed = true }), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50,,,,,,,,,`}, {"", with(func(r *Row) { r.LastDigit = 1e4 }), `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note
2.50,1.23,,,,,,,,`},
		{log, row, `f [kHz],added [pF],note
2500,10,
2.50e+03,,`}, {log, say("added=22nF", "note=warm"), `f [kHz],added [pF],note
2500,10,
2.50e+03,22000,warm`}, {log, say("core=rod"), `log.csv has no column for "core": add it to the header, and a delimiter to each row`}, {log, with(func(r *Row) { r.Amplitude, r.Quality, r.Cautions = 1.5, 80, []string{"hum; move away"} }), `f [kHz],added [pF],note
2500,10,
2.50e+03,,hum
not written: amplitude 1.500
not written: quality factor 80.0`}, {"f [MHz];amplitude [mV];Q\n2,5;100;80\n", with(func(r *Row) { r.Amplitude, r.AmplitudeUnit, r.Quality = 0.5, "V", 81.5 }), `f [MHz];amplitude [mV];Q
2,5;100;80
2,50;500,0;81,5`},
		{"f [MHz],amplitude,hand\n2.5,100 mV,15 cm\n", with(func(r *Row) { r.Amplitude, r.AmplitudeUnit, r.State = 0.5, "V", []string{"hand=20cm"} }), `f [MHz],amplitude,hand
2.5,100 mV,15 cm
2.50,0.5000 V,20 cm`}, {"f [MHz],amplitude [A]\n2.5,100\n", with(func(r *Row) { r.Amplitude, r.AmplitudeUnit = 0.5, "V" }), `f [MHz],amplitude [A]
2.5,100
2.50,
not written: amplitude 0.5000 V`}, {"f,frequency ± [%]\n2.5 MHz,1\n", row, `f,frequency ± [%]
2.5 MHz,1
2.50000 MHz,0.0494`}, {"f [Hz]\n2500000\n", with(func(r *Row) { r.Uncertainty = 12345 }), `f [Hz]
2500000
2.5e+06`},
		{log, say("added"), `"added": read "added", expected name=value, such as core=rod`}, {log, say("aded=1pF"), `"aded=1pF": read "aded", expected added, core, covered, hand, primary, use or note; did you mean added?`}, {log, say("added=1pF", "added=2pF"), `"added=2pF": added is given twice`}, {log, say("added=1,5pF"), `"added=1,5pF": read "1,5pF", expected a point as decimal mark on the command line; write 1.5pF`}, {log, say("note=a\x1bb"), `"note=a<U+001B>b": read "note=a<U+001B>b", expected text without control characters`}, {"", say("covered=120%", "core=rod"), `"covered=120%": read "120%", expected 0 to 100 %; a core covers at most the whole winding`}, {"", say("covered=60%"), `"covered=60%": read "60", expected nothing, since no core is named; name the core, or leave out what it covers`}, {"", say("hand=0cm"), `"hand=0cm": read "0cm", expected a distance above 0; nobody touches the coil for a reading; give no distance when nobody is near`}, {"", say("use=perhaps"), `"use=perhaps": read "perhaps", expected yes or no`}, {"", say("core=4.7"), `"core=4.7": read "4.7", expected the name of a core; this is a number: has a cell slipped into another column? A name has a letter, as rod or #2`},
		{log, with(func(r *Row) { r.Uncertainty = 1e6 }), `a row needs a frequency above 0 that is known to better than 10 %`}, {log, with(func(r *Row) { r.Uncertainty = 0 }), `a row needs a frequency above 0 that is known to better than 10 %`}, {"f [kHz],added [pF]\n2500,10,1\n", row, `log.csv:2: the row has 3 cells, expected 2 as in the header; if the comma is a decimal mark, use ; between cells; if it belongs to a text, put that cell in quotes`}, {"note,f [MHz]\nx,2.5\n", say("note=#1"), `log.csv: the new row would begin with "#1", and so would be a comment: write that cell without the #, or let another column come first in the log`}, {"f [MHz],added [pF],added ± [%]\n2.5,10,5\n", say("added=10pF±2%"), `the new row would spoil the log: log.csv:3:3 (column C, "added ± [%]"): read "10±2%", expected the tolerance of 10 pF stated before (5 %, line 2); one part has one tolerance; if these are two parts, give one of them a name, and the name a value in the coil sheet`},
	} {
		longer, unplaced, err := Append([]byte(c.log), "log.csv", c.row)
		got := string(longer)
		for _, u := range unplaced {
			got += "not written: " + u + "\n"
		}
		if got = strings.TrimSpace(got); err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q, %q: %s\nwant %s", c.log, c.row.State, got, c.want)
		}
	}
	for _, c := range []struct {
		log  string
		line int
		want string
	}{
		{"f [MHz],use\n2.5,\n2.4,\n", 3, `"f [MHz],use\n2.5,\n", removed true`}, {"f [MHz],use\n2.5,\n2.4,\n", 2, `"f [MHz],use\n2.5,no\n2.4,\n", removed false`}, {"f [MHz],use\r\n2.5,yes\r\n2.4,\r\n", 2, `"f [MHz],use\r\n2.5,no\r\n2.4,\r\n", removed false`}, {"f [MHz],note\n2.5,\n2.4,\n", 2, `log.csv has no column for "use": delete line 2 by hand, or add the column`}, {"f [MHz],note,use\n2.5,\"a\nb\",\n2.4,,\n", 2, `log.csv: line 2 can't be changed by itself: write no into its column "use" by hand`}, {"f [MHz],use\n2.5,\n", 9, `log.csv has no line 9`}, {"x\n", 1, `log.csv:1: read "x", expected a column of frequencies, such as frequency [MHz]; name it so`},
	} {
		changed, removed, err := TakeBack([]byte(c.log), "log.csv", c.line)
		got := fmt.Sprintf("%q, removed %v", changed, removed)
		if err != nil {
			got = err.Error()
		}
		if got != c.want {
			t.Errorf("%q: %s\nwant %s", c.log, got, c.want)
		}
	}
	if got, err := Remark([]byte("f [MHz]\r\n2.5\r\n"), "log.csv", "moved"); err != nil || string(got) != "f [MHz]\r\n2.5\r\n# moved\r\n" {
		t.Errorf("%q, %v", got, err)
	}
	for x, want := range map[[2]float64]string{ // of 28 a last digit of 97 would be enough: 100
		{2.5, 0.0012}: "2.50", {2500, 0.2}: "2500", {2500, 1.2}: "2.50e+03", {1999.7, 12}: "2.0e+03", {2500, 28}: "2.5e+03", {2500, 29}: "3e+03", {0.5, 0.00028}: "0.500"} {
		if got := implying(x[0], x[1]); got != want {
			t.Errorf("%v: %q, want %q", x, got, want)
		}
	}
}

// The time of a new row goes on as those above, and a log knows its day.
func TestTimesOfRows(t *testing.T) {
	now := time.Date(2026, 2, 3, 16, 45, 30, 0, time.UTC)
	for _, c := range []struct{ log, want, date string }{
		{"f [MHz],time\n2.5,14:05\n", "16:45", ""}, {"f [MHz],time\n2.5,2026-01-31T14:05\n", "2026-02-03T16:45", "2026-01-31"}, {"f [MHz],time\n2.5,10\n", "40", ""}, {"f [MHz],time [h]\n2.5,10\n", "10", ""}, {"f [MHz],time [s]\n2.5,10\n", "1810", ""}, {"f [MHz],time [seconds]\n2.5,10\n", "1810", ""}, {"f [MHz],time [hours]\n2.5,10\n", "10", ""}, {"f [MHz],time [h]\n2.5,10.75\n", "11", ""}, {"f [MHz],time [minutes]\n2.5,10\n", "40", ""}, {"f [MHz],time [min]\n2.5,10\n2.4,12\n", "42", ""}, {"f [MHz],time [hh:mm]\n2.5,14:05\n", "16:45", ""}, {"f [MHz],time [ISO]\n2.5,2026-01-31 14:05\n", "2026-02-03T16:45", "2026-01-31"},
		{"f [MHz]\n2.5\n", "", ""},
		{"# bench, 2026-01-30 in the evening\nf [MHz]\n2.5\n", "", "2026-01-30"}, {"# 2026-13-30, then 2025-12-24\nf [MHz]\n2.5\n", "", "2025-12-24"}, {"# 2026-01\nf [MHz]\n2.5\n", "", ""},
	} {
		l := must.Get(Read(strings.NewReader(c.log), "log.csv", Options{})).In(t)
		if got := l.Time(now, 30*time.Minute); got != c.want {
			t.Errorf("%q: %q, want %q", c.log, got, c.want)
		}
		if got := l.Date(); got != c.date {
			t.Errorf("%q: of %q, want %q", c.log, got, c.date)
		}
	}
	for log, want := range map[string]string{"f [kHz]\n2500\n": "kHz", "f\n2500 kHz\n": "MHz"} {
		if l, err := Read(strings.NewReader(log), "log.csv", Options{}); err != nil || l.Unit() != want {
			t.Errorf("%q: %v, %v", log, l, err)
		}
	}
}

// Each word that ticks a column of the core.
func TestWordsThatTick(t *testing.T) {
	for _, word := range []string{"yes", "y", "x", "in", "inside", "inserted", "with", "true", "ja", "oui", "si", "sí", "✓", "✔", "YES", "X"} {
		l := must.Get(Read(strings.NewReader("f [MHz],rod\n2.5,\n1.8,"+word+"\n"), "log.csv", Options{})).In(t)
		if l.Readings[0].Core != "" || l.Readings[1].Core != "rod" {
			t.Errorf("%s: core %q and %q", word, l.Readings[0].Core, l.Readings[1].Core)
		}
	}
}
