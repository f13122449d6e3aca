package fit_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// Every exported function and method is called in a runnable example.
func TestEveryEntryPointIsShown(t *testing.T) {
	entries := must.Get(os.ReadDir(".")).In(t)
	parse := func(keep func(name string) bool) (files []*ast.File) {
		for _, e := range entries {
			if !strings.HasSuffix(e.Name(), ".go") || !keep(e.Name()) {
				continue
			}
			f := must.Get(parser.ParseFile(token.NewFileSet(), e.Name(), nil, 0)).In(t)
			files = append(files, f)
		}
		return files
	}
	called := map[string]bool{}
	for _, f := range parse(func(name string) bool { return strings.HasPrefix(name, "example") }) {
		ast.Inspect(f, func(n ast.Node) bool {
			if c, ok := n.(*ast.CallExpr); ok {
				if s, ok := c.Fun.(*ast.SelectorExpr); ok {
					called[s.Sel.Name] = true
				}
			}
			return true
		})
	}
	points := 0
	for _, f := range parse(func(name string) bool { return !strings.HasSuffix(name, "_test.go") }) {
		for _, d := range f.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.IsExported() && f.Name.Name != "String" {
				if points++; !called[f.Name.Name] {
					t.Errorf("no example calls %s", f.Name.Name)
				}
			}
		}
	}
	if points < 40 {
		t.Errorf("only %d entry points found", points)
	}
}
