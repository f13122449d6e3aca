package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/report"
	"fitcoil/model/decisions"
)

// Each way to a frequency, taken, leads there: a core that is in is drawn out, a capacitor added. Parts
// at hand are those whose value is known. (A clip comes with a part that no reading had.)
func TestWaysLeadThere(t *testing.T) {
	inDemo(t)
	type state struct {
		Added   []string
		Core    string
		Covered [2]float64
	}
	type frequency struct{ Value float64 }
	for _, c := range []struct {
		from, target, by string
		hertz            float64
		then             func(setting float64) string
	}{
		{"core=rod", "2.1MHz", "covered", 2.1e6, func(v float64) string { return fmt.Sprintf("core=rod covered=%v%%", 100*v) }},
		{"core=rod", "1.5MHz", "added", 1.5e6, func(v float64) string { return fmt.Sprintf("core=rod added=%vpF", 1e12*v) }},
		{"bare", "1.5MHz", "added", 1.5e6, func(v float64) string { return fmt.Sprintf("added=%vpF", 1e12*v) }},
	} {
		var out struct {
			Ways []struct {
				By        string
				Reachable bool
				Setting   struct{ Value float64 }
				At        struct{ State state }
			}
			Parts []struct {
				State     state
				Frequency frequency
			} `json:"parts_at_hand"`
		}
		must.Do(t, json.Unmarshal([]byte(ask("", "predict", "lighthouse.csv", c.from, "--reach", c.target, "--json").out), &out))
		taken := false
		for _, w := range out.Ways {
			if w.By != c.by || !w.Reachable {
				continue
			}
			taken = true
			var p struct{ Frequency frequency }
			must.Do(t, json.Unmarshal([]byte(ask("", "predict", "lighthouse.csv", c.then(w.Setting.Value), "--json").out), &p))
			if f := p.Frequency.Value; !(math.Abs(f/c.hertz-1) <= 2e-3) {
				t.Errorf("from %s by %s: %v Hz, want %v", c.from, c.by, f, c.hertz)
			}
		}
		if !taken {
			t.Errorf("from %s to %s by %s: no way", c.from, c.target, c.by)
		}
		if c.by == "added" && len(out.Parts) == 0 {
			t.Errorf("from %s to %s: no parts at hand", c.from, c.target)
		}
		for _, p := range out.Parts {
			for _, name := range p.State.Added {
				if !strings.HasSuffix(name, " pF") {
					t.Errorf("part %q, without a value, is said to be at hand", name)
				}
			}
		}
	}
}

// What to read next is told beside one state; of several, nobody knows for which.
func TestNextBesideOneState(t *testing.T) {
	inDemo(t)
	for args, told := range map[string]bool{"added=3.3pF": true, "added=3.3pF / hand=12cm": false} {
		text := ask("", append([]string{"predict", "lighthouse.csv"}, shellWords(args)...)...).out
		if strings.Contains(text, "\nNext ") != told {
			t.Errorf("%s:\n%s", args, text)
		}
	}
}

// Changes of the drawing that lead there stand before those that don't.
func TestReachableFirst(t *testing.T) {
	if there := (report.Redrawn{Redrawn: decisions.Redrawn{Reachable: true}}); !(rank(there) < rank(report.Redrawn{})) {
		t.Errorf("%d and %d", rank(there), rank(report.Redrawn{}))
	}
}
