package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// What each verb prints with --json is as docs/schema says: nothing missing, of
// another kind or undocumented, and nothing documented that never comes.
func TestSchemas(t *testing.T) {
	s := readSchemas(t)
	inDemo(t)
	for name, content := range map[string]string{
		"suspect.csv": strings.Replace(text(t, "lighthouse.csv"), "1.230,0.8,10", "1.320,0.8,10", 1),
		"unused.csv":  "frequency [MHz],added [pF],use\n2.52,,\n1.94,2.2,\n1.61,4.7,\n1.24,10,no\n",
		"pickup.csv": "frequency [MHz],added [pF],core,amplitude,quality factor\n2.519,,,3.0,52\n1.937,2.2,,2.2,50\n1.230,10,,2,48\n" +
			"1.785,,rod,1.5,31\n1.323,2.2,rod,1.0,\n0.874,10,rod,1.1,\n",
		"topless.csv": "frequency [MHz],frequency ± [kHz],added [pF],added ± [%]\n" + topless(0, 1, 2.2, 4.7, 10),
		"tones.csv":   trace(),
		"drive.csv":   drive(),
		"twice.csv":   twice(text(t, "captures/lighthouse-ringdown.csv")),
		"always.csv":  "frequency [MHz],added [pF],core\n1.785,,rod\n1.146,4.7,rod\n0.874,10,rod\n",
		"counter.csv": counter(6000),
		"partly.csv":  partlyIn,
		"primary.csv": "frequency [MHz],added [pF],core,primary,second frequency [MHz]\n2.519,,,open,\n1.937,2.2,,,\n1.230,10,,,\n2.566,,,shorted,\n" +
			"1.785,,rod,,\n0.874,10,rod,,\n1.846,,rod,shorted,\n2.322,,,tuned 4.7 nF,2.818\n2.519,,,,\n",
		"first.csv":  "frequency [MHz],added [pF],added ±,core\n2.519,,,\n2.480,clip,,\n1.780,3.3,1 % rectangular,\n1.230,10,,\n1.785,,,rod\n",
		"thrice.csv": "frequency [MHz],added [pF]\n2.5191,\n1.7802,3.3\n1.2301,10\n2.5178,\n1.7808,3.3\n1.2296,10\n2.5185,\n1.7797,3.3\n1.2304,10\n",
		"onlyLC.csv": "# taken on 2026-01-31\nfrequency [MHz],added\n2.519,\n1.839,roof\n",
	} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
	first := ask("", "fit", "first.csv", "--known", "core_gain:rod=1.97±0.05", "--json")
	must.Do(t, os.WriteFile("first.json", []byte(first.out), 0o666))
	for _, c := range []struct{ file, args string }{
		{"fit.json", "fit lighthouse.csv --known-from first.json --new-bench"},
		{"fit.json", "fit lighthouse.csv"},
		{"fit.json", "fit lighthouse.csv --coil lighthouse-coil.csv"},
		{"fit.json", "fit lighthouse.csv --lumped --known inductance=1.27mH±1%"},
		{"fit.json", "fit lighthouse.csv --monte-carlo 1000 --seed 2 --profile"},
		{"fit.json", "fit suspect.csv"},
		{"fit.json", "fit thrice.csv"},
		{"fit.json", "fit unused.csv"},
		{"fit.json", "fit pickup.csv"},
		{"fit.json", "fit topless.csv --known lead=0pF±0.001fF"},
		{"fit.json", "fit always.csv"},
		{"fit.json", "fit partly.csv"},
		{"fit.json", "fit onlyLC.csv"},
		{"fit.json", "fit primary.csv"},
		{"fit.json", "fit counter.csv"},
		{"predict.json", "predict lighthouse.csv added=3.3pF core=rod covered=60% hand=20cm"},
		{"predict.json", "predict lighthouse.csv bare / added=470pF"},
		{"predict.json", "predict onlyLC.csv added=3pF"},
		{"predict.json", "predict primary.csv primary=shorted added=10pF"},
		{"reach.json", "predict lighthouse.csv --reach 1.5MHz --by added"},
		{"reach.json", "predict lighthouse.csv --reach 9MHz --by added"},
		{"reach.json", "predict lighthouse.csv core=rod --reach 2MHz --by covered"},
		{"reach.json", "predict lighthouse.csv --reach 2.5MHz --by hand"},
		{"ways.json", "predict lighthouse.csv core=rod --reach 1.5MHz --have 1pF --coil lighthouse-coil.csv"},
		{"ways.json", "predict lighthouse.csv --reach 1.5MHz"},
		{"sweep.json", "predict lighthouse.csv --coil lighthouse-coil.csv core=rod --sweep beads=15..17"},
		{"next.json", "next lighthouse.csv --for L --have 47pF --how-many 2"},
		{"next.json", "next onlyLC.csv --for L"},
		{"compare.json", "compare lighthouse.csv rebuilt.csv"},
		{"budget.json", "budget lighthouse.csv --for L --known-from first.json"},
		{"budget.json", "budget lighthouse.csv --for frequency@added=3.3pF,core=rod"},
		{"budget.json", "budget onlyLC.csv --for C"},
		{"consensus.json", "fit lighthouse.csv rebuilt.csv"},
		{"check.json", "check lighthouse.csv"},
		{"check.json", "check onlyLC.csv"},
		{"check.json", "check primary.csv"},
		{"check.json", "check counter.csv"},
		{"coil.json", "coil lighthouse-coil.csv --hand 10cm"},
		{"coil.json", "coil lighthouse-coil.csv --top-voltage 60kV"},
		{"fit.json", "fit lighthouse-whole.csv --coil lighthouse-made-of.csv"},
		{"predict.json", "predict lighthouse-whole.csv --coil lighthouse-made-of.csv core=rod / added=10pF"},
		{"predict.json", "predict lighthouse.csv --coil lighthouse-coil.csv --top-voltage 20kV core=rod / bare"},
		{"capture.json", "capture captures/lighthouse-ringdown.csv captures/clipped.csv tones.csv twice.csv drive.csv"},
		{"capture.json", "capture " + steady(t)},
	} {
		a := ask("", append(strings.Fields(c.args), "--json")...)
		if a.code != exitAnswered {
			t.Errorf("%s: exit code %d: %s", c.args, a.code, a.err)
			continue
		}
		for _, fault := range s.check(t, c.file, a.out) {
			t.Errorf("fitcoil %s --json: %s", c.args, fault)
		}
	}
	for _, p := range s.unseen() {
		t.Errorf("%s is documented, but no output has it", p)
	}
}

