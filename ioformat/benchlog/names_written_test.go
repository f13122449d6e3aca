package benchlog

import (
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// A name is told as it was written first, however it is written later.
func TestNamesAsWritten(t *testing.T) {
	roof := Options{Parts: map[string]PartValue{"lantern roof": {Capacitance: 5e-12, Uncertainty: 1e-13}}}
	ten := Options{Parts: map[string]PartValue{"10 pF": {Capacitance: 1.1e-11, Uncertainty: 1e-13}}}
	for _, c := range []struct {
		text string
		opt  Options
		want string
	}{
		{"f [MHz],added [pF],added ± [%]\n2.5,Lantern  Roof,5\n2.4,lantern roof,5\n", Options{}, `log.csv:2: the ± beside "Lantern Roof" is not used: it has no value`},
		{"f [MHz],added [pF],added ± [%]\n2.5,Lantern  Roof,5\n2.4,lantern roof,5\n", roof, `log.csv:2: the ± beside "Lantern Roof" is not used: its uncertainty comes with its value`},
		{"f [MHz],added [pF],added ± [%]\n2.5,10.0,5\n2.4,10,5\n", ten, `log.csv:2: the ± beside "10.0 pF" is not used: its uncertainty comes with its value`},
		{"f [MHz],core,covered [%]\n2.5,Long  Rod,0\n2.4,long rod,100\n2.3,long rod,0\n", Options{}, `log.csv:2: the core "Long Rod" covers 0 %: read as no core`},
		{"f [MHz],core\n2.5,Rod A2\n2.5,ROD a2\n2.4,Rop  A2\n2.3,rod A3\n", Options{}, `log.csv:4: the core "Rop A2" occurs only here and is taken as another one than "Rod A2": a slip of the pen?`},
		{"f [MHz],added [pF]\n2.5,Lantern Roof\n2.5,lantern roof\n2.4,Lantern  Rof\n2.3,4.7\n", Options{}, `log.csv:4: the part "Lantern Rof" occurs only here and is taken as another one than "Lantern Roof": a slip of the pen?`},
		{"f [MHz],added [pF],added ± [%]\n2.5,10.0,5\n2.4,10,2\n", Options{}, `log.csv:3:3 (column C, "added ± [%]"): read "2 %", expected the tolerance of 10.0 pF stated before (5 %, line 2); one part has one tolerance; if these are two parts, give one of them a name, and the name a value in the coil sheet`},
		{"f [MHz],added [pF],added ± [%]\n2.5,10.0,5 own\n2.4,10,5 common\n", Options{}, `log.csv:3:3 (column C, "added ± [%]"): read "common", expected own, as said before of 10.0 pF; one part has one word`},
	} {
		if got := said(c.text, c.opt); got != c.want {
			t.Errorf("%q: %s\nwant %s", c.text, got, c.want)
		}
	}
	l := mustRead(t, []byte("f [MHz],core,added [pF]\n2.5,Long  Rod,Lantern  Roof\n2.4,long rod,lantern ROOF\n"), Options{})
	for _, written := range []string{"Long Rod", "long rod", " LONG  rod"} {
		if got := l.Core(written); got != "Long Rod" {
			t.Errorf("%q is %q", written, got)
		}
	}
	if got := l.Core("Brass  Rod"); got != "Brass  Rod" {
		t.Errorf("of another: %q", got)
	}
	for word, want := range map[string]string{
		"core=long rot":      `"core=long rot": read "long rot", expected a core that the log has readings of (Long Rod); did you mean "Long Rod"?`,
		"added=lantern rooF": "", "core=LONG ROD": "",
		"added=lantern rof": `"added=lantern rof": read "lantern rof", expected a part that the log has readings of (Lantern Roof); did you mean "Lantern Roof"?`,
		"added=Brass":       `"added=Brass": read "Brass", expected a part that the log has readings of (Lantern Roof); give its value in the coil sheet, or take a reading with it`,
	} {
		_, err := l.States().Parse([]string{word})
		got := ""
		if err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("%s: %s\nwant %s", word, got, want)
		}
	}
}

// Headers are known in capitals too: the one that stands again inside the log, and, with whichever delimiter, the
// one that stands further down or behind a #.
func TestHeadersElsewhere(t *testing.T) {
	const h = "frequency [MHz],added [pF]\n2.5,\n"
	again, number := "log.csv:3: this row is the header again", `log.csv:3:1 (column A, "frequency [MHz]"): read "`
	down, hash, none := "the header, which stands further down", "line 1 looks like it, but begins with #", "that names the columns"
	for text, says := range map[string]string{
		h + "frequency [MHz],added [pF]\n": again, h + "FREQUENCY [mhz],Added [PF]\n": again, h + " Frequency [MHz] , added [pF]\n": again,
		h + "frequency [MHz],added [nF]\n": number, h + "frequency [MHz],\n": number,
		"My coil\nfrequency [MHz],added [pF]\n2.5,1\n": down, "My coil\nadded [pF];Frequency [MHz]\n1;2.5\n": down, "My coil\nnote\tKHZ\nx\t2.5\n": down,
		"# frequency [MHz],note\n2.5,1\n": hash, "# note;kHz\n1;2.5\n": hash, "# note\tf\tfrequency [Hz]\n1\t2\t3\n": hash, "# note f added\n1\t2\t3\n": none,
	} {
		if got := said(text, Options{}); !strings.Contains(got, says) {
			t.Errorf("%q: %s\nwant %s", text, got, says)
		}
	}
}

// A state that is refused leaves nothing behind: the parts named before the fault are new again in the next.
func TestRefusedStatesLeaveNoParts(t *testing.T) {
	s := mustRead(t, []byte("f [MHz],added [pF]\n2.5,10\n"), Options{}).States()
	if _, err := s.Parse([]string{"added=1pF+2pF+roof"}); err == nil {
		t.Fatal("a part without a value is taken")
	}
	if parts := s.Parts(); len(parts) != 1 {
		t.Errorf("%+v", parts)
	}
	for word, want := range map[string]string{"added=3pF": "3 pF", "added=1pF": "1 pF", "added=2pF": "2 pF", "added=10pF": "10 pF"} {
		state := must.Get(s.Parse([]string{word})).In(t)
		if parts := s.Parts(); len(state.Parts) != 1 || state.Parts[0] >= len(parts) || parts[state.Parts[0]].Name != want {
			t.Errorf("%s: parts %v of %+v", word, state.Parts, parts)
		}
	}
}
