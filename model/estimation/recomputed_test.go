package estimation_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/recomputed"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// A number told, and how far another may be from it.
type told struct{ value, room float64 }

// keyOf names a quantity as the tables do.
func keyOf(k quantities.Key) string {
	hand := ""
	if k.Hand > 0 {
		hand = strconv.FormatFloat(k.Hand, 'g', 9, 64)
	}
	return fmt.Sprint([]string{k.Name, k.Core, k.Part, hand})
}

// Every number of a fit against what scripts/recompute worked out from docs/mathematics.md with
// no code in common: within 2e-3 of a standard uncertainty, of which both fits end within 1e-3,
// ends of intervals within 5e-3.
func TestFitAgainstRecomputed(t *testing.T) {
	for table, c := range map[string]struct {
		log    string
		robust bool
	}{
		"lighthouse":  {"lighthouse.csv", false},
		"few":         {"recomputed/logs/few.csv", false},
		"many":        {"recomputed/logs/many.csv", false},
		"slip":        {"recomputed/logs/slip.csv", false},
		"slip-robust": {"recomputed/logs/slip.csv", true},
		"bound":       {"recomputed/logs/bound.csv", false},
	} {
		t.Run(table, func(t *testing.T) {
			r := must.Get(estimation.Fit(estimation.Session{Log: recomputed.Log(t, c.log).Log, Robust: c.robust})).In(t)
			alternative := r.NewAlternative()
			r = r.Widen()
			got := map[string][]told{}
			exact := func(v float64) told { return told{v, 2e-3 * math.Max(1e-3, math.Abs(v))} }
			q := &r.Quality
			for name, v := range map[string]float64{"chi_square": q.ChiSquare, "degrees_of_freedom": float64(q.DegreesOfFreedom), "p_value": q.PValue, "scale_factor": q.Scale, "aicc": q.AICc} {
				if quantities.Finite(v) {
					got[keyOf(quantities.Key{Name: name})] = []told{exact(v)}
				}
			}
			if a := alternative; a != nil {
				got[keyOf(quantities.Key{Name: "chi_square", Core: "lumped"})] = []told{exact(a.Quality.ChiSquare)}
				if quantities.Finite(a.Quality.AICc) {
					got[keyOf(quantities.Key{Name: "aicc", Core: "lumped"})] = []told{exact(a.Quality.AICc)}
				}
			}
			for e := range r.All() {
				got[keyOf(e.Key)] = nil
				if u := e.Uncertainty; e.Determined && e.Bound == 0 {
					got[keyOf(e.Key)] = []told{{e.Value, 2e-3 * u}, {u, 2e-3 * u}, {e.Interval[0], 5e-3 * u}, {e.Interval[1], 5e-3 * u}, {e.Budget.Readings, 2e-3}}
				}
			}
			for _, o := range r.Readings {
				s := o.Standardised
				got[keyOf(quantities.Key{Name: fmt.Sprintf("line %d", o.Line)})] = []told{
					{o.Residual, 2e-3 * o.Weighed / r.Quality.Scale}, {s, 2e-3 * math.Max(1, math.Abs(s))}, exact(o.Leverage), {o.Cook, 2e-3 * math.Max(0.1, 2*o.Cook)}}
			}
			compareWith(t, got, recomputed.Table(t, table))
		})
	}
}

func compareWith(t *testing.T, got map[string][]told, rows [][]string) {
	t.Helper()
	if len(got) != len(rows) {
		t.Errorf("%d quantities and readings, %d in the table", len(got), len(rows))
	}
	for _, row := range rows {
		key := fmt.Sprint(row[:4])
		now, ok := got[key]
		if determined := row[4] != "undetermined" && row[4] != "bound"; !ok || (now != nil) != determined {
			t.Errorf("%s: %v, want %v", key, now, row[4:])
			continue
		}
		for i, v := range now {
			if want, err := strconv.ParseFloat(row[4+i], 64); err != nil || !(math.Abs(v.value-want) <= v.room) {
				t.Errorf("%s, column %d: %.9g, want %s (± %.2g)", key, 5+i, v.value, row[4+i], v.room)
			}
		}
	}
}
