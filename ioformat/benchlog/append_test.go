package benchlog

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitcoil/internal/must"
)

func row(words ...string) Row {
	return Row{Frequency: 1234567.8, Uncertainty: 123.4, Amplitude: math.NaN(), Quality: 88.4, State: words}
}

func TestAppendSpeaksTheDialect(t *testing.T) {
	words := []string{"added=4.7pF+spike", "core=rod", "covered=20..60%", "hand=12.5cm", `note=a, "b"`}
	for _, c := range []struct{ name, log, want string }{
		{"comma", "frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],note\n1.5,0.5,,,,,\n",
			`1.234568,0.123,4.7+spike,rod,20..60,12.5,"a, ""b"""` + "\n"},
		{"decimal comma, CRLF, other order and units", "note;hand [mm];core;covered [%];f [kHz];f ± [%];added [nF]\r\n;;;;1500,5;0,1;\r\n",
			`"a, ""b""";125;rod;20..60;1234,568;0,01;0,0047+spike` + "\r\n"},
		{"tab, no end of line", "frequency_kHz\tadded_pF\tcore\tcovered_%\thand_in\tnote\n1500\t\t\t\t\t",
			"\n1235\t4.7+spike\trod\t20..60\t4.92125984252\t\"a, \"\"b\"\"\"\n"},
		{"units in cells", "frequency,frequency ±,added,core,covered,hand,note\n1.5 MHz,1 kHz,4.7 pF,,,,\n",
			`1.234568 MHz,0.123 kHz,4.7 pF+spike,rod,20..60 %,12.5 cm,"a, ""b"""` + "\n"},
		{"CR, unknown column", "frequency [MHz],temperature,added [pF],core,covered [%],hand [cm],note\r1.5,21,,,,,\r",
			`1.235,,4.7+spike,rod,20..60,12.5,"a, ""b"""` + "\r"},
	} {
		got, _, err := Append([]byte(c.log), "log.csv", row(words...))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if string(got) != c.log+c.want {
			t.Errorf("%s: added %q, want %q", c.name, got[len(c.log):], c.want)
		}
	}
}

// TestAppendToEachFormat: the new row is read back, the old ones stay as they
// were, byte for byte.
func TestAppendToEachFormat(t *testing.T) {
	files, _ := filepath.Glob("../../testdata/formats/log/*.csv")
	for _, file := range files {
		content := must.Get(os.ReadFile(file)).In(t)
		before := mustRead(t, content, Options{})
		longer, _, err := Append(content, file, row("added=4.7pF", "core=Rod", "covered=60%", "hand=20cm", "note=10 µm", "use=no"))
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		if kept := bytes.TrimRight(content, "\x1a"); !bytes.HasPrefix(longer, kept) {
			t.Errorf("%s: what was there is changed", file)
		}
		after := mustRead(t, longer, Options{})
		n := len(before.Readings)
		if len(after.Readings) != n+1 || !reflect.DeepEqual(bare(after.Log).Readings[:n], bare(before.Log).Readings) || !reflect.DeepEqual(after.Parts, before.Parts) {
			t.Errorf("%s: %+v", file, after.Log)
			continue
		}
		r := after.Readings[n]
		if !(math.Abs(r.Frequency-1234567.8) <= 1) || !(math.Abs(r.Uncertainty-123.4) <= 0.5) || r.Core != "rod" || r.To != 0.6 ||
			r.Hand != 0.2 || r.Note != "10 µm" || r.Use || r.Quality != 88.4 || len(r.Parts) != 1 || r.Parts[0] != 0 {
			t.Errorf("%s: reads back as %+v", file, r)
		}
	}
}

func TestAppendBeginsALog(t *testing.T) {
	for _, content := range []string{"", "\n", "\ufeff"} {
		got, _, err := Append([]byte(content), "log.csv", row("core=rod", "added=10pF±2%"))
		if err != nil {
			t.Errorf("%q: %v", content, err)
			continue
		}
		want := newHeader + "1.234568,0.123,10±2%,rod,,,,88.4,,\n"
		if string(got) != want {
			t.Errorf("%q became %q, want %q", content, got, want)
		}
	}
	if log, _, err := Append(nil, "the new log", row()); err != nil || mustRead(t, log, Options{}).Readings[0].Uncertainty != 123 {
		t.Errorf("%q, %v", log, err)
	}
	header := "frequency [MHz],core,note\n" // a log that waits for its first reading
	if got, _, err := Append([]byte(header), "log.csv", row("core=rod")); err != nil || string(got) != header+"1.235,rod,\n" {
		t.Errorf("%q, %v", got, err)
	}
}

func TestAppendRefuses(t *testing.T) {
	const log = "frequency [MHz],added [pF],core\n1.5,,\n"
	for _, c := range []struct {
		log  string
		row  Row
		says string
	}{
		{"frequency [MHz]\n1.5x\n", row(), "nothing but the unit"},
		{log, row("hand=20cm", "note=x"), `no column for "hand [cm]", "note"`},
		{log, row("added=4.7"), "unit is missing"},
		{log, row("cor=rod"), "did you mean core?"},
		{log, row("core=rod", "core=rod"), "given twice"},
		{log, row("rod"), "name=value"},
		{log, Row{Frequency: 0, Uncertainty: 1}, "above 0"},
		{log, Row{Frequency: 1e6, Uncertainty: 0}, "better than 10 %"},
		{log, Row{Frequency: 1e6, Uncertainty: 2e5}, "better than 10 %"},
		{log, Row{Frequency: 1e6, Uncertainty: math.NaN()}, "above 0"},
		{log, Row{Frequency: 1e6, Uncertainty: math.Inf(1)}, "above 0"},
		{log, row("core=NaN"), "the name of a core"},
		{"core,frequency [MHz]\n,1.5\n", row("core=#2"), `begin with "#2", and so would be a comment`},
		{"core,frequency [MHz]\n", row("core=#2"), `begin with "#2", and so would be a comment`},
		{log, row("added=4.7pF", "covered=50%"), `"covered=50%": read "50", expected nothing, since no core is named`},
		{log, row("core=r\x1b[31mod"), `core=r<U+001B>[31mod", expected text without control characters`},
		{log, row("added=spike=2pF"), `no "="`},
		{"frequency [MHz],note\n1.5,\xb5\n", row("note=日"), "Windows-1252, which cannot write"},
	} {
		got, _, err := Append([]byte(c.log), "log.csv", c.row)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q and %+v: %q, %v\ndoesn't say %q", c.log, c.row, got, err, c.says)
		}
	}
}

