package benchlog

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/cells"
	"fitcoil/model/readings"
)

const wordsLog = "frequency [MHz],added [pF],added ± [%],core,covered [%],hand [cm]\n" +
	"1.5,,,,,\n1.4,4.7,,,,\n1.3,spike,,Rod,60,\n1.2,10,2,,,20\n"

func TestStates(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		words string
		want  readings.State
		extra int // parts that the log doesn't have
	}{
		{"", readings.State{Hand: inf}, 0},
		{"added=3.3pF core=rod covered=60% hand=20cm", readings.State{Parts: []int{3}, Core: "Rod", To: 0.6, Hand: 0.2}, 1},
		{"added=4.70pF+Spike", readings.State{Parts: []int{0, 1}, Hand: inf}, 0},
		{"added=4.7pF+4.7pF", readings.State{Parts: []int{0, 3}, Hand: inf}, 1},
		{"core=ROD", readings.State{Core: "Rod", To: 1, Hand: inf}, 0},
		{"covered=20..60% core=rod", readings.State{Core: "Rod", From: 0.2, To: 0.6, Hand: inf}, 0},
		{"core=rod covered=0%", readings.State{Hand: inf}, 0},
		{"core=air added=none hand=none", readings.State{Hand: inf}, 0},
		{"added=0", readings.State{Clip: true, Hand: inf}, 0},
		{"added=clip core=rod", readings.State{Clip: true, Core: "Rod", To: 1, Hand: inf}, 0},
		{"added=clip+4.7pF", readings.State{Parts: []int{0}, Hand: inf}, 0},
		{`hand=8"`, readings.State{Hand: 8 * 0.0254}, 0},
		{"added=3.3pF±1%", readings.State{Parts: []int{3}, Hand: inf}, 1},
	} {
		l := mustRead(t, []byte(wordsLog), Options{})
		s := l.States()
		got, err := s.Parse(strings.Fields(c.words))
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: %+v, %v\nwant %+v", c.words, got, err, c.want)
		}
		if n := len(s.Parts()) - len(l.Parts); n != c.extra {
			t.Errorf("%q: %d parts beside the log's, want %d", c.words, n, c.extra)
		}
		if !reflect.DeepEqual(s.Parts()[:3], l.Parts) {
			t.Errorf("%q changes the parts of the log", c.words)
		}
	}
}

// A core that the log only ticks is asked for by the name that the log gives it, or by a tick.
func TestStatesOfATickedCore(t *testing.T) {
	for _, c := range []struct{ log, name, words string }{
		{"f [MHz],core\n2.5,\n2.0,x\n2.1,x\n", "core", "core CORE x core"},
		{"f [MHz],core\n2.5,\n2.0,yes\n", "core", "core yes x"},
		{"f [MHz],core\n2.5,\n2.0,rod\n", "rod", "rod Rod"},
	} {
		l := mustRead(t, []byte(c.log), Options{})
		if got := l.Readings[1].Core; got != c.name {
			t.Fatalf("%q: core %q", c.log, got)
		}
		for _, word := range strings.Fields(c.words) {
			s := l.States()
			for range 2 {
				if got, err := s.Parse([]string{"core=" + word}); err != nil || got.Core != c.name || got.To != 1 {
					t.Errorf("%q: core=%s: %+v, %v", c.log, word, got, err)
				}
			}
		}
		if got, err := l.States().Parse([]string{"core=other"}); err == nil {
			t.Errorf("%q: another core: %+v", c.log, got)
		}
	}
}

func TestStatesRefuse(t *testing.T) {
	for words, says := range map[string]string{
		"added=3.3":              "unit is missing",
		"aded=3.3pF":             "did you mean added?",
		"frequency=1MHz":         "expected added, core, covered, hand or primary",
		"core=rood":              `did you mean "Rod"?`,
		"core=lamp":              "readings of (Rod)",
		"added=spke":             `did you mean "spike"?`,
		"added=cone":             "coil sheet",
		"added=cone+3.3pF":       "coil sheet",
		"added=4.7pF±1%":         "tolerance of 4.7 pF in the log",
		"added=10pF±1%":          "(2 %, line 5)",
		"covered=60%":            "name the core",
		"covered=60 core=rod":    "unit is missing",
		"covered=120% core=rod":  "at most the whole winding",
		"hand=0cm":               "above 0",
		"hand=20":                "unit is missing",
		"hand=20pF":              "pF is the unit of a capacitance",
		"core=rod core=rod":      "given twice",
		"added":                  "name=value",
		"added=-1pF":             "above 0",
		"added=4.7mF":            "microfarad",
		"core=rod covered=60-80": "20..60",
	} {
		l := mustRead(t, []byte(wordsLog), Options{})
		s := l.States()
		got, err := s.Parse(strings.Fields(words))
		var w *WordError
		if err == nil || !errors.As(err, &w) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %+v, %v\ndoesn't say %q", words, got, err, says)
		}
		if len(s.Parts()) != len(l.Parts) {
			t.Errorf("%q left a part behind: %+v", words, s.Parts())
		}
	}
}

