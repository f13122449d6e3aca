package earlier

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/report"
)

// whole is the JSON of a fit as far as it is carried on.
func whole() map[string]any {
	var tree map[string]any
	text := fmt.Sprintf(`{"schema":%d,"log":"a.csv","quality":{},"carried":{"known":[{"name":"inductance","core":"","value":1e-3,"standard_uncertainty":1e-5}],
		"sessions":[{"log":"a.csv","log_sha256":"AB","bench":2,"scale_factor":1.5,"redundancy":2,"chi_square":3,"degrees_of_freedom":4,
			"parts":[{"name":"five","capacitance":5e-12,"standard_uncertainty":5e-14,"lot":"e","in_common":0.25,"default":true,"rectangular":true},{"name":"spike"}],
			"readings":[{"added":["spike","five"],"clip":true,"core":"rod","covered":[0.1,0.6],"hand":0.2,"frequency":2e6,"relative_uncertainty":1e-4},{"added":[],"frequency":1e6,"relative_uncertainty":2e-4}],
			"shared_errors":[[1e-4,2e-4],[3e-4,4e-4],[0,0]]}]}}`, report.Schema)
	if err := json.Unmarshal([]byte(text), &tree); err != nil {
		panic(err)
	}
	return tree
}

// at sets what stands at a path to v.
func at(tree any, path string, v any) {
	steps := strings.Split(path, ".")
	for i, s := range steps {
		last := i == len(steps)-1
		switch t := tree.(type) {
		case map[string]any:
			if last {
				t[s] = v
			}
			tree = t[s]
		case []any:
			k := int(s[0] - '0')
			if last {
				t[k] = v
			}
			tree = t[k]
		}
	}
}

func TestCarriedAsItStands(t *testing.T) {
	text, _ := json.Marshal(whole())
	list, err := Read(strings.NewReader(string(text)), "a.json")
	if err != nil || len(list) != 1 {
		t.Fatal(err)
	}
	e := list[0]
	if got := fmt.Sprintf("%s %s %v %g %g %g %g", e.Log, e.SHA256, e.Bench, e.Scale, e.Checked, e.Squares, e.Freedom); got != "a.csv ab 2 1.5 2 3 4" {
		t.Error(got)
	}
	if got := fmt.Sprintf("%+v", e.Parts); got != "[{Name:five Capacitance:5e-12 Uncertainty:5e-14 Known:true Default:true Lot:e Rectangular:true Common:0.25} {Name:spike Capacitance:0 Uncertainty:0 Known:false Default:false Lot: Rectangular:false Common:0}]" {
		t.Error(got)
	}
	s := e.States[0]
	if got := fmt.Sprint(s.Parts, s.Clip, s.Core, s.From, s.To, s.Hand, e.Hertz, e.Relative, e.Shared, e.Known[0].Name, e.Known[0].Value, e.Known[0].Uncertainty); got != "[1 0] truerod0.1 0.6 0.2 [2e+06 1e+06] [0.0001 0.0002] [[0.0001 0.0002] [0.0003 0.0004] [0 0]]inductance0.001 1e-05" {
		t.Error(got)
	}
	if s := e.States[1]; len(s.Parts) != 0 || s.Core != "" || !math.IsInf(s.Hand, 1) {
		t.Errorf("%+v", s)
	}
}

// Of several sessions, the last one has the known values: it was fitted with them.
func TestKnownOfTheLast(t *testing.T) {
	tree := whole()
	sessions := tree["carried"].(map[string]any)["sessions"].([]any)
	at(tree, "carried.known.0.core", "r\x1bod") // which must not reach a screen
	at(tree, "carried.sessions", append(sessions, sessions[0]))
	text, _ := json.Marshal(tree)
	list, err := Read(strings.NewReader(string(text)), "a.json")
	if err != nil || len(list) != 2 || list[0].Known != nil || len(list[1].Known) != 1 || list[1].Known[0].Core != "r<U+001B>od" {
		t.Errorf("%+v, %v", list, err)
	}
}

