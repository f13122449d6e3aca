package earlier

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// The log is invented.
const log = `frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm]
2.519,0.8,,,,
1.937,0.8,2.2,,,
2.480,0.8,clip,,,
1.230,0.8,10,,,
1.839,0.8,roof,,,
1.785,0.8,,rod,,
1.965,0.8,,rod,47,
2.020,0.8,,rod,47,
2.485,0.8,,,,10
`

// written returns the JSON of a fit, and what it carries.
func written(t *testing.T) ([]byte, []estimation.Earlier) {
	t.Helper()
	l := must.Get(benchlog.Read(strings.NewReader(log), "log.csv", benchlog.Options{})).In(t)
	known := []quantities.Known{{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.97, Uncertainty: 0.05}}
	r := must.Get(model.Fit(estimation.Session{Log: l.Log, Known: known})).In(t)
	var b bytes.Buffer
	must.Do(t, report.FitJSON(&b, r, report.Extra{}, report.Source{Log: "log.csv", SHA256: "ab12"}))
	return b.Bytes(), r.Carry()
}

// What is written is read back, to the last digit.
func TestReadBack(t *testing.T) {
	b, want := written(t)
	got := must.Get(Read(bytes.NewReader(b), "before.json")).In(t)
	want[0].Log, want[0].SHA256 = "log.csv", "ab12"
	for i := range want[0].States {
		if len(want[0].States[i].Parts) == 0 {
			want[0].States[i].Parts = nil
		}
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("read\n%+v, written\n%+v", got, want)
	}
	if n := len(got[0].Shared); n != 2 { // drift and the place of the core
		t.Errorf("%d errors in common", n)
	}
}

// Whatever is damaged is refused in one line, without a panic.
func TestReadRefuses(t *testing.T) {
	b, _ := written(t)
	damage := func(edit func(c map[string]any)) string {
		var all map[string]any
		must.Do(t, json.Unmarshal(b, &all))
		edit(all)
		out := must.Get(json.Marshal(all)).In(t)
		return string(out)
	}
	session := func(c map[string]any) map[string]any {
		return c["carried"].(map[string]any)["sessions"].([]any)[0].(map[string]any)
	}
	reading := func(c map[string]any, i int) map[string]any {
		return session(c)["readings"].([]any)[i].(map[string]any)
	}
	part := func(c map[string]any) map[string]any { return session(c)["parts"].([]any)[0].(map[string]any) }
	for name, c := range map[string]struct{ text, says string }{
		"nothing":         {"", "not the JSON output of fitcoil fit"},
		"an array":        {"[1]", "not the JSON output"},
		"another verb":    {`{"schema":2,"log":"a.csv","predictions":[]}`, "not the JSON output"},
		"a consensus":     {`{"schema":2,"logs":["a.csv"],"quality":{}}`, "not the JSON output"},
		"older":           {damage(func(c map[string]any) { delete(c, "carried") }), "nothing that a later session could go on with"},
		"another schema":  {damage(func(c map[string]any) { c["schema"] = 9 }), "its schema is 9"},
		"no session":      {damage(func(c map[string]any) { c["carried"].(map[string]any)["sessions"] = []any{} }), "0 sessions"},
		"no reading":      {damage(func(c map[string]any) { session(c)["readings"] = []any{} }), "session 1, too many readings, or none"},
		"no frequency":    {damage(func(c map[string]any) { reading(c, 2)["frequency"] = 0 }), "session 1, reading 3"},
		"no uncertainty":  {damage(func(c map[string]any) { delete(reading(c, 0), "relative_uncertainty") }), "reading 1"},
		"unknown part":    {damage(func(c map[string]any) { reading(c, 0)["added"] = []any{"nix"} }), "reading 1"},
		"a core nowhere":  {damage(func(c map[string]any) { delete(reading(c, 5), "covered") }), "reading 6"},
		"a core outside":  {damage(func(c map[string]any) { reading(c, 5)["covered"] = []any{0, 2} }), "reading 6"},
		"a hand inside":   {damage(func(c map[string]any) { reading(c, 8)["hand"] = -0.1 }), "reading 9"},
		"a negative part": {damage(func(c map[string]any) { part(c)["capacitance"] = -1 }), `part "2.2 pF"`},
		"too common":      {damage(func(c map[string]any) { part(c)["in_common"] = 2 }), `part "2.2 pF"`},
		"a shrunk scale":  {damage(func(c map[string]any) { session(c)["scale_factor"] = 0.1 }), "its scatter"},
		"short errors":    {damage(func(c map[string]any) { session(c)["shared_errors"] = []any{[]any{1, 2}} }), "in common"},
		"a wrong known": {damage(func(c map[string]any) {
			c["carried"].(map[string]any)["known"].([]any)[0].(map[string]any)["standard_uncertainty"] = -1
		}), "known value of"},
	} {
		_, err := Read(strings.NewReader(c.text), "before.json")
		if _, fault := err.(cells.Faults); !fault || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want a fault that says %q", name, err, c.says)
		}
	}
}

// FuzzRead tries bytes that nobody has written.
func FuzzRead(f *testing.F) {
	f.Add([]byte(`{"schema":2,"log":"a","quality":{},"carried":{"sessions":[{"scale_factor":1,"readings":[{"frequency":1e6,"relative_uncertainty":1e-4}]}]}}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		list, err := Read(bytes.NewReader(b), "before.json")
		if err != nil {
			return
		}
		for _, e := range list {
			for i, hz := range e.Hertz {
				if !(hz > 0) || math.IsInf(hz, 1) || !(e.Relative[i] > 0) {
					t.Errorf("%g ± %g", hz, e.Relative[i])
				}
			}
		}
	})
}
