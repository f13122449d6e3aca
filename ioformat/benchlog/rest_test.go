package benchlog

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/readings"
)

// words writes an error's words, "" for none.
func words(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// An earlier session's parts and cores go by the log's own names where it has them.
func TestAdopted(t *testing.T) {
	log := must.Get(Read(strings.NewReader("frequency [MHz],added [pF],core\n2.5,,\n1.5,4.7,\n1.2,Spike,\n1.1,4.7+4.7,\n1.9,,The Rod\n"), "a.csv", Options{})).In(t)
	value := func(name string, pF float64) readings.Part {
		return readings.Part{Name: name, Capacitance: pF * 1e-12, Uncertainty: 1e-14, Known: true, Lot: "e"}
	}
	parts, cores := log.Adopt([]readings.Part{value("0.0047 nF", 4.8), value("4.7 pF (2)", 4.9), value("spike", 0.8), value("10 pF", 10), {Name: "roof"}}, []string{"the rod", "bar"})
	if got := fmt.Sprintf("%q %q", parts, cores); got != `["4.7 pF" "4.7 pF (2)" "Spike" "10 pF" "roof"] ["The Rod" "bar"]` {
		t.Error(got)
	}
	var b strings.Builder
	for _, p := range log.Parts {
		fmt.Fprintf(&b, "%s %.4g %.4g %v %q\n", p.Name, p.Capacitance, p.Uncertainty, p.Known, p.Lot)
	}
	if b.String() != "4.7 pF 4.7e-12 1.199e-13 true \"0.0255102 unsaid\"\nSpike 8e-13 1e-14 true \"e\"\n4.7 pF (2) 4.7e-12 1.199e-13 true \"0.0255102 unsaid\"\n10 pF 1e-11 1e-14 true \"e\"\nroof 0 0 false \"\"\n" {
		t.Error(b.String())
	}
	for text, want := range map[string]string{"THE  ROD": "The Rod", "therod": "The Rod", "Bar": "bar", "oak": "oak"} {
		if got := log.Core(text); got != want {
			t.Errorf("core %q is %q", text, got)
		}
	}
	if !SameName("The Rod", "therod") || SameName("", "") || SameName("a", "b") {
		t.Error("names that are one")
	}
}

// A sweep has five frequencies or more, in order, and a peak among its amplitudes.
func TestSweepsKnown(t *testing.T) {
	rows := func(list ...string) string {
		return "frequency [MHz],amplitude,core\n" + strings.Join(list, "\n") + "\n"
	}
	for text, want := range map[string]bool{
		rows("1.0,1,", "1.1,2,", "1.2,3,", "1.3,2,", "1.4,1,"):                             true,
		rows("1.4,1,", "1.3,2,", "1.2,3,", "1.1,2,", "1.0,1,"):                             true,
		rows("1.0,1,", "1.1,3,", "1.2,2,", "1.3,1,"):                                       false,
		rows("1.0,1,", "1.1,2,", "1.2,3,", "1.15,2,", "1.4,1,"):                            false,
		rows("1.0,1,", "1.1,2,", "1.2,3,", "1.3,4,", "1.4,5,"):                             false,
		rows("1.0,5,", "1.1,4,", "1.2,3,", "1.3,2,", "1.4,1,"):                             false,
		rows("1.0,1,", "1.1,2,", "1.2,3,rod", "1.3,2,", "1.4,1,"):                          false,
		rows("1.0,1,", "1.1,,", "1.2,3,", "1.3,2,", "1.4,1,"):                              false,
		rows("1.0,2.4,", "1.1,2.6,", "1.2,3,", "1.3,2,", "1.4,1,"):                         false,
		rows("1.0,1,", "1.1,2,", "1.2,3,", "1.3,2.6,", "1.4,2.4,"):                         false,
		rows("1.0,1,", "1.1,2,", "1.2,1.86,", "1.3,3,", "1.4,1.5,", "1.5,1.64,"):           true,
		rows("1.0,1,", "1.1,2,", "1.2,1.8,", "1.3,3,", "1.4,1.5,", "1.5,1,"):               false,
		rows("1.0,1,", "1.1,2,", "1.2,3,", "1.3,1.5,", "1.4,1.7,", "1.5,1,"):               false,
		"frequency [MHz],amplitude,added [pF]\n1.0,1,\n1.1,2,\n1.2,3,10\n1.3,2,\n1.4,1,\n": false,
		rows("1.0,1,rod", "1.1,2,", "1.2,3,", "1.3,2,", "1.4,1,"):                          false,
		rows("1.0,1,rod", "1.1,2,rod", "1.2,3,rod", "1.3,2,rod", "1.4,1,rod"):              true,
		rows("1.1,1,", "1.1,2,", "1.2,3,", "1.3,2,", "1.4,1,"):                             false,
		rows("1.2,1,", "1.1,2,", "1.2,3,", "1.3,2,", "1.4,1,"):                             false,
		rows("1.0,3,", "1.1,2.9,", "1.2,2,", "1.3,1.5,", "1.4,1,"):                         false,
		rows("1.0,1,", "1.1,2,", "1.2,2,", "1.3,1.5,", "1.4,1,"):                           true,
	} {
		log, err := Read(strings.NewReader(text), "a.csv", Options{})
		if err != nil || log.IsSweep() != want {
			t.Errorf("%q: a sweep: %v, %v", text, !want, err)
		}
	}
	for text, want := range map[string]string{
		"frequency [MHz]\n2.5\n":                              "1 true",
		"# mind\nfrequency [MHz],added [pF]\n2.5,\n":          "2 true",
		"my coil\nfrequency [MHz],added [pF]\n2.5,\n":         "0 true",
		"frequency [kHz],amplitude [mV]\n100,1\n":             "1 false",
		"frequency [kHz],level [dBm]\n100,1\n":                "1 false",
		"frequency [kHz],amplitude [mV],core\n100,1,\n":       "1 true",
		"frequency [kHz],frequency ± [Hz],amplitude\n100,1,1": "1 true",
		"frequency [kHz],amplitude,C [pF]\n100,1,1":           "1 true",
		"time,voltage\n0,1\n":                                 "0 false",
		"frequency\nMHz\n2.5\n":                               "1 true",
		"":                                                    "0 false",
	} {
		line, ok := IsLog([]byte(text))
		if got := fmt.Sprint(line, ok); got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

func TestNamesRefused(t *testing.T) {
	long := strings.Repeat("n", 81)
	var b strings.Builder
	for _, name := range []string{"rod", "#2", "N/A", "a\nb", long, "TRUE", "false", "5", "4p7", "5..6", "5±1", "(best)", "*", "##", "2nd rod"} {
		b.WriteString(name[:min(len(name), 9)] + ": " + words(checkCore(name)) + "\n")
	}
	b.WriteString("\n")
	for _, name := range []string{"roof", "n/a", long, "pF", "roof 5pF", "roof=5", "C_1 (left)/a-b'c & d#2"} {
		b.WriteString(name[:min(len(name), 9)] + ": " + words(checkName(name)) + "\n")
	}
	got := strings.ReplaceAll(b.String(), long, "NNN")
	if want := `rod: 
#2: 
N/A: read "N/A", expected the name of a core; leave the cell empty when there is none
a
b: read "a<line break>b", expected a name in one line
nnnnnnnnn: read "nnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn…", expected a name of at most 80 characters; text belongs into the note
TRUE: read "TRUE", expected the name of a core; write which core is in, and nothing where none is
false: read "false", expected the name of a core; write which core is in, and nothing where none is
5: read "5", expected the name of a core; this is a number: has a cell slipped into another column? A name has a letter, as rod or #2
4p7: read "4p7", expected the name of a core; this is a number: has a cell slipped into another column? A name has a letter, as rod or #2
5..6: read "5..6", expected the name of a core; this is a number: has a cell slipped into another column? A name has a letter, as rod or #2
5±1: read "5±1", expected the name of a core; this is a number: has a cell slipped into another column? A name has a letter, as rod or #2
(best): 
*: read "*", expected the name of a core; leave the cell empty when there is none
##: read "##", expected the name of a core; leave the cell empty when there is none
2nd rod: 

roof: 
n/a: read "n/a", expected a capacitance or the name of a part; write - when nothing was added
nnnnnnnnn: read "nnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnnn…", expected a name of at most 80 characters; text belongs into the note
pF: read "pF", expected a capacitance or the name of a part; the number is missing
roof 5pF: read "roof 5pF", expected a capacitance or the name of a part; write the value alone, 5pF, or a name without a value
roof=5: read "roof=5", expected a capacitance or the name of a part; a name holds letters, digits and spaces, no "="; the value of a named part stands in the coil sheet
C_1 (left: 
`; got != want {
		t.Errorf("%s", got)
	}
	for header, want := range map[string]string{"added [pF": "added [pF]", "added pF]": "added [pF]", "added (pF": "added (pF)", "added pF)": "added (pF)", "added [pF]": "added [pF]", "added": "added"} {
		if got := closed(header); got != want {
			t.Errorf("%q becomes %q", header, got)
		}
	}
	if got := fmt.Sprintf("%q", Joined([]string{"added", "=", "3pF", "core", "=rod", "hand=", "2cm", "/", "bare"})); got != `["added=3pF" "core=rod" "hand=2cm" "/" "bare"]` {
		t.Error(got)
	}
}

// A remark goes below the log, unless it would be read as a reading.
func TestRemarks(t *testing.T) {
	const log = "frequency [MHz],added [pF]\n2.5,\n"
	if got, err := Remark([]byte(log), "a.csv", "cover closed"); err != nil || string(got) != log+"# cover closed\n" {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := Remark([]byte("nonsense"), "a.csv", "x"); err == nil {
		t.Error("a remark on no log")
	}
	if err := onlyUnused([]byte(log+"1.5,4.7\n"), []byte("frequency [MHz],added [pF],use\n2.5,,\n1.5,4.7,no\n"), "a.csv", 3); err != nil {
		t.Error(err)
	}
	const spoiled = "the change would spoil the log; write no into the column use of that line by hand"
	for _, after := range []string{"frequency [MHz],added [pF],use\n2.5,,no\n1.5,4.7,\n", "frequency [MHz],added [pF],use\n2.5,,\n1.5,4.8,no\n", log, "frequency [MHz],added [pF],use\n\n2.5,,\n1.5,4.7,no\n"} {
		if err := onlyUnused([]byte(log+"1.5,4.7\n"), []byte(after), "a.csv", 3); words(err) != spoiled {
			t.Errorf("%q: %v", after, err)
		}
	}
	if _, err := marked([]byte("1,2"), ',', 2); words(err) != "the row is longer than its line" {
		t.Error(err)
	}
	if got, err := marked([]byte(`1;"a;b";x`+"\n"), ';', 2); err != nil || string(got) != `1;"a;b";no` {
		t.Errorf("%q, %v", got, err)
	}
	inner := errors.New("inner")
	if e := (&WordError{"a=b", inner}); !errors.Is(e, inner) || e.Error() != `"a=b": inner` {
		t.Error(e)
	}
}
