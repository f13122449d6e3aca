package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/recomputed"
)

// decided collects what the verbs tell of the demo in JSON, as the rows of the table:
// verb, quantity, of what → numbers, and beside each how far it may be off.
type decided struct {
	t    *testing.T
	rows map[string][]near
}

// near is a number, and how much another may differ.
type near struct{ value, scale float64 }

// agree is how far a number may be off, in uncertainties.
const agree = 1e-3

func (d *decided) row(verb, quantity, of string, numbers ...near) {
	d.rows[fmt.Sprint([]string{verb, quantity, of})] = numbers
}

// relative are numbers that agree to a part of themselves.
func relative(values ...float64) (list []near) {
	for _, v := range values {
		list = append(list, near{v, math.Abs(v)})
	}
	return list
}

// of is a number that agrees to a part of u.
func of(v, u float64) near { return near{v, u} }

func (d *decided) json(out any, command ...string) {
	d.t.Helper()
	a := ask("", append(command, "--json")...)
	if a.code != exitAnswered {
		d.t.Fatalf("%q: exit code %d: %s", command, a.code, a.err)
	}
	must.Do(d.t, json.Unmarshal([]byte(a.out), out))
}

func (d *decided) predictions() {
	for _, state := range []string{"bare", "added=3.3pF", "hand=20cm", "core=rod", "core=rod added=10pF"} {
		var p struct {
			Frequency struct {
				told
				New [2]float64 `json:"prediction_interval_95"`
			}
		}
		d.json(&p, append([]string{"predict", "lighthouse.csv"}, strings.Fields(state)...)...)
		f := &p.Frequency
		u := *f.Uncertainty
		d.row("predict", "frequency", state, of(*f.Value, u), of(u, u), of(f.Interval[0], u), of(f.Interval[1], u), of(f.New[0], u), of(f.New[1], u))
	}
}

func (d *decided) budgets() {
	for name, goal := range map[string]string{"effective_inductance": "L", "core_gain": "core_gain:rod"} {
		var b struct {
			Quantity told
			Inputs   []struct {
				Name                             string
				Line                             int
				Sensitivity, Contribution, Share float64
				Uncertainty                      float64 `json:"standard_uncertainty"`
			} `json:"input_quantities"`
		}
		d.json(&b, "budget", "lighthouse.csv", "--for", goal)
		for _, in := range b.Inputs {
			numbers := []near{{math.NaN(), 0}, of(in.Contribution, *b.Quantity.Uncertainty), of(in.Share, 1)}
			if in.Line > 0 {
				in.Name = fmt.Sprintf("line %d", in.Line)
				numbers[0] = relative(in.Uncertainty)[0]
			}
			if c := in.Sensitivity * in.Uncertainty; math.Abs(c-in.Contribution) > 1e-9*math.Abs(c) {
				d.t.Errorf("budget of %s: %s contributes %v by its sensitivity, %v is told", name, in.Name, c, in.Contribution)
			}
			d.row("budget", name, in.Name, numbers...)
		}
	}
}

func (d *decided) comparison() {
	var c struct {
		Changes []struct {
			A, Difference told
			Sigmas        float64
			PValue        float64 `json:"p_value"`
		}
	}
	d.json(&c, "compare", "lighthouse.csv", "rebuilt.csv")
	for _, x := range c.Changes {
		if e := &x.Difference; e.Determined {
			label := x.A.Core + x.A.Part
			if x.A.Hand > 0 {
				label = strconv.FormatFloat(x.A.Hand, 'g', 9, 64)
			}
			u := *e.Uncertainty
			// Far out in its tail p is the steeper the more sigmas there are.
			d.row("compare", x.A.Name, label, of(*e.Value, u), of(u, u), of(e.Interval[0], u), of(e.Interval[1], u), of(x.Sigmas, math.Max(1, math.Abs(x.Sigmas))), of(x.PValue, 1))
		}
	}
}

func (d *decided) steps() {
	var n struct {
		Candidates []struct {
			What  string
			After told
		}
	}
	d.json(&n, "next", "lighthouse.csv", "--for", "L")
	for _, c := range n.Candidates {
		// An inductance has its interval in the logarithm.
		e := &c.After
		if lo, hi := math.Log(e.Interval[0] / *e.Value), math.Log(e.Interval[1] / *e.Value); math.Abs(lo+hi) > 1e-9 || hi < 1.9**e.Uncertainty / *e.Value || hi > 3**e.Uncertainty / *e.Value {
			d.t.Errorf("%s: %v ± %v in %v", c.What, *e.Value, *e.Uncertainty, *e.Interval)
		}
		d.row("next", "effective_inductance", c.What, relative(*c.After.Uncertainty)...)
	}
}

// What predict, budget, compare and next tell of the demo in JSON, against what
// scripts/recompute worked out from docs/mathematics.md with no code in common.
func TestDecisionsAgainstRecomputed(t *testing.T) {
	rows := recomputed.Table(t, "decisions")
	t.Chdir("../../testdata")
	d := &decided{t, map[string][]near{}}
	d.predictions()
	d.budgets()
	d.comparison()
	d.steps()
	if len(d.rows) != len(rows) {
		t.Errorf("%d rows in JSON, %d in the table", len(d.rows), len(rows))
	}
	for _, row := range rows {
		key := fmt.Sprint([]string{row[0], row[1], strings.ReplaceAll(row[2], ";", ",")})
		numbers, ok := d.rows[key]
		if !ok {
			t.Errorf("%s: not in JSON", key)
		}
		for i, n := range numbers {
			if row[3+i] == "" && math.IsNaN(n.value) {
				continue
			}
			if want, err := strconv.ParseFloat(row[3+i], 64); err != nil || !(math.Abs(n.value-want) <= agree*n.scale) {
				t.Errorf("%s, column %d: %.9g, want %.9g (%.2g of what it may differ by)", key, i+1, n.value, want, math.Abs(n.value-want)/n.scale/agree)
			}
		}
	}
}
