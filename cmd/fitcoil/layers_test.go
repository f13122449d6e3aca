package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Imports point one way: cmd → ioformat → model → fit, and the packages of
// inputs and outputs don't lean on each other, save for the few below them.
func TestLayers(t *testing.T) {
	rank := func(pkg string) int {
		for i, p := range []string{"fitcoil/fit", "fitcoil/model", "fitcoil/ioformat", "fitcoil/cmd"} {
			if pkg == p || strings.HasPrefix(pkg, p+"/") {
				return i
			}
		}
		return -1
	}
	// What one package of ioformat may take from another.
	below := map[string]string{
		"cells":     "quantity suggest",
		"benchlog":  "cells quantity suggest",
		"coilsheet": "cells quantity suggest benchlog known",
		"waveform":  "cells quantity suggest",
		"known":     "benchlog quantity suggest",
		"outfile":   "quantity",
		"wording":   "quantity",
		"report":    "quantity wording waveform benchlog",
		"figure":    "quantity wording chart",
		"page":      "quantity wording report figure chart",
		"logbook":   "quantity wording benchlog coilsheet known report suggest",
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
		for _, spec := range parsed.Imports {
			to, _ := strconv.Unquote(spec.Path.Value)
			if !strings.HasPrefix(to, "fitcoil/") {
				continue
			}
			if rank(to) > rank(pkg) || rank(to) < 0 {
				t.Errorf("%s imports %s: imports point the other way", file, to)
			}
			if rank(to) == rank(pkg) && rank(to) == 2 {
				from := strings.Split(strings.TrimPrefix(pkg, "fitcoil/ioformat/"), "/")[0]
				what := path.Base(to)
				if !strings.Contains(" "+below[from]+" ", " "+what+" ") {
					t.Errorf("%s imports %s, which isn't below it", file, to)
				}
			}
		}
		return nil
	})
	if err != nil || files < 20 {
		t.Errorf("%d files, %v", files, err)
	}
}