func TestStatesTable(t *testing.T) {
	l := mustRead(t, []byte(wordsLog), Options{})
	s := l.States()
	states := must.Get(s.Read(strings.NewReader("core;covered [%];added [pF];hand [cm];colour\nrod;60;3,3;;red\n;;3,30+spike;7,5;\n"), "states.csv")).In(t)
	inf := math.Inf(1)
	want := []readings.State{{Parts: []int{3}, Core: "Rod", To: 0.6, Hand: inf}, {Parts: []int{3, 1}, Hand: 0.075}}
	if !reflect.DeepEqual(states, want) {
		t.Errorf("%+v\nwant %+v", states, want)
	}
	if n := s.Notices(); len(n) != 1 || n[0] != `states.csv:1: not used: column "colour"` {
		t.Errorf("notices %q", n)
	}
	// What is told of a header names its line, below comments and the line of the delimiter too.
	for content, line := range map[string]string{"# by hand\n\ncore,colour\nrod,red\n": "3", "sep=;\ncore;colour\nrod;red\n": "2"} {
		s := l.States()
		must.Get(s.Read(strings.NewReader(content), "states.csv")).In(t)
		if n := s.Notices(); len(n) != 1 || n[0] != "states.csv:"+line+`: not used: column "colour"` {
			t.Errorf("%q: notices %q", content, n)
		}
		log := strings.NewReplacer("core", "f [MHz]", "rod", "2.5").Replace(content)
		if got := said(log, Options{}); !strings.HasSuffix(got, "log.csv:"+line+`: not used: column "colour"`) {
			t.Errorf("%q: %s", log, got)
		}
	}
	for content, says := range map[string]string{
		"core\nrood\n":              `states.csv:2:1 (column A, "core"): read "rood"`,
		"added [pF]\ncone\n":        "coil sheet",
		"added\n4.7\n":              "a unit in the header",
		"colour\nred\n":             "at least one of the columns",
		"added [pF]\n":              "no state below the header",
		"hand [cm],core\n10\n":      "the row has 1 cell",
		"covered [%],core\n130,rod": "at most the whole winding",
	} {
		_, err := l.States().Read(strings.NewReader(content), "states.csv")
		var faults cells.Faults
		if !errors.As(err, &faults) || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v\ndoesn't say %q", content, err, says)
		}
	}
}

func FuzzState(f *testing.F) {
	for _, s := range []string{"added=3.3pF core=rod covered=60% hand=20cm", "added=4.7pF+spike", "covered=20..60% core=Rod", "hand=8\"", "added=1e-3nF±2%"} {
		f.Add(s)
	}
	l := must.Get(Read(strings.NewReader(wordsLog), "log.csv", Options{})).In(f)
	f.Fuzz(func(t *testing.T, words string) {
		s := l.States()
		state, err := s.Parse(strings.Fields(words))
		if err != nil {
			if len(s.Parts()) != len(l.Parts) && len(strings.Fields(words)) == 1 {
				t.Errorf("%q left a part behind", words)
			}
			return
		}
		checkState(t, state, s.Parts())
	})
}

// checkState holds what is true of every state.
func checkState(t *testing.T, s readings.State, parts []readings.Part) {
	t.Helper()
	if !(s.Hand > 0) || !(0 <= s.From && s.From <= s.To && s.To <= 1) || (s.Core == "") != (s.To == 0) || s.Exact != 0 {
		t.Errorf("state %+v", s)
	}
	for i, p := range s.Parts {
		if p < 0 || p >= len(parts) {
			t.Errorf("state %+v with %d parts", s, len(parts))
		}
		for _, q := range s.Parts[:i] {
			if p == q {
				t.Errorf("state %+v has a part twice", s)
			}
		}
	}
}
