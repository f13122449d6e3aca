package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
)

// A point is one small error that can be made in a file: bytes [from, to) become with.
type point struct {
	file     string
	line     int
	from, to int
	with     string
	kind     string
}

// swaps are the operators that people mix up.
var swaps = map[token.Token][]token.Token{
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL},
	token.LSS: {token.LEQ, token.GTR}, token.LEQ: {token.LSS, token.GEQ},
	token.GTR: {token.GEQ, token.LSS}, token.GEQ: {token.GTR, token.LEQ},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL}, token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN},
	token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN}, token.REM: {token.MUL},
}

// finder collects the points of one file.
type finder struct {
	name   string
	files  *token.FileSet
	source []byte
	points []point
	// capacity has what only says how much room a slice gets.
	capacity map[ast.Node]bool
	// signs has numbers of which the sign alone counts.
	signs map[ast.Node]bool
}

// commutative are functions that don't mind the order of their arguments.
var commutative = map[string]bool{"max": true, "min": true, "math.Max": true, "math.Min": true, "math.Hypot": true,
	"dot": true, "floats.Dot": true, "slices.Equal": true, "Same": true, "readings.Same": true}

// pointsOf returns all errors that can be made in a file.
func pointsOf(name string, source []byte) ([]point, error) {
	f := &finder{name: name, files: token.NewFileSet(), source: source, capacity: map[ast.Node]bool{}, signs: map[ast.Node]bool{}}
	tree, err := parser.ParseFile(f.files, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		if _, ok := n.(*ast.ImportSpec); ok || f.capacity[n] {
			return false
		}
		f.expression(n)
		f.statement(n)
		return true
	})
	return f.points, nil
}

func (f *finder) at(p token.Pos) int { return f.files.Position(p).Offset }

func (f *finder) text(n ast.Node) string { return string(f.source[f.at(n.Pos()):f.at(n.End())]) }

func (f *finder) add(kind string, at token.Pos, from, to int, with string) {
	f.points = append(f.points, point{f.name, f.files.Position(at).Line, from, to, with, kind})
}

func (f *finder) replace(kind string, n ast.Node, with string) {
	f.add(kind, n.Pos(), f.at(n.Pos()), f.at(n.End()), with)
}

func (f *finder) operator(at token.Pos, old token.Token) {
	for _, s := range swaps[old] {
		f.add("operator", at, f.at(at), f.at(at)+len(old.String()), s.String())
	}
}

// expression finds swapped operators and arguments, wrong constants, lost signs, lost calls.
func (f *finder) expression(n ast.Node) {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		f.operator(n.OpPos, n.Op)
	case *ast.UnaryExpr:
		if n.Op == token.SUB || n.Op == token.NOT {
			f.replace("sign", n, f.text(n.X))
		}
	case *ast.BasicLit:
		switch v, err := strconv.ParseFloat(n.Value, 64); {
		case v == 0 && n.Kind == token.FLOAT: // 1.1 times as much is the same
		case n.Kind == token.FLOAT && err == nil:
			f.replace("constant", n, strconv.FormatFloat(1.1*v, 'g', 6, 64))
		case n.Kind == token.INT && err == nil && !f.signs[n]:
			f.replace("off by one", n, strconv.Itoa(int(v)+1))
		}
	case *ast.CallExpr:
		if len(n.Args) == 1 { // math.Abs(x) to x; where types differ it doesn't build
			f.replace("lost call", n, "("+f.text(n.Args[0])+")")
		}
		if f.text(n.Fun) == "math.Inf" {
			f.signs[n.Args[0]] = true
		}
		if f.text(n.Fun) == "math.IsInf" {
			f.signs[n.Args[1]] = true
		}
		if name, ok := n.Fun.(*ast.Ident); ok && name.Name == "make" {
			f.capacity[n.Args[len(n.Args)-1]] = len(n.Args) == 3
		}
		for i := 0; i+1 < len(n.Args) && !commutative[f.text(n.Fun)]; i++ {
			a, b := n.Args[i], n.Args[i+1]
			if f.text(a) != f.text(b) {
				f.add("arguments", a.Pos(), f.at(a.Pos()), f.at(b.End()), f.text(b)+", "+f.text(a))
			}
		}
	}
}

// statement finds what can be left out, and conditions turned over.
func (f *finder) statement(n ast.Node) {
	switch n := n.(type) {
	case *ast.ExprStmt, *ast.IncDecStmt, *ast.BranchStmt:
		f.replace("dropped", n, "")
	case *ast.AssignStmt:
		f.operator(n.TokPos, n.Tok)
		if n.Tok == token.ASSIGN || swaps[n.Tok] != nil {
			f.replace("dropped", n, f.used(n))
		}
	case *ast.IfStmt:
		f.replace("condition", n.Cond, "!("+f.text(n.Cond)+")")
		if n.Init == nil && n.Else == nil {
			f.replace("dropped", n.Cond, "false && ("+f.text(n.Cond)+")")
		}
	case *ast.ReturnStmt:
		for _, r := range n.Results {
			if text := f.text(r); text != "0" && text != "math.NaN()" {
				f.replace("sign", r, "-("+text+")")
			}
		}
	case *ast.CompositeLit:
		for i := 0; i+1 < len(n.Elts); i++ {
			a, ok1 := n.Elts[i].(*ast.KeyValueExpr)
			b, ok2 := n.Elts[i+1].(*ast.KeyValueExpr)
			if ok1 && ok2 && f.text(a.Value) != f.text(b.Value) {
				f.add("fields", a.Pos(), f.at(a.Value.Pos()), f.at(b.Value.End()),
					f.text(b.Value)+string(f.source[f.at(a.Value.End()):f.at(b.Value.Pos())])+f.text(a.Value))
			}
		}
	}
}

// used keeps the values of a dropped assignment used, so that it builds.
func (f *finder) used(n *ast.AssignStmt) (text string) {
	for i, r := range n.Rhs {
		if i > 0 {
			text += "; "
		}
		if len(n.Lhs) != len(n.Rhs) {
			return ""
		}
		text += fmt.Sprintf("_ = %s", f.text(r))
	}
	return text
}
