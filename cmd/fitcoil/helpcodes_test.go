package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/outfile"
	"fitcoil/model/estimation"
)

// The help of a verb names each of its flags once: with a text, or at the end where few need it.
func TestHelpNamesEachFlag(t *testing.T) {
	few := strings.Fields("new-bench top-voltage sweep csv seed tolerance lumped robust format force quiet")
	for _, v := range verbs() {
		text := v.manual()
		if a := ask("", "help", v.name); a.out != text || a.code != 0 {
			t.Errorf("help %s is another text: %s", v.name, a.err)
		}
		_, shown, _ := strings.Cut(text, "\nFlags:\n")
		shown, _, _ = strings.Cut(shown, "\n\n")
		shown, rest, _ := strings.Cut("\n"+shown, "\n  and ")
		for _, f := range v.flagTable() {
			rare := slices.Contains(few, f.Name) || f.Name == "known-from" && v.name != "fit"
			if strings.Count(shown, "\n  "+f.Usage()+" ") != map[bool]int{false: 1}[rare] || slices.Contains(strings.Fields(rest), "--"+f.Name) != rare {
				t.Errorf("%s: --%s stands in\n%s\n%s", v.name, f.Name, shown, rest)
			}
		}
		want := v.synopsis()
		if len(v.flagTable()) > 0 {
			want += " [flags]"
		}
		if !strings.HasPrefix(text, "fitcoil "+v.name+": "+v.brief+"\n\nUsage: "+want+"\n\n") || !strings.HasSuffix(text, "\n"+ending) {
			t.Errorf("%s", text)
		}
		for _, e := range v.example {
			if !strings.Contains(text, "\n  "+e+"\n") {
				t.Errorf("%s: no example %s", v.name, e)
			}
		}
	}
}

// Each class of failure has its exit code, however deep it lies, and one beginning.
func TestCodesOfFailures(t *testing.T) {
	for _, c := range []struct {
		err  error
		code int
		text string
	}{
		{usagef("--x %d", 3), 2, "fitcoil: --x 3"},
		{fmt.Errorf("a: %w", usagef("b")), 2, "fitcoil: a: b"},
		{misplaced(cells.Fault{File: "a.csv", Line: 3, Problem: "no"}), 3, "a.csv:3: no"},
		{&sheetError{"-", "no coil"}, 3, "fitcoil: standard input: no coil"},
		{&unreadableError{"a.csv", fs.ErrPermission}, 4, "fitcoil: can't read a.csv: you have no permission; ask its owner for it"},
		{&unreadableError{"a.csv", errFolder}, 4, "fitcoil: can't read a.csv: it is a folder; name a file in it"},
		{&outfile.Error{Path: "a.csv", Cause: outfile.Failed, Err: errClosedPipe}, 5, ""},
		{&captureError{"a.csv", errors.New("no tone")}, 6, "fitcoil: a.csv: no tone"},
		{estimation.ErrNoReadings, 6, "fitcoil: every reading is marked as not used; set use to yes for those to fit"},
		{&internalError{"x\n  y"}, 1, "fitcoil: this is a fault of fitcoil, not of yours: please report it with the command and its input (x y)"},
		{errors.New("x"), 1, "fitcoil: this is a fault of fitcoil, not of yours: please report it with the command and its input (x)"},
	} {
		if code, text := outcome(c.err); code != c.code || text != c.text {
			t.Errorf("%d %q, want %d %q", code, text, c.code, c.text)
		}
	}
}
