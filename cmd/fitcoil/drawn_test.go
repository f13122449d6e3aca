package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
)

// Where figures are drawn, the folder has a file of each and the note names them: those of all that the log
// tells and the flags ask for, in each form.
func TestFiguresOfVerbs(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, content := range map[string]string{"ring.csv": ringDown(1e-8, 5e-6, 2000), "drive.csv": drive(),
		"t.csv": "frequency [MHz],added [pF]\n2.519,\n1.612,4.7\n1.231,10\n",
		"p.csv": "frequency [MHz],added [pF],core,primary,quality factor\n2.519,,,open,84\n1.937,2.2,,,88\n1.230,10,,,95\n2.566,,,shorted,80\n1.785,,rod,,60\n0.874,10,rod,,70\n1.846,,rod,shorted,58\n2.519,,,,84\n"} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
	}
	const fitted = "frequency inverse-square inductance-capacitance variance-budget priors " +
		"residuals-added-capacitance residuals-run-order residuals-by-state residuals-normal-quantiles correlations"
	for line, want := range map[string]string{
		"fit p.csv --json":                   fitted + " coupling losses",
		"fit t.csv --csv --profile --lumped": fitted + " profiles",
		"predict t.csv added=3.3pF":          "predictions",
		"capture ring.csv --row bare":        "capture",
		"capture ring.csv drive.csv --json":  "resonance capture",
		"capture drive.csv --format":         "resonance",
	} {
		line, both := strings.CutSuffix(line, " --format")
		for format, forms := range map[string][]string{"": {"svg", "png"}, "svg": {"svg"}} {
			if both != (format == "") {
				continue
			}
			folder := t.TempDir()
			args := append(strings.Fields(line), "--plots", folder)
			if format != "" {
				args = append(args, "--format", format)
			}
			a := ask("", args...)
			var files, expected []string
			for _, e := range must.Get(os.ReadDir(folder)).In(t) {
				files = append(files, e.Name())
			}
			for _, name := range strings.Fields(want) {
				for _, form := range forms {
					expected = append(expected, name+"."+form)
				}
			}
			slices.Sort(expected)
			said := fmt.Sprintf("fitcoil: note: %s: drew %s, as %s\n", folder, strings.Join(strings.Fields(want), ", "), strings.Join(forms, " and "))
			if a.code != 0 || a.out == "" || !slices.Equal(files, expected) || !strings.Contains(a.err, said) {
				t.Errorf("%s: exit code %d, drew %q, want %q\n%s", line, a.code, files, expected, a.err)
			}
		}
	}
}

// Figures are drawn again into their folder, but not over what somebody else put there, unless by force; a page
// has the figure of profiles that are asked for.
func TestFiguresDrawnAgain(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("t.csv", []byte("frequency [MHz],added [pF]\n2.519,\n1.612,4.7\n1.231,10\n"), 0o666))
	line := strings.Fields("predict t.csv --lumped --plots p --format svg")
	for range 2 {
		if a := ask("", line...); a.code != 0 {
			t.Errorf("exit code %d: %s", a.code, a.err)
		}
	}
	drawn := text(t, "p/predictions.svg")
	must.Do(t, os.WriteFile("p/predictions.svg", []byte("mine"), 0o666))
	if a := ask("", line...); a.code != exitUnwritable || text(t, "p/predictions.svg") != "mine" || a.err != "fitcoil: can't write p/predictions.svg: it exists; choose another name, or overwrite it with --force\n" {
		t.Errorf("exit code %d: %s", a.code, a.err)
	}
	if a := ask("", append(line, "--force")...); a.code != 0 || text(t, "p/predictions.svg") != drawn {
		t.Errorf("exit code %d: %s", a.code, a.err)
	}
	const title = "Do standard uncertainties and correlations tell enough?"
	for flag, want := range map[string]bool{"--profile": true, "--robust": false} {
		if a := ask("", "report", "t.csv", "--lumped", flag, "-o", "-"); a.code != 0 || strings.Contains(a.out, title) != want {
			t.Errorf("%s: exit code %d, profiles are drawn: %v", flag, a.code, !want)
		}
	}
	if a := ask("", "report", "t.csv", "--lumped", "-o", "page.html"); a != (answer{0, "", "fitcoil: note: wrote page.html\n"}) || !strings.HasPrefix(text(t, "page.html"), "<!") {
		t.Errorf("%+v", a)
	}
}

// What is at hand is told to a log at the bench before what is to be found out: a goal may be of a core that no
// reading has.
func TestGoalOfACoreAtHand(t *testing.T) {
	t.Chdir(t.TempDir())
	must.Do(t, os.WriteFile("t.csv", []byte("frequency [MHz],added [pF],core\n2.519,,\n1.612,4.7,\n1.231,10,\n"), 0o666))
	if a := ask(".\n", "log", "t.csv", "--lumped", "--for", "gain:beads", "--have", "core=beads"); a.code != 0 || !strings.Contains(a.out, "\nnext: core=beads (no reading has this core yet)\n") || strings.Contains(a.out, "L is") {
		t.Errorf("%+v", a)
	}
	if a := ask(".\n", "log", "t.csv", "--lumped", "--for", "gain:beads"); a.code != exitUsage || a.out != "" || !strings.HasPrefix(a.err, "fitcoil: --for: read \"gain:beads\", expected L, C, gain") {
		t.Errorf("%+v", a)
	}
}

// A capture taken in at the bench is the row that fitcoil capture makes of it: no flag of capture is given
// there, and none is as if given.
func TestCapturesAtTheBenchAreThoseOfCapture(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, content := range map[string]string{"ring.csv": ringDown(1e-8, 5e-6, 2000), "drive.csv": drive()} {
		must.Do(t, os.WriteFile(name, []byte(content), 0o666))
		c, _ := asking(t, logVerb(), "log.csv")
		row := must.Get(c.oneCapture(name, []string{"core=rod", "added=4.7pF"})).In(t)
		content, unplaced, err := benchlog.Append(nil, "log.csv", row)
		must.Do(t, err)
		if a := ask("", "capture", name, "--row", "core=rod added=4.7pF"); a.code != 0 || a.out != string(content) || len(unplaced) > 0 || !strings.Contains(a.out, "rod") {
			t.Errorf("%s: at the bench\n%s%q\nas a row\n%s%s", name, content, unplaced, a.out, a.err)
		}
	} // Several captures are a row each, in the order of their files.
	must.Do(t, os.WriteFile("ring2.csv", []byte(ringDown(1e-8, 4e-6, 1500)), 0o666))
	head, first, _ := strings.Cut(ask("", "capture", "ring.csv", "--row", "bare").out, "\n")
	_, second, _ := strings.Cut(ask("", "capture", "ring2.csv", "--row", "bare").out, "\n")
	for line, want := range map[string]string{"ring.csv ring2.csv": first + second, "ring2.csv ring.csv": second + first} {
		a := ask("", append(append([]string{"capture"}, strings.Fields(line)...), "--row", "bare")...)
		if a.code != 0 || a.out != head+"\n"+want || first == second || strings.Count(want, "\n") != 2 {
			t.Errorf("%s: exit code %d\n%s, want\n%s\n%s", line, a.code, a.out, head, want)
		}
	}
}