// drive is a sweep: amplitudes of a resonance curve of Q 50 at 2.5 MHz, to three
// decimals.
func drive() string {
	var b strings.Builder
	b.WriteString("frequency [MHz],amplitude [V]\n")
	for i := range 11 {
		f := 2.45 + 0.01*float64(i)
		fmt.Fprintf(&b, "%.2f,%.3f\n", f, 1/math.Hypot(1, 50*(f/2.5-2.5/f)))
	}
	return b.String()
}

// steady writes seven captures of the same curve, each of one steady tone, and
// returns their names.
func steady(t *testing.T) string {
	t.Helper()
	var names []string
	for i := range 7 {
		f := 2.44e6 + 0.02e6*float64(i)
		var b strings.Builder
		b.WriteString("time [s],voltage [V]\n")
		for k := range 1000 {
			fmt.Fprintf(&b, "%.8f,%.4f\n", float64(k)*1e-8, math.Sin(2*math.Pi*f*float64(k)*1e-8)/math.Hypot(1, 50*(f/2.5e6-2.5e6/f)))
		}
		name := fmt.Sprintf("steady%d.csv", i)
		must.Do(t, os.WriteFile(name, []byte(b.String()), 0o666))
		names = append(names, name)
	}
	return strings.Join(names, " ")
}

// twice is a capture with the rows of its table a second time, as a second
// segment.
func twice(capture string) string {
	_, rows, _ := strings.Cut(capture, "Time [s],CH1 [V]\n")
	return capture + rows
}

// Every verb that prints JSON has its schema.
func TestEveryJSONHasASchema(t *testing.T) {
	s := readSchemas(t)
	for _, v := range verbs() {
		if slices.ContainsFunc(v.flagTable(), func(f flagRow) bool { return f.Name == "json" }) && s.files[v.name+".json"] == nil {
			t.Errorf("docs/schema lacks %s.json", v.name)
		}
	}
}

