package benchlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// A table of states may have any one of its columns, wherever that stands.
func TestStatesOfOneColumn(t *testing.T) {
	log := must.Get(Read(strings.NewReader("frequency [MHz],added [pF],core,hand [cm]\n2.5,,,\n1.5,4.7,,\n1.9,,rod,\n2.4,,,10\n"), "a.csv", Options{})).In(t)
	for text, want := range map[string]string{
		"hand [cm]\n10\n": "", "core\nrod\n": "", "added [pF]\n4.7\n": "", "note,hand [cm]\n,10\n": "",
		"note\nx\n": "b.csv:1: read \"note\", expected at least one of the columns added [pF], core, covered [%], hand [cm]",
		"core\n":    "b.csv: there is no state below the header, expected one row for each state",
	} {
		list, err := log.States().Read(strings.NewReader(text), "b.csv")
		switch {
		case want != "" && (err == nil || err.Error() != want), want == "" && (err != nil || len(list) != 1):
			t.Errorf("%q: %d states, %v", text, len(list), err)
		}
	}
}

// An amplitude is written in the unit of its column, wherever that stands; where there is none,
// or another kind, the number isn't written.
func TestAmplitudeInTheColumnsUnit(t *testing.T) {
	for _, c := range []struct{ header, unit, cell, left string }{
		{"frequency [MHz],amplitude [mV]\n2.5,100\n", "V", "2100", ""},
		{"frequency,amplitude\nMHz,mV\n2.5,100\n", "V", "2100", ""},
		{"frequency [MHz],amplitude [mA]\n2.5,100\n", "mA", "2.100", ""},
		{"frequency [MHz],amplitude [V]\n2.5,100\n", "mA", "", "amplitude 2.100 mA"},
		{"frequency [MHz],amplitude\n2.5,100\n", "V", "2.100", ""},
		{"frequency [MHz],amplitude\n2.5,100 mV\n", "V", "2.100 V", ""},
		{"frequency [MHz],amplitude\n2.5,100\n", "", "2.100", ""},
		{"frequency [MHz]\n2.5\n", "V", "", "amplitude 2.100 V"},
	} {
		out, left, err := Append([]byte(c.header), "a.csv", Row{Frequency: 1.5e6, Uncertainty: 1e3, Amplitude: 2.1, AmplitudeUnit: c.unit, Quality: math.NaN()})
		if err != nil {
			t.Errorf("%q: %v", c.header, err)
			continue
		}
		lines := strings.Split(strings.TrimSpace(string(out)), "\n")
		_, cell, _ := strings.Cut(lines[len(lines)-1], ",")
		if cell != c.cell || strings.Join(left, "; ") != c.left {
			t.Errorf("%q with %s: %q, left %q", c.header, c.unit, lines[len(lines)-1], left)
		}
	}
}

// A dash in a cell is an empty cell, in each column but the note; whether a reading counts, it doesn't say.
func TestDashesAreEmpty(t *testing.T) {
	columns := strings.Split("frequency ± [kHz],added [pF],added ± [%],core,covered [%],hand [cm],amplitude [V],quality factor,primary,second frequency [MHz],drive,use", ",")
	empty := strings.Repeat(",", len(columns))
	head := "frequency [MHz]," + strings.Join(columns, ",") + "\n"
	const want = "2: 2.5e+06 ± 2.89e+04 Hz by digits" // half a last digit of 0.1 MHz over √3
	if got := dump(head+"2.5"+empty+"\n", Options{}); got != want {
		t.Fatal(got)
	}
	for i, column := range columns {
		want := want
		if column == "use" {
			want = `log.csv:2:13 (column M, "use"): read "-", expected yes or no`
		}
		if got := dump(head+"2.5"+empty[:i+1]+"-"+empty[i+1:]+"\n", Options{}); got != want {
			t.Errorf("%s: %s", column, got)
		}
	}
}

