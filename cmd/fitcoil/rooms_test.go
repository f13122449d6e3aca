package main

import (
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

var drawRooms = flag.Bool("rooms", false, "TestReferencesWalkOneWay prints what the rooms of each layout take from each other")

// byWay are the rooms as they are, in the order in which data walks.
var byWay = [][2]string{{"quantities", "quantities/"}, {"field", "field/"}, {"readings", "readings/"}, {"coupling", "coupling/"},
	{"loss", "loss/"}, {"voltage", "voltage/"}, {"patterns", "patterns/"}, {"resonator", "resonator/"}, {"drawing", "drawing/"},
	{"forward", "forward/"}, {"estimation", "estimation/"}, {"findings", "findings/"}, {"decisions", "decisions/"}, {"model", ""}}

// bySubject is another layout, tried on paper: a room for each thing that is read or fitted,
// from its formula to its advice. The first match counts.
var bySubject = [][2]string{
	{"field", "field/"},
	{"hand", "readings/hands decisions/handdrop"},
	{"core", "resonator/ends forward/core forward/cores findings/plain"},
	{"parts", "forward/parts forward/top forward/own readings/used estimation/enlarge estimation/loosen findings/pulls findings/intercept decisions/preferred decisions/athand"},
	{"coupling", "coupling/ forward/couple forward/coupled forward/couplings estimation/startcouplings readings/primary"},
	{"losses", "loss/ estimation/losses findings/dispersion voltage/ decisions/stress"},
	{"bench", "forward/drift findings/drift estimation/alike readings/moments patterns/ findings/neighbours findings/repeated readings/blocks"},
	{"winding", "resonator/ drawing/ forward/winding forward/plain forward/mode forward/frequency forward/bounds forward/derived estimation/start estimation/startline estimation/derived estimation/surface estimation/straight decisions/rebuild decisions/redrawn decisions/sweep"},
	{"log", "readings/ estimation/states findings/misspelt"},
	{"priors", "forward/sigmas estimation/priorrows estimation/priors estimation/assumed estimation/assumption estimation/known estimation/origin estimation/movedprior quantities/known"},
	{"uncertainty", "forward/errors estimation/budget estimation/montecarlo estimation/profile estimation/joint estimation/weights estimation/widen estimation/degrees estimation/residual estimation/estimate quantities/"},
	{"fit", "forward/ estimation/"},
	{"advice", "findings/"},
	{"plans", "decisions/"},
	{"model", ""},
}

// references type-checks fit and the rooms of model, with everything else left out, and returns
// which of their files names something that another of them declares.
func references(t *testing.T) map[[2]string]bool {
	t.Helper()
	fset := token.NewFileSet()
	uses := map[*ast.Ident]types.Object{}
	root := filepath.Join("..", "..")
	name := func(p token.Pos) string {
		file := filepath.ToSlash(fset.Position(p).Filename)
		return strings.TrimSuffix(strings.TrimPrefix(file, "../../"), ".go")
	}
	done := map[string]*types.Package{}
	var load importer
	load = func(pkg string) (*types.Package, error) {
		if p := done[pkg]; p != nil {
			return p, nil
		}
		if !strings.HasPrefix(pkg, "fitcoil/model") && pkg != "fitcoil/fit" {
			p := types.NewPackage(pkg, path.Base(pkg))
			p.MarkComplete()
			return p, nil
		}
		parsed, err := filepath.Glob(filepath.Join(root, strings.TrimPrefix(pkg, "fitcoil/"), "*.go"))
		if err != nil {
			return nil, err
		}
		var files []*ast.File
		for _, f := range parsed {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			file, err := parser.ParseFile(fset, f, nil, 0)
			if err != nil {
				return nil, err
			}
			files = append(files, file)
		}
		c := types.Config{Importer: load, Error: func(error) {}} // names of gonum and of the library are missing
		p, _ := c.Check(pkg, fset, files, &types.Info{Uses: uses})
		done[pkg] = p
		return p, nil
	}
	rooms := must.Get(os.ReadDir(filepath.Join(root, "model"))).In(t)
	for _, r := range rooms {
		if r.IsDir() && r.Name() != "internal" && r.Name() != "testdata" {
			_, _ = load("fitcoil/model/" + r.Name())
		}
	}
	_, _ = load("fitcoil/model")
	found := map[[2]string]bool{}
	for id, o := range uses {
		if o.Pos().IsValid() && o.Pkg() != nil && done[o.Pkg().Path()] != nil {
			if from, to := name(id.Pos()), name(o.Pos()); from != to {
				found[[2]string{from, to}] = true
			}
		}
	}
	return found
}

type importer func(pkg string) (*types.Package, error)

func (i importer) Import(pkg string) (*types.Package, error) { return i(pkg) }

// roomOf returns the place in a layout of a file.
func roomOf(layout [][2]string, file string) int {
	return slices.IndexFunc(layout, func(room [2]string) bool {
		return room[1] == "" || slices.ContainsFunc(strings.Fields(room[1]), func(p string) bool {
			return p == file || strings.HasSuffix(p, "/") && strings.HasPrefix(file, p)
		})
	})
}

// backward counts the references between files of different rooms, and those from a room to a
// later one, the rooms standing in the given order.
func backward(layout [][2]string, order []int, found map[[2]string]bool) (all, back int, table map[[2]int]int) {
	table = map[[2]int]int{}
	for r := range found {
		if from, to := roomOf(layout, r[0]), roomOf(layout, r[1]); from != to {
			table[[2]int{from, to}]++
		}
	}
	for pair, n := range table {
		all += n
		if slices.Index(order, pair[1]) > slices.Index(order, pair[0]) {
			back += n
		}
	}
	return all, back, table
}

// fewest exchanges rooms, which stand in some order, while that leaves fewer references backward.
func fewest(order []int, table map[[2]int]int) []int {
	back := func(order []int) (n int) {
		for pair, k := range table {
			if slices.Index(order, pair[1]) > slices.Index(order, pair[0]) {
				n += k
			}
		}
		return n
	}
	for least, improved := back(order), true; improved; {
		improved = false
		for i := range order {
			for j := range i {
				order[i], order[j] = order[j], order[i]
				if n := back(order); n < least {
					least, improved = n, true
				} else {
					order[i], order[j] = order[j], order[i]
				}
			}
		}
	}
	return order
}

// No file of a room names anything of a later one. With a room for each subject, in the order
// that has the fewest, every fifth reference between rooms would.
func TestReferencesWalkOneWay(t *testing.T) {
	found := map[[2]string]bool{}
	for r := range references(t) {
		from, to := strings.TrimPrefix(r[0], "model/"), strings.TrimPrefix(r[1], "model/")
		if !slices.ContainsFunc(r[:], func(file string) bool {
			return !strings.HasPrefix(file, "model/") || strings.HasPrefix(file, "model/ringing/") || strings.HasPrefix(file, "model/resonance/")
		}) {
			found[[2]string{from, to}] = true
		}
	}
	if len(found) < 500 {
		t.Fatalf("only %d references found", len(found))
	}
	for name, layout := range map[string][][2]string{"by way": byWay, "by subject": bySubject} {
		order := make([]int, len(layout))
		for i := range order {
			order[i] = i
		}
		_, _, table := backward(layout, order, found)
		if name == "by subject" {
			order = fewest(order, table)
		}
		all, back, _ := backward(layout, order, found)
		t.Logf("%s: of %d references from file to file %d between rooms, %d backward", name, len(found), all, back)
		for _, from := range order {
			line := fmt.Sprintf("%-12s", layout[from][0])
			for _, to := range order {
				line += fmt.Sprintf("%5d", table[[2]int{from, to}])
			}
			if *drawRooms {
				t.Log(line)
			}
		}
		if (back == 0) != (name == "by way") {
			t.Errorf("%s: %d backward", name, back)
		}
	}
}

// Within a room too: no file of fit or model needs another that needs it, on whatever way.
func TestNoFilesInACircle(t *testing.T) {
	needs := map[string][]string{}
	for r := range references(t) {
		needs[r[0]] = append(needs[r[0]], r[1])
	}
	if len(needs) < 150 {
		t.Fatalf("only %d files need others", len(needs))
	}
	done := map[string]bool{}
	var visit func(file string, way []string)
	visit = func(file string, way []string) {
		if i := slices.Index(way, file); i >= 0 {
			t.Errorf("a circle: %s", strings.Join(append(way[i:], file), " → "))
			return
		}
		if done[file] {
			return
		}
		for _, to := range needs[file] {
			visit(to, append(slices.Clip(way), file))
		}
		done[file] = true
	}
	for file := range needs {
		visit(file, nil)
	}
}