// The check itself finds what is wrong.
func TestSchemaCheckIsStrict(t *testing.T) {
	s := readSchemas(t)
	inDemo(t)
	good := ask("", "fit", "lighthouse.csv", "--json").out
	for _, c := range []struct{ old, new, want string }{
		{`"schema": 2`, `"schema": 3`, "$.schema: 3 isn't 2"},
		{`"unit": "H",`, ``, "unit is missing"},
		{`"determined": true`, `"determined": "yes"`, "expected boolean"},
		{`"converged"`, `"convergence"`, "convergence is not documented"},
		{`"resonator": "line"`, `"resonator": "tube"`, "isn't one of"},
		{`"chi_square": `, `"chi_square": "`, ""},
		{`"used": true`, `"used": null`, "expected boolean"},
		{`"line": 6`, `"line": 0`, "below 1"},
		{`"log_sha256": "`, `"log_sha256": "XY`, "doesn't match"},
		{`"interval_95": [`, `"interval_95": [0,`, "3 items"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good || c.want == "" {
			continue
		}
		faults := strings.Join(s.check(t, "fit.json", bad), "\n")
		if !strings.Contains(faults, c.want) {
			t.Errorf("with %s: %q", c.new, faults)
		}
	}
	if faults := s.check(t, "fit.json", good); len(faults) > 0 {
		t.Error(faults)
	}
}

// text returns what a file holds.
func text(t *testing.T, name string) string {
	t.Helper()
	content := must.Get(os.ReadFile(name)).In(t)
	return string(content)
}

// topless makes rows of a coil that seems to have less than nothing at its top:
// the root θ of cot θ = θ·C/Cw for a uniform line with C at its end.
func topless(added ...float64) string {
	const inductance, winding, top = 1.25e-3, 6e-12, -0.1e-12
	var b strings.Builder
	for _, c := range added {
		low, high := 0.1, 2.0
		for range 60 {
			middle := (low + high) / 2
			if math.Cos(middle) > middle*math.Sin(middle)*(c*1e-12+top)/winding {
				low = middle
			} else {
				high = middle
			}
		}
		fmt.Fprintf(&b, "%.6f,0.1,%s,0.1\n", low/math.Sqrt(inductance*winding)/(2*math.Pi)/1e6, strings.TrimPrefix(fmt.Sprint(c), "0"))
	}
	return b.String()
}

// trace makes a capture of a steady tone of 2.5 MHz with its second harmonic.
func trace() string {
	var b strings.Builder
	b.WriteString("time [s],voltage [V]\n")
	for i := range 4000 {
		x := 2 * math.Pi * 2.5e6 * float64(i) * 1e-8
		fmt.Fprintf(&b, "%.8f,%.4f\n", float64(i)*1e-8, math.Sin(x)+0.1*math.Sin(2*x+1))
	}
	return b.String()
}

// schemas are the files of docs/schema, in the part of JSON Schema (draft
// 2020-12) that they keep to.
type schemas struct {
	files map[string]map[string]any
	seen  map[string]bool // places of properties that an output had
}

func readSchemas(t *testing.T) *schemas {
	t.Helper()
	s := &schemas{map[string]map[string]any{}, map[string]bool{}}
	names, err := filepath.Glob(filepath.Join("..", "..", "docs", "schema", "*.json"))
	if err != nil || len(names) < 10 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		var schema map[string]any
		if err := json.Unmarshal([]byte(text(t, name)), &schema); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if schema["$schema"] != "https://json-schema.org/draft/2020-12/schema" || schema["title"] == nil {
			t.Errorf("%s lacks $schema or title", name)
		}
		s.files[filepath.Base(name)] = schema
		keywords(t, name, schema)
	}
	return s
}

// keywords fails for a keyword that check would pass over.
func keywords(t *testing.T, at string, schema map[string]any) {
	for k, v := range schema {
		switch k {
		case "$schema", "title", "description", "$ref", "type", "required", "minItems", "maxItems",
			"minimum", "exclusiveMinimum", "enum", "const", "pattern":
		case "items":
			keywords(t, at+"/items", v.(map[string]any))
		case "properties", "$defs":
			for name, sub := range v.(map[string]any) {
				keywords(t, at+"/"+k+"/"+name, sub.(map[string]any))
			}
		default:
			t.Errorf("%s: the keyword %s is not checked", at, k)
		}
	}
}

// node is a schema and where it stands.
type node struct {
	schema map[string]any
	file   string
	at     string // pointer within the file
}

// all returns n and the schemas that it refers to.
func (s *schemas) all(n node) []node {
	ref, ok := n.schema["$ref"].(string)
	if !ok {
		return []node{n}
	}
	file, pointer, _ := strings.Cut(ref, "#")
	if file == "" {
		file = n.file
	}
	to := node{s.files[file], file, pointer}
	for _, step := range strings.Split(pointer, "/") {
		if step != "" {
			to.schema = to.schema[step].(map[string]any)
		}
	}
	return append([]node{n}, s.all(to)...)
}