// What is wrong with a header or with the row of units below it is told with its line, its column and what to do.
func TestHeadersWordForWord(t *testing.T) {
	for content, want := range map[string]string{
		"f [MHz],amplitude [dBV]\n2.5,3\n":           `log.csv:1:2 (column B): read "dBV", expected an amplitude in a linear unit; convert decibels: 10^(dB/20)`,
		"f [MHz],q [dB]\n2.5,30\n":                   `log.csv:1:2 (column B): read "q [dB]", expected quality factor, which has no unit; is it the column that it is taken for? If so, leave the unit out`,
		"f [MHz],core [pF]\n2.5,rod\n":               `log.csv:1:2 (column B): read "core [pF]", expected core, which has no unit; is it the column that it is taken for? If so, leave the unit out`,
		"f [MHz],added [pF]\nMHz,nF\n2.5,10\n":       `log.csv:1:2 (column B): read "nF in the row of units", expected pF as in the header; keep the one that holds`,
		"f [MHz],added [cm]\n2.5,10\n":               `log.csv:1:2 (column B): read "cm", expected a unit of capacitance (fF, pF, nF, µF or F); cm is the unit of a length`,
		"f [MHz],frequency counter ± [kHz]\n2.5,1\n": `log.csv:1:2 (column B): read "frequency counter ± [kHz]", expected the name of a column; did you mean "frequency ± [kHz]"? If not, give the column a name less like it`,
		"f [MHz],added part ± [%]\n2.5,1\n":          `log.csv:1:2 (column B): read "added part ± [%]", expected the name of a column; did you mean "added ± [%]"? If not, give the column a name less like it`,
		"f [MHz],added [pF\n2.5,1\n":                 `log.csv:1:2 (column B): read "added [pF", expected a name, and behind it the unit in brackets; open and close the brackets, as in "added [pF]"`,
		"f [MHz],added [pF],Added [pF]\n2.5,1,2\n":   `log.csv:1:3 (column C): read "Added [pF]", expected each column once; column B holds the added already`,
	} {
		l, err := Read(strings.NewReader(content), "log.csv", Options{})
		if words(err) != want {
			t.Errorf("%q: %+v, %v\nwant %s", content, l, err, want)
		}
	}
}

// A column under an unknown header is taken for what its name, its unit and its cells leave open, or refused with what it could
// be; a core's name makes no column of frequencies, and two that fit one kind are both refused.
func TestStrangersWordForWord(t *testing.T) {
	at := func(column int, header, expected, use string) string {
		if use != "" {
			use = "; use this header: " + use
		}
		return fmt.Sprintf(`log.csv:1:%d (column %c): read "%s", expected a header that tells what %s%s`, column, 'A'+column-1, header, expected, use)
	}
	const (
		frequencies = "a frequency it is, beside the columns there are"
		length      = "it is: the distance of a hand, or where the core is (a share of the winding, covered [%])"
		several     = "it is: there are several columns of capacitances; write sums in one, as 4.7+10"
		marked      = "is marked: the name of a core, for one"
	)
	for content, want := range map[string]string{
		"f [MHz],rod [MHz]\n2.5,1.8\n":           at(2, "rod [MHz]", frequencies, "f [MHz],note: rod [MHz]"),
		"rod [MHz],x\n2.5,1.8\n":                 at(1, "rod [MHz]", frequencies, "note: rod [MHz],x"),
		"reading,rod MHz\n1,2.5\n":               at(2, "rod MHz", frequencies, "reading,note: rod MHz"),
		"f [MHz],added [pF],error\n2.5,10,1 %\n": at(3, "error", `it is: it could be "frequency ± [kHz]" or "added ± [%]"`, "f [MHz],added [pF],note: error"),
		"f [MHz],rod position [cm]\n2.5,3\n":     at(2, "rod position [cm]", length, "f [MHz],note: rod position [cm]"),
		"f [MHz],hand and core [cm]\n2.5,3\n":    at(2, "hand and core [cm]", length, "f [MHz],note: hand and core [cm]"),
		"f [MHz],cap1 [pF],cap2 [pF]\n2.5,3,4\n": at(2, "cap1 [pF]", several, "f [MHz],added [pF],note: cap2 [pF]") + "\n" + at(3, "cap2 [pF]", several, ""),
		"f [MHz],ticks,crosses\n2.5,x,x\n":       at(2, "ticks", marked, "f [MHz],core,note: crosses") + "\n" + at(3, "crosses", marked, ""),
		"f [MHz],distance\n2.5,3 cm\n":           `log.csv:1: "distance" read as hand`,
		"f [MHz],rod\n2.5,x\n":                   `log.csv:1: "rod" read as core`,
		"f [MHz],core or part\n2.5,rod\n":        `log.csv:1: "core or part" read as core`,
	} {
		l, err := Read(strings.NewReader(content), "log.csv", Options{})
		got := words(err)
		if err == nil {
			got = strings.Join(l.Notices, "\n")
		}
		if got != want {
			t.Errorf("%q: %s\nwant %s", content, got, want)
		}
	}
}
