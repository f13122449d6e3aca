package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"
)

// The demo's numbers in JSON against those that scripts/recompute worked out, from
// docs/mathematics.md and with no code in common: within 2e-3 of the uncertainty, for a fit
// ends within 1e-3 of it.
func TestJSONAgainstRecomputed(t *testing.T) {
	file, err := os.ReadFile("../../testdata/recomputed/lighthouse.csv")
	if err != nil {
		t.Fatal(err)
	}
	r := csv.NewReader(bytes.NewReader(file))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	got := toldOf(t, "../../testdata/lighthouse.csv")
	if len(got) != len(rows)-1 {
		t.Errorf("%d quantities and readings in JSON, %d in the table", len(got), len(rows)-1)
	}
	for _, row := range rows[1:] {
		key := fmt.Sprint(row[:4])
		now, ok := got[key]
		if !ok || (now == nil) != (row[4] == "undetermined") {
			t.Errorf("%s: %v, want %v", key, now, row[4:])
			continue
		}
		scale := 0.0 // of an estimate, its uncertainty
		for i, v := range now {
			want, err := strconv.ParseFloat(row[4+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case len(now) == 5 && i < 4:
				scale, _ = strconv.ParseFloat(row[5], 64)
			case len(now) == 4 && i == 0: // a residual
				scale = 800
			default:
				scale = math.Max(1e-3, math.Abs(want))
			}
			if !(math.Abs(v-want) <= 2e-3*scale) {
				t.Errorf("%s, column %d: %.9g, want %.9g", key, 5+i, v, want)
			}
		}
	}
}

// toldOf returns what fit tells of a log in JSON, as the rows of the table.
func toldOf(t *testing.T, log string) map[string][]float64 {
	var out, stderr bytes.Buffer
	if code := run([]string{"fit", log, "--json"}, streams{in: &bytes.Buffer{}, out: &out, err: &stderr}); code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr.String())
	}
	type estimate struct {
		Name, Core, Part string
		Hand             float64
		Value            float64
		Uncertainty      float64    `json:"standard_uncertainty"`
		Interval         [2]float64 `json:"interval_95"`
		Determined       bool
		Shares           struct{ Readings float64 } `json:"variance_shares"`
	}
	var d struct {
		Parameters, Derived []estimate
		Quality             struct {
			ChiSquare float64 `json:"chi_square"`
			Degrees   float64 `json:"degrees_of_freedom"`
			PValue    float64 `json:"p_value"`
			AICc      float64 `json:"aicc"`
		}
		Readings []struct {
			Line         int
			Residual     float64
			Standardised float64 `json:"standardised_residual"`
			Leverage     float64
			Cook         float64 `json:"cooks_distance"`
		}
	}
	if err := json.Unmarshal(out.Bytes(), &d); err != nil {
		t.Fatal(err)
	}
	got := map[string][]float64{}
	for name, v := range map[string]float64{"chi_square": d.Quality.ChiSquare, "degrees_of_freedom": d.Quality.Degrees, "p_value": d.Quality.PValue, "aicc": d.Quality.AICc} {
		got[fmt.Sprint([]string{name, "", "", ""})] = []float64{v}
	}
	for _, e := range append(d.Parameters, d.Derived...) {
		hand := ""
		if e.Hand > 0 {
			hand = strconv.FormatFloat(e.Hand, 'g', 9, 64)
		}
		key := fmt.Sprint([]string{e.Name, e.Core, e.Part, hand})
		got[key] = nil
		if e.Determined {
			got[key] = []float64{e.Value, e.Uncertainty, e.Interval[0], e.Interval[1], e.Shares.Readings}
		}
	}
	for _, o := range d.Readings {
		got[fmt.Sprint([]string{fmt.Sprintf("line %d", o.Line), "", "", ""})] = []float64{o.Residual, o.Standardised, o.Leverage, o.Cook}
	}
	return got
}