// TestAppendKeepsTheUncertainty: whether the log has a column for it or not, a
// row is never read back as better known than it is, nor off by more than that.
func TestAppendKeepsTheUncertainty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := math.Pow(10, rapid.Float64Range(4, 8).Draw(t, "log Hz"))
		u := f * math.Pow(10, rapid.Float64Range(-8, -1.5).Draw(t, "log of relative uncertainty"))
		unit := rapid.SampledFrom([]string{"Hz", "kHz", "MHz"}).Draw(t, "unit")
		stated := rapid.Bool().Draw(t, "stated")
		log := "frequency [" + unit + "]\n"
		if stated {
			log = "frequency [" + unit + "],frequency ± [%]\n"
		}
		content, _, err := Append([]byte(log), "log.csv", Row{Frequency: f, Uncertainty: u, Amplitude: math.NaN(), Quality: math.NaN()})
		if err != nil {
			t.Fatal(err)
		}
		l, err := Read(bytes.NewReader(content), "log.csv", Options{})
		if err != nil {
			t.Fatalf("%q: %v", content, err)
		}
		r := l.Readings[0]
		if !(math.Abs(r.Frequency-f) <= 2*r.Uncertainty) || r.Uncertainty < 0.994*u || r.Uncertainty > 12*u || stated && r.Uncertainty > 1.006*u {
			t.Fatalf("%v ± %v Hz was written %q and read as %v ± %v", f, u, content, r.Frequency, r.Uncertainty)
		}
	})
}

// TestAppendTellsWhatHasNoPlace: what a log has no column for is told, cautions
// go into the note.
func TestAppendTellsWhatHasNoPlace(t *testing.T) {
	r := row("note=by hand")
	r.Amplitude, r.AmplitudeUnit, r.Cautions = 0.25, "V", []string{"clipped; choose more volts per division", "few digits"}
	for _, c := range []struct{ log, want, unplaced string }{
		{"frequency [MHz],note\n", "1.235,by hand; clipped; few digits\n", "amplitude 0.2500 V, quality factor 88.4"},
		{"frequency [MHz],note,amplitude [mV],q\n", "1.235,by hand; clipped; few digits,250.0,88.4\n", ""},
		{"frequency [MHz],note,amplitude\n1.5,,3 V\n", "1.235,by hand; clipped; few digits,0.2500 V\n", "quality factor 88.4"},
		{"frequency [MHz],note,amplitude [div]\n1.5,,3\n", "1.235,by hand; clipped; few digits,\n", "amplitude 0.2500 V, quality factor 88.4"},
		{"frequency [MHz],note,amplitude\n1.5,,3\n", "1.235,by hand; clipped; few digits,0.2500\n", "quality factor 88.4"},
	} {
		got, unplaced, err := Append([]byte(c.log), "log.csv", r)
		if err != nil || string(got) != c.log+c.want || strings.Join(unplaced, ", ") != c.unplaced {
			t.Errorf("%q became %q, told %q, %v", c.log, got, unplaced, err)
		}
	}
	r.State = nil
	if _, unplaced, err := Append([]byte("frequency [MHz]\n"), "log.csv", r); err != nil || !slices.Contains(unplaced, `note "clipped; few digits"`) {
		t.Errorf("told %q, %v", unplaced, err)
	}
}

// TestReadBackCompares: a row that a log would read in another way is refused,
// with what would be read.
func TestReadBackCompares(t *testing.T) {
	meant := must.Get(alone(row("core=rod", "covered=60%", "added=4.7pF+spike", "hand=20cm"))).In(t)
	const header = "frequency [MHz],frequency ± [kHz],core,covered [%],added [pF],hand [cm],use\n"
	for _, c := range []struct{ row, says string }{
		{"1.2345678,0.1234,rod,60,4.7+spike,20,\n", ""},
		{"1.2445678,0.1234,rod,60,4.7+spike,20,\n", "frequency 1.24457 ± 0.00012 MHz instead of"},
		{"1.2345678,0.1234,,,4.7+spike,20,\n", `core none instead of "rod"`},
		{"1.2345678,0.1234,rod,,4.7+spike,20,\n", "cover 0 to 100.0 % instead of 0 to 60.00 %"},
		{"1.2345678,0.1234,rod,60,4.7,20,\n", `parts "4.7 pF" instead of "4.7 pF+spike"`},
		{"1.2345678,0.1234,rod,60,47+spike,20,\n", "parts"},
		{"1.2345678,0.1234,rod,60,4.7+spike,21,\n", "hand"},
		{"1.2345678,0.1234,rod,60,4.7+spike,20,no\n", "use no instead of yes"},
		{"1.2345678,0.1234,rod,60,4.7+spike,20,\n1.5,1,,,,,\n", "2 readings instead of 1"},
	} {
		err := placed{content: []byte(header + c.row)}.readsBack("log.csv", meant)
		if (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v, want %q", c.row, err, c.says)
		}
	}
}
