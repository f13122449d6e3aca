package main

import (
	"bytes"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"fitcoil/internal/must"
)

// onTerminal runs a command line on a terminal that is told at once how far the work is.
func onTerminal(t *testing.T, args ...string) answer {
	t.Helper()
	defer func(was time.Duration) { patience = was }(patience)
	patience = 0
	var out, told bytes.Buffer
	code := run(args, streams{in: strings.NewReader(""), out: &out, err: &told, terminal: true})
	return answer{code, out.String(), told.String()}
}

// doneOf lists what a terminal was told of to the last step.
func doneOf(told string) string {
	var done []string
	for _, m := range regexp.MustCompile(`\r(\d+) of (\d+) ([^\r\n]+)\n`).FindAllStringSubmatch(told, -1) {
		if done = append(done, m[3]); m[1] != m[2] {
			done = append(done, m[1], m[2])
		}
	}
	return strings.Join(done, ", ")
}

// What takes more than a second is told of on a terminal, step by step in one line that ends with the last;
// anywhere else, or with --quiet, nothing is.
func TestProgressAfterASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, c := range []struct {
			terminal, quiet bool
			want            string
		}{{true, false, "\r2 of 3 drawings\r3 of 3 drawings\n"}, {true, true, ""}, {false, false, ""}} {
			begun := func() (*call, *strings.Builder) {
				bar := &strings.Builder{}
				return &call{streams: streams{bar: bar, terminal: c.terminal}, opt: options{quiet: c.quiet}}, bar
			}
			run, bar := begun()
			step := run.progress("drawings", 3)
			time.Sleep(time.Second - 1)
			step()
			time.Sleep(time.Nanosecond)
			step()
			step()
			if bar.String() != c.want {
				t.Errorf("%+v: %q", c, bar)
			}
			run, bar = begun()
			steps := run.steps("drawings") // counted from the first
			steps(1, 3)
			time.Sleep(time.Second)
			steps(2, 3)
			steps(3, 3)
			if bar.String() != c.want {
				t.Errorf("%+v: %q", c, bar)
			}
			run, bar = begun()
			share := run.share("read")
			time.Sleep(time.Second)
			share(0.019)
			share(0.02)
			share(1)
			want := ""
			for i := 1; i <= 100 && c.want != ""; i++ {
				want += fmt.Sprintf("\r%d of 100 %% read", i)
			}
			if want != "" {
				want += "\n"
			}
			if bar.String() != want {
				t.Errorf("%+v: %q", c, bar)
			}
		}
	})
}

// A terminal is told what is being worked on: reading and analysing a capture, trials, the conditions of a
// page. (Drawings: TestRedrawnWays, TestFiguresByDirectCalls. Profiles: TestExtrasByDirectCalls.)
func TestProgressSaysOfWhat(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("ring.csv", []byte(ringDown(1e-8, 5e-6, 2000)), 0o666))
	for line, want := range map[string]string{
		"capture ring.csv":                            "% read, % analysed",
		"capture ring.csv --quiet":                    "",
		"fit few.csv":                                 "",
		"report few.csv --monte-carlo 1000 -o p.html": "trials at most, conditions sampled for the sliders",
	} {
		a := onTerminal(t, strings.Fields(line)...)
		if got := doneOf(a.err); got != want {
			t.Errorf("%s: told of %q, want %q\n%q", line, got, want, a.err)
		}
	}
}

// What help calls a default is what is done without the flag, and nothing else is.
func TestDefaultsAreThoseTold(t *testing.T) {
	inWired(t)
	must.Do(t, os.WriteFile("one.csv", []byte("frequency [MHz],frequency ± [kHz]\n2.519,0.8\n"), 0o666))
	lines := map[string]struct{ line, preset, other string }{
		"tolerance": {"fit few.csv --csv", "5%", "4%"},
		"seed":      {"fit few.csv --csv --monte-carlo 1000", "1", "2"},
		"how-many":  {"next few.csv --for L", "1", "2"},
		"list":      {"next one.csv --full --for L --have 1pF,2.2pF,3.3pF,4.7pF,10pF,15pF,22pF,33pF", "10", "9"},
		"format":    {preset: "svg and png"},
	}
	told := regexp.MustCompile(`\(default ([^)]+)\)`)
	for _, v := range verbs() {
		for _, f := range v.flagTable() {
			m, c := told.FindStringSubmatch(f.Text), lines[f.Name]
			if m == nil && c.preset != "" || m != nil && m[1] != c.preset {
				t.Errorf("%s --%s: %s, want a default of %q", v.name, f.Name, f.Text, c.preset)
			}
		}
	}
	for name, c := range lines {
		if c.line == "" {
			continue
		}
		given := func(flag ...string) string { return ask("", append(strings.Fields(c.line), flag...)...).out }
		if plain := given(); plain == "" || plain != given("--"+name, c.preset) || plain == given("--"+name, c.other) {
			t.Errorf("%s without --%s isn't that with %s", c.line, name, c.preset)
		}
	}
	a := ask("", "predict", "few.csv", "--plots", "p")
	var names []string
	for _, e := range must.Get(os.ReadDir("p")).In(t) {
		names = append(names, e.Name())
	}
	if a.err != "fitcoil: note: p: drew predictions, as svg and png\n" || !slices.Equal(names, []string{"predictions.png", "predictions.svg"}) {
		t.Errorf("%s%q", a.err, names)
	}
}