// check returns what is wrong with a document.
func (s *schemas) check(t *testing.T, file, document string) (faults []string) {
	t.Helper()
	var value any
	must.Do(t, json.Unmarshal([]byte(document), &value))
	s.value(node{s.files[file], file, ""}, value, "$", &faults)
	return faults
}

func (s *schemas) value(n node, value any, at string, faults *[]string) {
	fault := func(format string, args ...any) { *faults = append(*faults, at+": "+fmt.Sprintf(format, args...)) }
	nodes := s.all(n)
	for _, n := range nodes {
		s.plain(n.schema, value, fault)
		if list, ok := value.([]any); ok && n.schema["items"] != nil {
			for i, v := range list {
				s.value(node{n.schema["items"].(map[string]any), n.file, n.at + "/items"}, v, fmt.Sprintf("%s[%d]", at, i), faults)
			}
		}
	}
	object, ok := value.(map[string]any)
	if !ok {
		return
	}
	for name, v := range object {
		documented := false
		for _, n := range nodes {
			properties, _ := n.schema["properties"].(map[string]any)
			if sub, ok := properties[name].(map[string]any); ok {
				documented = true
				place := n.at + "/properties/" + name
				s.seen[n.file+"#"+place] = true
				s.value(node{sub, n.file, place}, v, at+"."+name, faults)
			}
		}
		if !documented {
			fault("%s is not documented", name)
		}
	}
}

// plain checks what concerns a value alone.
func (s *schemas) plain(schema map[string]any, value any, fault func(string, ...any)) {
	if !isKind(schema["type"], value) {
		fault("%v, expected %v", value, schema["type"])
		return
	}
	if c, ok := schema["const"]; ok && c != value {
		fault("%v isn't %v", value, c)
	}
	if e, ok := schema["enum"].([]any); ok && !slices.Contains(e, value) {
		fault("%v isn't one of %v", value, e)
	}
	switch v := value.(type) {
	case float64:
		if least, ok := schema["minimum"].(float64); ok && v < least {
			fault("%v is below %v", v, least)
		}
		if below, ok := schema["exclusiveMinimum"].(float64); ok && v <= below {
			fault("%v isn't above %v", v, below)
		}
	case string:
		if p, ok := schema["pattern"].(string); ok && !regexp.MustCompile(p).MatchString(v) {
			fault("%q doesn't match %s", v, p)
		}
	case []any:
		n := float64(len(v))
		if least, ok := schema["minItems"].(float64); ok && n < least {
			fault("%v items", n)
		}
		if most, ok := schema["maxItems"].(float64); ok && n > most {
			fault("%v items", n)
		}
	case map[string]any:
		required, _ := schema["required"].([]any)
		for _, name := range required {
			if _, ok := v[name.(string)]; !ok {
				fault("%s is missing", name)
			}
		}
	}
}

// isKind tells whether value is of a type, or of one of several.
func isKind(kind, value any) bool {
	switch k := kind.(type) {
	case nil:
		return true
	case []any:
		return slices.ContainsFunc(k, func(one any) bool { return isKind(one, value) })
	}
	switch v := value.(type) {
	case nil:
		return kind == "null"
	case bool:
		return kind == "boolean"
	case string:
		return kind == "string"
	case float64:
		return kind == "number" || kind == "integer" && v == math.Trunc(v)
	case []any:
		return kind == "array"
	default:
		return kind == "object"
	}
}

// unseen lists the documented properties that no output had.
func (s *schemas) unseen() (list []string) {
	var walk func(file, at string, schema map[string]any)
	walk = func(file, at string, schema map[string]any) {
		for _, k := range []string{"properties", "$defs"} {
			subs, _ := schema[k].(map[string]any)
			for name, sub := range subs {
				place := at + "/" + k + "/" + name
				if k == "properties" && !s.seen[file+"#"+place] {
					list = append(list, file+"#"+place)
				}
				walk(file, place, sub.(map[string]any))
			}
		}
		if items, ok := schema["items"].(map[string]any); ok {
			walk(file, at+"/items", items)
		}
	}
	for name, schema := range s.files {
		walk(name, "", schema)
	}
	slices.Sort(list)
	return list
}
