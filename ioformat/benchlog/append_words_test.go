package benchlog

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/readings"
)

// Each new row word for word: numbers with as many digits as are known, in the units and marks of the file. A plain
// frequency claims half a last digit over √3 (JCGM 100:2008, 4.3.7).
func TestAppendedRowsWordForWord(t *testing.T) {
	known := func(hz, u float64, words ...string) Row {
		return Row{Frequency: hz, Uncertainty: u, Amplitude: math.NaN(), Quality: math.NaN(), State: words}
	}
	lastDigit, unclaimed := known(2.5e6, 1e3), known(2.5e6, 1e3)
	lastDigit.LastDigit, unclaimed.Unclaimed = 1e3, true
	for _, c := range []struct {
		header string
		row    Row
		want   string
	}{
		{"f [MHz],f ± [kHz]", known(2.5e6, 1e3), "2.50000,1"},
		{"f [MHz],f ± [kHz]", lastDigit, "2.500,1"},
		{"f [MHz],f ± [kHz]", unclaimed, "2.50,"}, // 0.01/2/√3 MHz is 2.9 kHz, 0.001 MHz would claim 0.29 kHz
		{"f [MHz],f ± [%]", known(2.5e6, 1e3), "2.50000,0.04"},
		{"f [kHz],f ± [MHz]", known(2.5e6, 1234.5), "2500.00,0.00123"},
		{"f [Hz]", known(2.5e6, 1e3), "2.50e+06"},
		{"f [Hz]", known(2.5e6, 0.288), "2500000"}, // 1/2/√3 Hz is 0.2887 Hz
		{"f [Hz]", known(2.5e6, 0.29), "2.50000e+06"},
		{"f [kHz]", known(999999, 200), "1000"}, // gains a digit
		{"f;f ± [kHz]", known(2.5e6, 1e3), "2.50000 MHz;1"},
		{"f [MHz];added [nF]", known(2.5e6, 1e3, "added=4.7pF±5%+spike"), "2.50;0.0047±5%+spike"},
		{"f [MHz],added [pF]", known(2.5e6, 1e3, "added=10pF±0.2pF"), "2.50,10±0.2"},
		{"f [MHz],added", known(2.5e6, 1e3, "added=10pF±0.2pF"), "2.50,10 pF±0.2 pF"},
		{"f [MHz],added [pF]", known(2.5e6, 1e3, "added=10pF±0%"), "2.50,10±0%"},
		{"f [MHz],added [pF]", known(2.5e6, 1e3, "added=clip"), "2.50,clip"},
		{"f [MHz],added [pF]", known(2.5e6, 1e3, "added=none"), "2.50,"},
		{"f [MHz],hand [cm],covered [%],core", known(2.5e6, 1e3, "hand=none"), "2.50,,,"},
		{"f [MHz],hand [mm],covered [%],core", known(2.5e6, 1e3, "hand=8in", "core=rod", "covered=60%"), "2.50,203.2,60,rod"},
		{"f [MHz],covered,core", known(2.5e6, 1e3, "core=rod", "covered=20..60%"), "2.50,20..60 %,rod"},
		{"f [MHz],primary,use,note", known(2.5e6, 1e3, "primary=shorted", "use=no", "note=slipped"), "2.50,shorted,no,slipped"},
	} {
		got, unplaced, err := Append([]byte(c.header+"\n"), "log.csv", c.row)
		if err != nil || string(got) != c.header+"\n"+c.want+"\n" || len(unplaced) > 0 {
			t.Errorf("%s, %+v: %q, %q, %v\nwant %q", c.header, c.row, strings.TrimPrefix(string(got), c.header+"\n"), unplaced, err, c.want)
		}
	}
	for _, c := range []struct {
		header string
		words  []string
		want   string
	}{
		{"f [MHz],core", []string{"cor=rod"}, `"cor=rod": read "cor", expected added, core, covered, hand, primary, use or note; did you mean core?`},
		{"f [MHz],core", []string{"rod"}, `"rod": read "rod", expected name=value, such as core=rod`},
		{"f [MHz],core", []string{"hand=20cm", "note=x"}, `log.csv has no column for "hand [cm]", "note": add it to the header, and a delimiter to each row`},
		{"f [MHz],added [pF]", []string{"added=4.7pF++10pF"}, `"added=4.7pF++10pF": read "4.7pF++10pF", expected values and names joined by +, such as 4.7+10; there is a + too many`},
		{"f [MHz],added [pF]", []string{"added=+4.7pF"}, `"added=+4.7pF": read "+4.7pF", expected values and names joined by +, such as 4.7+10; there is a + too many`},
		{"core,f [MHz]", []string{"core=#2"}, `log.csv: the new row would begin with "#2", and so would be a comment: write that cell without the #, or let another column come first in the log`},
	} {
		got, _, err := Append([]byte(c.header+"\n"), "log.csv", known(2.5e6, 1e3, c.words...))
		if words(err) != c.want {
			t.Errorf("%q: %q, %v\nwant %s", c.words, got, err, c.want)
		}
	}
}

