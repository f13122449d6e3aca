// Mutate makes small errors in the program, one at a time, and says which of them the tests
// notice: it draws lines by chance, all alike, and on each an error (an operator swapped, a
// constant 1.1 times too large, a statement left out, ...). Tests that compare with files of
// the program's own output don't count. From the top folder:
//
//	go run ./scripts/mutate -seed 7 -n 20
package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"go/build"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

// goldens are the tests that compare with the program's own output.
const goldens = "^(TestPages|TestCaptures|TestBroken|TestScripts|TestDocumentsShowWhatCommandsPrint|TestGenerated)$"

// settings are how to try.
type settings struct {
	seed       uint64
	n          int
	alone      bool
	only, pick string
	limit      time.Duration
}

func main() {
	var how settings
	flag.Uint64Var(&how.seed, "seed", 1, "of the drawing")
	flag.IntVar(&how.n, "n", 20, "how many errors")
	flag.BoolVar(&how.alone, "own", false, "run the own tests of the package only")
	flag.StringVar(&how.only, "only", "", "draw only in folders that begin with this")
	flag.StringVar(&how.pick, "pick", "", "try only these of the drawing, as 3,17")
	flag.DurationVar(&how.limit, "limit", 4*time.Minute, "for the tests of one package, and for those of all others together")
	flag.Parse()
	if err := run(how); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(how settings) error {
	lines, err := linesOf(how.only)
	if err != nil {
		return err
	}
	folder, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	r := rand.New(rand.NewPCG(how.seed, 0))
	r.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
	killed, valid, open := 0, 0, 0
	for i, line := range lines {
		if valid == how.n {
			break
		}
		p := line[r.IntN(len(line))]
		if how.pick != "" && !strings.Contains(","+how.pick+",", fmt.Sprintf(",%d,", i)) {
			continue
		}
		overlay, err := p.apply(folder)
		if err != nil {
			return err
		}
		own := "./" + filepath.Dir(p.file)
		if exec.Command("go", "build", "-overlay", overlay, "-o", os.DevNull, own).Run() != nil {
			continue // It isn't Go.
		}
		valid++
		before, after := p.lines()
		fmt.Printf("%d.%d %s:%d %s\n  - %s\n  + %s\n", how.seed, i, p.file, p.line, p.kind, before, after)
		by := killer(overlay, own, how)
		fmt.Printf("  %s\n", by)
		switch {
		case strings.HasPrefix(by, noAnswer):
			open++
		case by != "SURVIVES":
			killed++
		}
	}
	fmt.Printf("%d of %d noticed, %d without an answer\n", killed, valid, open)
	return nil
}

// linesOf returns the points of all lines of the program that have any.
func linesOf(only string) (lines [][]point, err error) {
	err = filepath.WalkDir(".", func(name string, d os.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (name == "scripts" || name == "internal" || name == filepath.Join("model", "internal")):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || !strings.HasPrefix(name, only):
			return nil
		}
		if here, err := build.Default.MatchFile(filepath.Split(name)); err != nil || !here {
			return err // of another system: nothing here would notice
		}
		source, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		points, err := pointsOf(name, source)
		byLine := map[int]int{}
		for _, p := range points {
			at, ok := byLine[p.line]
			if !ok {
				at = len(lines)
				byLine[p.line] = at
				lines = append(lines, nil)
			}
			lines[at] = append(lines[at], p)
		}
		return err
	})
	return lines, err
}

// apply writes the file with the error, and what tells the go command to take it.
func (p point) apply(folder string) (overlay string, err error) {
	source, err := os.ReadFile(p.file)
	if err != nil {
		return "", err
	}
	wrong := filepath.Join(folder, filepath.Base(p.file))
	if err := os.WriteFile(wrong, []byte(string(source[:p.from])+p.with+string(source[p.to:])), 0o666); err != nil {
		return "", err
	}
	right, err := filepath.Abs(p.file)
	if err != nil {
		return "", err
	}
	text, err := json.Marshal(map[string]map[string]string{"Replace": {right: wrong}})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(folder, "overlay.json")
	return overlay, os.WriteFile(overlay, text, 0o666)
}

// lines shows the line, without and with the error.
func (p point) lines() (before, after string) {
	source, _ := os.ReadFile(p.file)
	start := strings.LastIndexByte(string(source[:p.from]), '\n') + 1
	end := p.to + strings.IndexByte(string(source[p.to:]), '\n')
	one := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return one(string(source[start:end])), one(string(source[start:p.from]) + p.with + string(source[p.to:end]))
}

// noAnswer begins what is said where tests took too long, be it for the error or for a busy
// machine: try again with a larger -limit.
const noAnswer = "no answer in time: "

// killer returns which test notices first: one of the own package, or else of any other. The go
// command runs those alone that the error reaches.
func killer(overlay, own string, how settings) string {
	calls := [][]string{{"-skip", goldens, own}}
	if !how.alone {
		calls = append(calls, []string{"-skip", goldens, "./..."},
			[]string{"-run", "^TestScripts$", "./cmd/fitcoil", "-any-golden"}) // what scripts say of outputs without comparing them whole
	}
	for _, call := range calls {
		ctx, cancel := context.WithTimeout(context.Background(), how.limit)
		cmd := exec.CommandContext(ctx, "go", append([]string{"test", "-overlay", overlay, "-vet=off", "-short", "-failfast"}, call...)...)
		cmd.WaitDelay = time.Second
		out, err := cmd.CombinedOutput()
		cancel()
		if errors.Is(ctx.Err(), context.DeadlineExceeded) {
			return noAnswer + strings.Join(call, " ")
		}
		if err != nil {
			for l := range strings.Lines(string(out)) {
				if strings.Contains(l, "FAIL") || strings.HasPrefix(l, "panic:") {
					return call[2] + ": " + strings.TrimSpace(l)
				}
			}
			return call[2] + " doesn't build"
		}
	}
	return "SURVIVES"
}
