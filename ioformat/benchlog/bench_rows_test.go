package benchlog

import (
	"errors"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/cells"
)

// An empty clip is a state of its own; with a part, it comes with it.
func TestEmptyClip(t *testing.T) {
	l := mustRead(t, []byte("frequency [MHz],added [pF]\n2.5,\n2.49,clip\n2.48,0\n1.9,2.2\n1.8,clip+2.2\n"), Options{})
	for i, want := range []struct {
		clip  bool
		parts int
	}{{false, 0}, {true, 0}, {true, 0}, {false, 1}, {false, 1}} {
		if s := l.Readings[i].State; s.Clip != want.clip || len(s.Parts) != want.parts {
			t.Errorf("row %d: %+v, want %+v", i+1, s, want)
		}
	}
	if n := strings.Join(l.Notices, "\n"); !strings.Contains(n, "0 is read as an empty clip") {
		t.Errorf("notices %q", n)
	}
}

// A quarter of a tolerance's variance is common to the parts with that tolerance, unless a
// word says otherwise: in the log, or for all.
func TestWordsOfTolerances(t *testing.T) {
	const log = "frequency [MHz],added [pF],added ± [%]\n2.5,,\n1.9,2.2,5\n1.6,4.7,5\n1.2,10,5 common\n1.1,12,5 common\n0.9,22,5 own\n0.8,33,\n0.7,47,1\n"
	lot := func(l *Log, i int) (string, float64) { return l.Parts[i].Lot, l.Parts[i].Common }
	l := mustRead(t, []byte(log), Options{})
	for i, want := range []float64{0.25, 0.25, 1, 1, 0, 0.25, 0.25} {
		if _, c := lot(l, i); c != want {
			t.Errorf("%s has %v in common, want %v", l.Parts[i].Name, c, want)
		}
		if u := l.Parts[i].Uncertainty / l.Parts[i].Capacitance * 1.96; i < 6 && !(math.Abs(u/0.05-1) <= 1e-9) {
			t.Errorf("%s: the whole tolerance is %v", l.Parts[i].Name, u)
		}
	}
	same := func(a, b int) bool { x, _ := lot(l, a); y, _ := lot(l, b); return x == y }
	if !same(0, 1) || !same(0, 5) || same(0, 2) || !same(2, 3) || same(0, 6) {
		t.Errorf("lots %+v", l.Parts)
	}
	l = mustRead(t, []byte(log), Options{Share: Common})
	if _, c := lot(l, 0); c != 1 {
		t.Errorf("with all in common: %v", c)
	}
	if _, c := lot(l, 4); c != 0 {
		t.Errorf("the word in the log is overruled: %v", c)
	}
	for text, want := range map[string]Share{"5%": Unsaid, "5% common": Common, "5%own": Own, "5 % Common": Common, "common": Common, "5 commonly": Unsaid} {
		if _, s := CutShare(text); s != want {
			t.Errorf("%q: %v, want %v", text, s, want)
		}
	}
}

// Times by the clock, past midnight, in minutes and with the date; what mixes or lacks them
// is refused.
func TestTimes(t *testing.T) {
	for text, want := range map[string][]float64{
		"time\n23:30\n23:45\n00:15\n":                                  {23.5, 23.75, 24.25},
		"time [min]\n0\n15\n45\n":                                      {0, 0.25, 0.75},
		"time [h]\n1\n1.5\n3\n":                                        {1, 1.5, 3},
		"time\n2026-01-31T14:00\n2026-01-31T15:30\n2026-02-01T00:00\n": {490934, 490935.5, 490944},
	} {
		rows := strings.Split(text, "\n")
		l := mustRead(t, []byte("frequency [MHz],"+rows[0]+"\n2.5,"+rows[1]+"\n2.5,"+rows[2]+"\n2.5,"+rows[3]+"\n"), Options{})
		if !l.Hours || len(l.Moments) != 3 {
			t.Fatalf("%q: %v", text, l.Moments)
		}
		for i, w := range want {
			if !(math.Abs(l.Moments[i]-w-(l.Moments[0]-want[0])) <= 1e-9) || want[0] < 1e5 && !(math.Abs(l.Moments[0]-want[0]) <= 1e-9) {
				t.Errorf("%q: %v, want %v", text, l.Moments, want)
			}
		}
	}
	for _, text := range []string{"time\n2.5,14:00\n2.5,\n", "time\n2.5,14:00\n2.5,20\n", "time\n2.5,in the evening\n", "time [weeks]\n2.5,3\n"} {
		_, err := Read(strings.NewReader("frequency [MHz],"+text), "log.csv", Options{})
		var f *cells.Faults
		if !errors.As(err, &f) && (err == nil || strings.Count(err.Error(), "log.csv:") != 1) {
			t.Errorf("%q: %v", text, err)
		}
	}
}