// What a fit can't have written is refused, what lies at the limit isn't.
func TestDamaged(t *testing.T) {
	const s, r, p = "carried.sessions.0.", "carried.sessions.0.readings.0.", "carried.sessions.0.parts.0."
	const reading, part = "session 1, reading 1", `session 1, part "five"`
	long, most := strings.Repeat("n", 201), strings.Repeat("n", 200)
	many := func(n int, v any) []any {
		list := make([]any, n)
		for i := range list {
			list[i] = v
		}
		return list
	}
	one := map[string]any{"added": []any{}, "frequency": 1e6, "relative_uncertainty": 1e-4}
	for i, c := range []struct {
		path string
		v    any
		want string
	}{
		{"carried.sessions", []any{}, "0 sessions"},
		{s + "readings", []any{}, "session 1, too many readings, or none"},
		{s + "readings", many(1001, one), "session 1, too many readings, or none"},
		{s + "shared_errors", many(4, []any{0, 0}), "session 1, too many readings, or none"},
		{s + "shared_errors", many(3, []any{0}), "session 1, what its readings have in common"},
		{s + "shared_errors", many(3, []any{0, 0, 0}), "session 1, what its readings have in common"},
		{s + "bench", -1, "session 1, its bench"},
		{s + "bench", 101, "session 1, its bench"},
		{s + "bench", 100, ""},
		{s + "scale_factor", 0.999, "session 1, its scatter"},
		{s + "scale_factor", 1, ""},
		{s + "redundancy", -0.1, "session 1, its scatter"},
		{s + "redundancy", 0, ""},
		{s + "parts", many(301, map[string]any{"name": "five"}), "session 1, too many readings, or none"},
		{p + "capacitance", 0, part},
		{p + "capacitance", -1e-12, part},
		{p + "standard_uncertainty", -1e-15, part},
		{p + "standard_uncertainty", 5.1e-9, part},
		{p + "standard_uncertainty", 4.9e-9, ""},
		{p + "standard_uncertainty", 0, ""},
		{p + "in_common", -0.1, part},
		{p + "in_common", 1.1, part},
		{p + "in_common", 1, ""},
		{p + "in_common", 0, ""},
		{p + "name", "", `session 1, part ""`},
		{p + "name", "spike", `session 1, part "spike"`},
		{r + "added", []any{"ten"}, reading},
		{r + "frequency", 0, reading},
		{r + "frequency", 1.1e15, reading},
		{r + "frequency", 1e15, ""},
		{r + "relative_uncertainty", 0.9e-15, reading},
		{r + "relative_uncertainty", 1e-15, ""},
		{r + "relative_uncertainty", 1.1e6, reading},
		{r + "relative_uncertainty", 1e6, ""},
		{r + "covered", nil, reading},
		{r + "covered", []any{-0.1, 1}, reading},
		{r + "covered", []any{0.5, 0.5}, reading},
		{r + "covered", []any{0, 1.1}, reading},
		{r + "covered", []any{0, 1}, ""},
		{r + "core", long, reading},
		{r + "core", most, ""},
		{r + "hand", 0, reading},
		{r + "hand", 1001, reading},
		{r + "hand", 1000, ""},
		{"carried.known.0.standard_uncertainty", -1, `the known value of "inductance"`},
		{"carried.known.0.standard_uncertainty", 0, ""},
		{"carried.known.0.name", "", `the known value of ""`},
		{"carried.known", []any{}, ""},
	} {
		tree := whole()
		at(tree, c.path, c.v)
		text, _ := json.Marshal(tree)
		_, err := Read(strings.NewReader(string(text)), "a.json")
		want := "a.json: its field carried is damaged: " + c.want + "; make it anew with: fitcoil fit LOG --json"
		if c.want == "" && err != nil || c.want != "" && (err == nil || err.Error() != want) {
			t.Errorf("%d, %s: %v, want %q", i, c.path, err, c.want)
		}
	}
	tree := whole() // at most a hundred sessions, of at most a thousand readings and 300 parts
	session := tree["carried"].(map[string]any)["sessions"].([]any)[0]
	at(tree, "carried.sessions", many(101, session))
	for n, refused := range map[int]bool{100: false, 101: true} {
		at(tree, "carried.sessions", many(n, session))
		text, _ := json.Marshal(tree)
		if _, err := Read(strings.NewReader(string(text)), "a.json"); (err != nil) != refused {
			t.Errorf("%d sessions: %v", n, err)
		}
	}
	tree = whole()
	at(tree, s+"readings", many(1000, one))
	at(tree, s+"shared_errors", []any{})
	var parts []any
	for i := range 300 {
		parts = append(parts, map[string]any{"name": fmt.Sprint(i)})
	}
	at(tree, s+"parts", parts)
	text, _ := json.Marshal(tree)
	if _, err := Read(strings.NewReader(string(text)), "a.json"); err != nil {
		t.Error(err)
	}
}

func TestNotCarried(t *testing.T) {
	for _, c := range []struct {
		path string
		v    any
		want string
	}{
		{"schema", report.Schema - 1, fmt.Sprintf("a.json: its schema is %d, and this program reads %d; make it anew with: fitcoil fit LOG --json", report.Schema-1, report.Schema)},
		{"log", nil, "a.json: this is not the JSON output of fitcoil fit; make it with: fitcoil fit LOG --json"},
		{"quality", nil, "a.json: this is not the JSON output of fitcoil fit; make it with: fitcoil fit LOG --json"},
		{"carried", nil, "a.json: it has nothing that a later session could go on with: it was made by an older program, or its log has too many readings; make it anew with: fitcoil fit LOG --json"},
	} {
		tree := whole()
		at(tree, c.path, c.v)
		text, _ := json.Marshal(tree)
		if _, err := Read(strings.NewReader(string(text)), "a.json"); err == nil || err.Error() != c.want || !errors.As(err, new(cells.Faults)) {
			t.Errorf("%s: %v", c.path, err)
		}
	}
	text, _ := json.Marshal(whole()) // no number is infinite
	const want = "a.json: this is not the JSON output of fitcoil fit; make it with: fitcoil fit LOG --json"
	if _, err := Read(strings.NewReader(strings.Replace(string(text), "0.0001", "1e999", 1)), "a.json"); err == nil || err.Error() != want {
		t.Errorf("%v", err)
	}
	if _, err := Read(spaces{}, "a.json"); err == nil || err.Error() != "a.json: this file is larger than any that fitcoil fit writes; make it with: fitcoil fit LOG --json" {
		t.Errorf("%v", err)
	}
	failed := errors.New("failed")
	if _, err := Read(broken{failed}, "a.json"); err != failed {
		t.Errorf("%v", err)
	}
}

type broken struct{ err error }

func (b broken) Read([]byte) (int, error) { return 0, b.err }

// spaces is a file without an end.
type spaces struct{}

func (spaces) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}
