package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// What docs/budget.md says of trials and profiles of the demo is what the program finds.
func TestBudgetPageNumbers(t *testing.T) {
	content := must.Get(os.ReadFile(filepath.Join("..", "..", "docs", "budget.md"))).In(t)
	page := strings.Join(strings.Fields(string(content)), " ")
	var out, errors bytes.Buffer
	args := []string{"fit", filepath.Join(demo, "lighthouse.csv"), "--profile", "--monte-carlo", "100000", "--json"}
	if code := run(args, streams{in: os.Stdin, out: &out, err: &errors}); code != exitAnswered {
		t.Fatal(code, errors.String())
	}
	var d struct {
		Derived []*struct {
			Name        string
			Uncertainty float64    `json:"standard_uncertainty"`
			Interval    [2]float64 `json:"interval_95"`
			Linear      [2]float64 `json:"linear_interval_95"`
		}
		Covariance struct {
			Names  []string
			Matrix [][]float64
		}
		MonteCarlo struct {
			Quantities []struct {
				Name      string
				U         float64    `json:"standard_uncertainty"`
				Shortest  [2]float64 `json:"shortest_interval_95"`
				Tolerance float64    `json:"numerical_tolerance"`
				Validated bool
			}
		} `json:"monte_carlo"`
		Profiles []struct {
			Name     string
			Interval [2]float64 `json:"interval_95"`
		}
	}
	must.Do(t, json.Unmarshal(out.Bytes(), &d))
	says := func(format string, v ...any) {
		t.Helper()
		if want := fmt.Sprintf(format, v...); !strings.Contains(page, want) {
			t.Errorf("the page doesn't say %q", want)
		}
	}
	const l = "effective_inductance"
	between := func(i [2]float64) string { return fmt.Sprintf("%.3f to %.3f mH", 1e3*i[0], 1e3*i[1]) }
	var linear [2]float64
	var u float64
	for _, e := range d.Derived {
		if e.Name == l {
			linear, u = e.Linear, e.Uncertainty
		}
	}
	valid := 0
	for _, q := range d.MonteCarlo.Quantities {
		if q.Validated {
			valid++
		}
		if q.Name == l {
			says("give u(L) = %.3f mH in place of %.3f mH, and a shortest 95 %% interval of %s in place of %s", 1e3*q.U, 1e3*u, between(q.Shortest), between(linear))
			says("δ = %.3f mH", 1e3*q.Tolerance)
		}
	}
	says("%d of the demo's %d quantities are", valid, len(d.MonteCarlo.Quantities))
	for _, p := range d.Profiles {
		if p.Name == l {
			says("in a moment: %s, by profile likelihood", between(p.Interval))
		}
	}
	at := map[string]int{}
	for i, name := range d.Covariance.Names {
		at[name] = i
	}
	m, i, j := d.Covariance.Matrix, at[l], at["effective_capacitance"]
	says("have r = −%.4f", -m[i][j]/math.Sqrt(m[i][i]*m[j][j]))
}
