package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Imports point one way: cmd → ioformat → model → fit → workers, stable. Within ioformat the packages of
// inputs and outputs don't lean on each other, save for the few below them; within model
// the rooms stand in the order in which data walks, and none looks at a later one. What is
// in internal is for the tests: nothing else takes from it.
func TestLayers(t *testing.T) {
	rank := func(pkg string) int {
		if pkg == "fitcoil/stable" {
			return 0 // as workers
		}
		for i, p := range []string{"fitcoil/workers", "fitcoil/fit", "fitcoil/model", "fitcoil/ioformat", "fitcoil/cmd", "fitcoil/internal"} {
			if pkg == p || strings.HasPrefix(pkg, p+"/") {
				return i
			}
		}
		return -1
	}
	// What a package may take from others of its layer.
	below := map[string]string{
		"model/field":      "",
		"model/quantities": "",
		"model/ringing":    "model/quantities",
		"model/resonance":  "model/quantities",
		"model/coupling":   "",
		"model/loss":       "model/field",
		"model/voltage":    "model/field",
		"model/resonator":  "model/field",
		"model/readings":   "",
		"model/patterns":   "",
		"model/drawing":    "model/field model/quantities model/resonator",
		"model/forward":    "model/coupling model/quantities model/resonator model/readings",
		"model/estimation": "model/coupling model/field model/loss model/quantities model/resonator model/readings model/drawing model/forward",
		"model/findings":   "model/loss model/quantities model/readings model/patterns model/forward model/estimation",
		"model":            "model/estimation model/findings",
		"model/decisions":  "model/voltage model/quantities model/resonator model/readings model/drawing model/forward model/estimation",

		"model/internal/simulated": "model/resonator model/readings",

		"ioformat/quantity":     "",
		"ioformat/suggest":      "",
		"ioformat/cells":        "ioformat/quantity ioformat/suggest",
		"ioformat/benchlog":     "ioformat/cells ioformat/quantity ioformat/suggest",
		"ioformat/coilsheet":    "ioformat/cells ioformat/quantity ioformat/suggest ioformat/benchlog ioformat/known",
		"ioformat/waveform":     "ioformat/cells ioformat/quantity ioformat/suggest",
		"ioformat/known":        "ioformat/benchlog ioformat/quantity ioformat/suggest",
		"ioformat/earlier":      "ioformat/cells ioformat/quantity ioformat/report",
		"ioformat/outfile":      "ioformat/quantity",
		"ioformat/wording":      "ioformat/quantity",
		"ioformat/report":       "ioformat/quantity ioformat/wording ioformat/waveform ioformat/benchlog",
		"ioformat/figure/chart": "ioformat/quantity ioformat/wording",
		"ioformat/figure":       "ioformat/quantity ioformat/wording ioformat/figure/chart",
		"ioformat/starter":      "",
		"ioformat/logbook":      "ioformat/quantity ioformat/wording ioformat/benchlog ioformat/coilsheet ioformat/known ioformat/report ioformat/suggest",
		"ioformat/page":         "ioformat/quantity ioformat/wording ioformat/report ioformat/figure ioformat/figure/chart",
	}
	files := 0
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		files++
		relative, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		pkg := path.Join("fitcoil", filepath.ToSlash(relative))
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		room := strings.TrimPrefix(pkg, "fitcoil/")
		if _, known := below[room]; !known && (rank(pkg) == 2 || rank(pkg) == 3) {
			t.Errorf("%s: no word on what %s may import", file, room)
		}
		for _, spec := range parsed.Imports {
			to, _ := strconv.Unquote(spec.Path.Value)
			if !strings.HasPrefix(to, "fitcoil/") {
				continue
			}
			if rank(to) > rank(pkg) || rank(to) < 0 {
				t.Errorf("%s imports %s: imports point the other way", file, to)
			}
			if rank(to) == rank(pkg) && (rank(to) == 2 || rank(to) == 3) &&
				!slices.Contains(strings.Fields(below[room]), strings.TrimPrefix(to, "fitcoil/")) {
				t.Errorf("%s imports %s, which isn't below it", file, to)
			}
		}
		return nil
	})
	if err != nil || files < 20 {
		t.Errorf("%d files, %v", files, err)
	}
}

// Numbers are rounded in one place: outside ioformat/quantity, nothing that prints chooses
// digits for itself. A log's own digits, coordinates of a drawing, and the
// name of a part by its value, are no such numbers.
func TestOnePlaceRounds(t *testing.T) {
	chooses := regexp.MustCompile(`%[-+#0]*[0-9]*(\.[0-9]+)?[eEfFgG]|FormatFloat\(.*, '[a-z]', [^-]`)
	apart := []string{"ioformat/quantity/", "ioformat/figure/chart/svg.go", "ioformat/benchlog/append.go", "model/decisions/consensus.go"}
	root := filepath.Join("..", "..")
	for _, dir := range []string{"model", "ioformat", filepath.Join("cmd", "fitcoil")} {
		err := filepath.WalkDir(filepath.Join(root, dir), func(file string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
				return err
			}
			name, err := filepath.Rel(root, file)
			if err != nil || slices.ContainsFunc(apart, func(p string) bool { return strings.HasPrefix(filepath.ToSlash(name), p) }) {
				return err
			}
			text, err := os.ReadFile(file)
			for i, line := range strings.Split(string(text), "\n") {
				if found := chooses.FindString(line); found != "" {
					t.Errorf("%s:%d chooses digits by %q: use ioformat/quantity", name, i+1, found)
				}
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
}
