package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/recomputed"
)

// The numbers in JSON against those that scripts/recompute worked out, from
// docs/mathematics.md and with no code in common: of the demo, of few readings and of many, of
// a log with a slip, also with --robust, and of one with the share of the top at its bound.
func TestJSONAgainstRecomputed(t *testing.T) {
	for table, args := range map[string][]string{
		"lighthouse":  {"../../testdata/lighthouse.csv"},
		"few":         {"../../testdata/recomputed/logs/few.csv"},
		"many":        {"../../testdata/recomputed/logs/many.csv"},
		"slip":        {"../../testdata/recomputed/logs/slip.csv"},
		"slip-robust": {"../../testdata/recomputed/logs/slip.csv", "--robust"},
		"bound":       {"../../testdata/recomputed/logs/bound.csv"},
	} {
		t.Run(table, func(t *testing.T) { againstRecomputed(t, table, args) })
	}
}

// againstRecomputed compares what fit tells with a table: within 1e-3 of the uncertainty, where
// the fit ends; S and T end within 1e-3 of themselves, and ends of intervals come as close.
func againstRecomputed(t *testing.T, table string, args []string) {
	rows := recomputed.Table(t, table)
	got := toldOf(t, args...)
	if len(got) != len(rows) {
		t.Errorf("%d quantities and readings in JSON, %d in the table", len(got), len(rows))
	}
	for _, row := range rows {
		key := fmt.Sprint(row[:4])
		now, ok := got[key]
		if !ok || (now == nil) != (row[4] == "undetermined") {
			t.Errorf("%s: %v, want %v", key, now, row[4:])
			continue
		}
		scale := 0.0 // of an estimate, its uncertainty
		for i, v := range now {
			if row[4] == "bound" && i != 3 {
				if i < 3 && v != 0 {
					t.Errorf("%s, column %d: %.9g at a bound", key, 5+i, v)
				}
				continue
			}
			want := must.Get(strconv.ParseFloat(row[4+i], 64)).In(t)
			room := 1e-3
			switch {
			case strings.HasPrefix(row[0], "line ") && i == 0: // a residual
				standardised, _ := strconv.ParseFloat(row[5], 64)
				leverage, _ := strconv.ParseFloat(row[6], 64)
				scale = math.Abs(want/standardised) / math.Sqrt(1-leverage) // the reading's u
			case strings.HasPrefix(row[0], "line ") && i == 1:
				scale = math.Max(1, math.Abs(want))
			case strings.HasPrefix(row[0], "line ") && i == 3: // goes with the square of the last
				scale = math.Max(0.1, 2*math.Abs(want))
			case !strings.HasPrefix(row[0], "line ") && len(now) == 5 && i < 4 && row[4] != "bound":
				scale, _ = strconv.ParseFloat(row[5], 64)
			default:
				scale = math.Max(1e-3, math.Abs(want))
				if row[4] == "bound" {
					scale = want
				}
			}
			if !(math.Abs(v-want) <= room*scale) {
				t.Errorf("%s, column %d: %.9g, want %.9g", key, 5+i, v, want)
			}
		}
	}
}

// toldOf returns what fit tells of a log in JSON, as the rows of the table.
func toldOf(t *testing.T, args ...string) map[string][]float64 {
	var out, stderr bytes.Buffer
	if code := run(append([]string{"fit", "--json"}, args...), streams{in: &bytes.Buffer{}, out: &out, err: &stderr}); code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
	type estimate struct {
		Name, Core, Part string
		Hand             float64
		Value            float64
		Uncertainty      float64     `json:"standard_uncertainty"`
		Interval         [2]float64  `json:"interval_95"`
		Linear           *[2]float64 `json:"linear_interval_95"`
		Determined       bool
		Shares           struct{ Readings float64 } `json:"variance_shares"`
	}
	type quality struct {
		ChiSquare float64  `json:"chi_square"`
		Degrees   float64  `json:"degrees_of_freedom"`
		PValue    float64  `json:"p_value"`
		Scale     float64  `json:"scale_factor"`
		AICc      *float64 `json:"aicc"`
	}
	var d struct {
		Parameters, Derived []estimate
		Quality             quality
		Alternative         *quality
		Readings            []struct {
			Line         int
			Residual     float64
			Standardised float64 `json:"standardised_residual"`
			Leverage     float64
			Cook         float64 `json:"cooks_distance"`
			Flag         string
		}
	}
	must.Do(t, json.Unmarshal(out.Bytes(), &d))
	got := map[string][]float64{}
	for name, v := range map[string]float64{"chi_square": d.Quality.ChiSquare, "degrees_of_freedom": d.Quality.Degrees, "p_value": d.Quality.PValue, "scale_factor": d.Quality.Scale} {
		got[fmt.Sprint([]string{name, "", "", ""})] = []float64{v}
	}
	if c := d.Quality.AICc; c != nil {
		got[fmt.Sprint([]string{"aicc", "", "", ""})] = []float64{*c}
	}
	if a := d.Alternative; a != nil {
		got[fmt.Sprint([]string{"chi_square", "lumped", "", ""})] = []float64{a.ChiSquare}
		if c := a.AICc; c != nil {
			got[fmt.Sprint([]string{"aicc", "lumped", "", ""})] = []float64{*c}
		}
	}
	for _, e := range append(d.Parameters, d.Derived...) {
		hand := ""
		if e.Hand > 0 {
			hand = strconv.FormatFloat(e.Hand, 'g', 9, 64)
		}
		key := fmt.Sprint([]string{e.Name, e.Core, e.Part, hand})
		got[key] = nil
		if e.Linear != nil { // the other is by profile likelihood
			e.Interval = *e.Linear
		}
		if e.Determined {
			got[key] = []float64{e.Value, e.Uncertainty, e.Interval[0], e.Interval[1], e.Shares.Readings}
		}
	}
	for _, o := range d.Readings {
		suspect := 0.0
		if o.Flag == "suspect" {
			suspect = 1
		}
		got[fmt.Sprint([]string{fmt.Sprintf("line %d", o.Line), "", "", ""})] = []float64{o.Residual, o.Standardised, o.Leverage, o.Cook, suspect}
	}
	return got
}
