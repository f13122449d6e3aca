package benchlog

import (
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
