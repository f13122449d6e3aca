package decisions_test

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/recomputed"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// fitOf fits a log that lies in testdata.
func fitOf(t testing.TB, name string) *estimation.Result {
	t.Helper()
	return must.Get(estimation.Fit(estimation.Session{Log: recomputed.Log(t, name).Log})).In(t).Widen()
}

// decided are the rows of a verb in the table that scripts/recompute made, by what they are of.
func decided(t testing.TB, verb string) map[[2]string][]float64 {
	t.Helper()
	out := map[[2]string][]float64{}
	for _, row := range recomputed.Table(t, "decisions") {
		if row[0] != verb {
			continue
		}
		var list []float64
		for _, s := range row[3:] {
			if v, err := strconv.ParseFloat(s, 64); err == nil {
				list = append(list, v)
			}
		}
		out[[2]string{row[1], row[2]}] = list
	}
	return out
}

// Predictions, differences and what a reading would bring, against what scripts/recompute worked
// out from docs/mathematics.md with no code in common: within 2e-3 of a standard uncertainty.
func TestDecisionsAgainstRecomputed(t *testing.T) {
	r := fitOf(t, "lighthouse.csv")
	check := func(what string, want []float64, room float64, got ...float64) {
		t.Helper()
		for i, v := range got {
			if i >= len(want) || !(math.Abs(v-want[i]) <= room) {
				t.Errorf("%s, number %d: %.9g, want %v", what, i, v, want)
				return
			}
		}
	}
	var extra []readings.Part
	for of, want := range decided(t, "predict") {
		s := readings.Bare()
		switch of[1] {
		case "bare":
		case "added=3.3pF": // a part of the log's default tolerance
			continue
		case "hand=20cm":
			s.Hand = 0.2
		case "core=rod":
			s.Core, s.To = "rod", 1
		case "core=rod added=10pF":
			s.Core, s.To, s.Parts = "rod", 1, []int{slices.IndexFunc(r.Parts(), func(p readings.Part) bool { return p.Name == "10 pF" })}
		default:
			t.Fatalf("state %s", of[1])
		}
		p := decisions.Predict(r, s, extra)
		f := &p.Frequency
		check(of[1], want, 2e-3*want[1], f.Value, f.Uncertainty, f.Interval[0], f.Interval[1], p.NewReading[0], p.NewReading[1])
		if p.Missing != nil || p.Outside != nil || !readings.Same(&r.Readings[p.Nearest].State, &s) && of[1] != "core=rod added=10pF" {
			t.Errorf("%s: missing %v, outside %v, nearest %d", of[1], p.Missing, p.Outside, p.Nearest)
		}
	}
	differences := decided(t, "compare")
	c := decisions.Compare(r, fitOf(t, "rebuilt.csv"))
	tested := 0
	for _, x := range c.Changes {
		label := x.A.Core + x.A.Part
		if x.A.Hand > 0 {
			label = strconv.FormatFloat(x.A.Hand, 'g', 9, 64)
		}
		want, ok := differences[[2]string{x.A.Name, label}]
		d := &x.Difference
		if ok != d.Determined {
			t.Errorf("%s %s: determined %v", x.A.Name, label, d.Determined)
			continue
		}
		if !ok {
			continue
		}
		tested++
		check(x.A.Name+label, want[:4], 4e-3*want[1], d.Value, d.Uncertainty, d.Interval[0], d.Interval[1])
		check(x.A.Name+label+" sigmas", want[4:], 4e-3*math.Max(1, math.Abs(want[4])), x.Sigmas)
		check(x.A.Name+label+" p", want[5:], 4e-3, x.Chance)
		if x.Alone != (want[2] > 0 || want[3] < 0) || x.B.Key != x.A.Key || d.Unit != x.A.Unit {
			t.Errorf("%s %s: %+v", x.A.Name, label, x)
		}
		if x.Moved != (want[5] < 1e-3) { // those that Holm's procedure leaves: all with p below 0.05/25, none above
			t.Errorf("%s %s: moved %v with p %v", x.A.Name, label, x.Moved, want[5])
		}
	}
	if tested != len(differences) || c.Tested != tested || !c.SplitA || !c.SplitB {
		t.Errorf("%d tested of %d, %d told", tested, len(differences), c.Tested)
	}
	next := decided(t, "next")
	want := decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	list := decisions.Candidates(r, want, decisions.Bench{})
	name := func(s *readings.State) (out string) {
		for i, p := range s.Parts {
			if i > 0 {
				out += " + "
			}
			out += r.Parts()[p].Name
		}
		if s.Clip {
			out = "empty clip"
		}
		if s.Core != "" {
			if out != "" {
				out += "; "
			}
			out += "core " + s.Core
		}
		if out == "" {
			out = "bare"
		}
		return out
	}
	plan := decisions.Next(r, want, list, nil, 3)
	if plan.Unknown || plan.Unmet || plan.Tried != len(list) || !(math.Abs(plan.Now.Value-r.Find(want.Key).Value) <= 0) {
		t.Errorf("%+v", plan.Now)
	}
	seen := 0
	for _, s := range plan.Ranked {
		label := name(&s.State)
		switch s.Kind {
		case decisions.MeasurePart:
			label = r.Parts()[s.Part].Name + " measured to ± 1 %"
		case decisions.MeasureWinding:
			label = "winding measured: turns; diameter; length"
		}
		w, ok := next[[2]string{quantities.EffectiveInductance, label}]
		if !ok {
			t.Errorf("%s: not in the table", label)
			continue
		}
		seen++
		// The table has parts at a bench's meter, that of small parts by its absolute limit.
		if !(math.Abs(s.After.Uncertainty/w[0]-1) <= 4e-3) {
			t.Errorf("%s: ± %.6g, want %.6g", label, s.After.Uncertainty, w[0])
		}
		if s.After.Value != plan.Now.Value || s.Before != plan.Now {
			t.Errorf("%s: from %+v to %+v", label, s.Before, s.After)
		}
	}
	if seen < 30 {
		t.Errorf("%d candidates of %d", seen, len(next))
	}
	for i, s := range plan.Greedy {
		before := plan.Now
		if i > 0 {
			before = plan.Greedy[i-1].After
		}
		if s.Before != before || !(s.After.Uncertainty < before.Uncertainty) {
			t.Errorf("step %d: %v, then %v", i, s.Before.Uncertainty, s.After.Uncertainty)
		}
	}
	if len(plan.Greedy) != 3 || !(math.Abs(plan.Greedy[0].After.Stated/plan.Ranked[0].After.Stated-1) <= 0.021) {
		t.Errorf("%d steps", len(plan.Greedy))
	}
}