// Sums are cut at each + but those of exponents, the first sign too.
func TestSumsCut(t *testing.T) {
	for text, want := range map[string][]string{
		"4.7+10": {"4.7", "10"}, "+4.7": {"", "4.7"}, "4.7+": {"4.7", ""}, "1e+1": {"1e+1"}, "1E+1+2e-1": {"1E+1", "2e-1"}, " 4.7 + roof ": {"4.7", "roof"}, "e+1": {"e", "1"}, "roofe+1": {"roofe", "1"},
		"1e+": {"1e", ""}, "1e+x": {"1e", "x"}, "1+1e+1": {"1", "1e+1"}, "": {""}, "+": {"", ""}, "2e+1": {"2e+1"},
	} {
		if got := splitSum(text); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A part that only an earlier session has is as the options state it where they do, with its share and its shape, else as
// it was then.
func TestAdoptedPartsThatOptionsKnow(t *testing.T) {
	parts := map[string]PartValue{"spike": {1e-12, 1e-13, Common | Rectangular}, "10 pF": {11e-12, 2e-13, Common}, "22 pF": {23e-12, 3e-13, Own}}
	l := must.Get(Read(strings.NewReader("f [MHz]\n2.5\n"), "log.csv", Options{Parts: parts})).In(t)
	names := []string{"spike", "10 pF", "0.022 nF", "roof"}
	var then []readings.Part
	for _, name := range names {
		then = append(then, readings.Part{Name: name, Capacitance: 5e-12, Uncertainty: 1e-14, Known: true, Lot: "then", Common: 0.5})
	}
	if got, _ := l.Adopt(then, nil); len(got) != len(names) || len(l.Parts) != len(names) {
		t.Fatalf("%q, %+v", got, l.Parts)
	}
	for i, want := range []struct {
		value, u, common float64
		rectangular      bool
	}{{1e-12, 1e-13, 1, true}, {11e-12, 2e-13, 1, false}, {23e-12, 3e-13, 0, false}, {5e-12, 1e-14, 0.5, false}} {
		p := l.Parts[i]
		near.Times(t, p.Name, p.Capacitance, want.value, 1e-9)
		near.Times(t, p.Name+", ±", p.Uncertainty, want.u, 1e-9)
		if p.Common != want.common || p.Rectangular != want.rectangular || (p.Lot == "then") != (i == 3) || (p.Lot == "") != (want.common == 0) {
			t.Errorf("%+v, want %+v", p, want)
		}
	}
}

// Cautions go into the note wherever its column stands, the first too; without one they are told.
func TestCautionsInTheNote(t *testing.T) {
	r := Row{Frequency: 2.5e6, Uncertainty: 1e3, Amplitude: math.NaN(), Quality: math.NaN(), Cautions: []string{"clipped; more volts", "few digits"}}
	for header, want := range map[string]string{"note,f [MHz]": "clipped; few digits,2.50", "f [MHz],note": "2.50,clipped; few digits", "core,note,f [MHz]": ",clipped; few digits,2.50"} {
		got, unplaced, err := Append([]byte(header+"\n"), "log.csv", r)
		if err != nil || string(got) != header+"\n"+want+"\n" || len(unplaced) > 0 {
			t.Errorf("%s: %q, %q, %v", header, got, unplaced, err)
		}
	}
}

// A tolerance stated before is told with one sign, whether that stands in the cell or in the header; what a file's bytes can't
// hold is told with the file's name.
func TestTolerancesToldOnce(t *testing.T) {
	for header, cells := range map[string]string{"added ± [%]": "2%", "added ±": "2 %", "added ± [%] ": "2"} {
		l := must.Get(Read(strings.NewReader("f [MHz],added [pF],"+header+"\n2.5,,\n2.0,10,"+cells+"\n"), "log.csv", Options{})).In(t)
		_, err := l.States().Parse([]string{"added=10pF±1%"})
		shown := map[string]string{"2%": "2%", "2 %": "2 %", "2": "2 %"}[cells]
		if want := `"added=10pF±1%": read "10pF±1%", expected the tolerance of 10 pF stated before (` + shown + `, line 3)`; !strings.HasPrefix(words(err), want+";") {
			t.Errorf("%s: %v\nwant %s", cells, err, want)
		}
	}
	_, _, err := Append([]byte("frequency [MHz],note\n1.5,\xb5\n"), "log.csv", Row{Frequency: 2.5e6, Uncertainty: 1e3, Amplitude: math.NaN(), Quality: math.NaN(), State: []string{"note=日"}})
	if got := words(err); !strings.HasPrefix(got, "log.csv: ") || strings.Count(got, "log.csv") != 1 || !strings.Contains(got, "Windows-1252, which cannot write") || strings.Contains(got, "%!") {
		t.Error(got)
	}
}
