package estimation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/loss"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Quality factors divide by how the parts of 1/Q grow: the winding's as √f over f, times the share
// of the energy that is in its copper; insulators' by the electric energy that isn't in added
// capacitors; a core's as f. All of it by hand, from frequencies as fitted, and divided by the same
// least squares as elsewhere.
func TestLossesByHand(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 22), simulated.Added(), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added(22).Rod(1), simulated.Added().Near(0.1)}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(21, 5)), 2e-4, 0.01, steps...)
	quality := []float64{120, 95, 90, 75, 70, 118, 60, 70, 62, 90}
	for i := range log.Readings {
		log.Readings[i].Quality = quality[i]
	}
	r := must.Get(Fit(Session{Log: log, Known: still})).In(t)
	if want := readings.Contrasts(log); len(want) == 0 || !slices.Equal(r.Contrasts, want) {
		t.Errorf("contrasts %+v, want %+v", r.Contrasts, want)
	}
	f, x := r.Problem.Model, r.Solution.X
	at := func(s readings.State) (hz, perTop float64) {
		return f.Ideal(x, &s, nil), f.Resonance.PerTop
	}
	bare, full := readings.Bare(), readings.Bare()
	full.Core, full.To = "rod", 1
	base, _ := at(bare)
	rod, _ := at(full)
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Value
	var rows []loss.Row
	for i := range 9 {
		s := log.Readings[i].State
		hz, perTop := at(s)
		added := 0.0
		for _, p := range s.Parts {
			added += f.Part(x, p)
		}
		w := []float64{math.Sqrt(hz/base) * base / hz, 1 + 2*perTop*added, 0}
		if s.Core != "" {
			w[0] /= gain
			w[2] = hz / rod
		}
		rows = append(rows, loss.Row{Inverse: 1 / quality[i], Uncertainty: 0.05 / quality[i], Read: true, Weights: w})
	}
	got := r.lossRows()
	if len(got) != 9 {
		t.Fatalf("%d rows", len(got))
	}
	for i := range rows {
		for j := range 3 {
			if !(math.Abs(got[i].Weights[j]-rows[i].Weights[j]) <= 1e-9) || got[i].Inverse != rows[i].Inverse || got[i].Uncertainty != rows[i].Uncertainty || !got[i].Read {
				t.Errorf("row %d: %+v, want %+v", i, got[i], rows[i])
			}
		}
	}
	parts := loss.Split(rows, 3)
	keys := []quantities.Key{{Name: quantities.QualityWinding}, {Name: quantities.QualityDielectric}, {Name: quantities.QualityCore, Core: "rod"}}
	determined := 0
	for j, p := range parts {
		e := r.Find(keys[j])
		if e == nil || e.Determined != p.Determined {
			t.Errorf("%v: %+v of %+v", keys[j], e, p)
			continue
		}
		if !p.Determined {
			continue
		}
		determined++
		near := func(a, b float64) bool { return math.Abs(a/b-1) <= 1e-9 }
		if !near(e.Value, 1/p.Inverse) || !near(e.Uncertainty, p.Uncertainty/p.Inverse/p.Inverse) || e.Stated != e.Uncertainty || !near(e.Interval[0], 1/p.Interval[1]) || !near(e.Interval[1], 1/p.Interval[0]) || e.Budget != (quantities.Budget{Readings: 1}) || e.Degrees != p.Degrees || !near(e.Coverage, fit.CoverageFactor(0.95, p.Degrees)) || e.Unit != "1" {
			t.Errorf("%v: %+v of %+v", keys[j], e, p)
		}
	}
	if determined < 2 {
		t.Errorf("%d of three determined", determined)
	}
	of, list := r.Losses()
	if determined == 3 && (len(of) != 3 || len(list) != 9) || determined < 3 && (of != nil || list != nil) {
		t.Errorf("%d losses in %d readings", len(of), len(list))
	}
	for i, o := range list {
		for k, e := range of {
			if !(math.Abs(o.Parts[k]-rows[i].Weights[k]/e.Value) <= 1e-12) || o.Uncertainty != rows[i].Uncertainty || o.Line != log.Readings[i].Line {
				t.Errorf("reading %d, part %d: %v", i, k, o)
			}
		}
	}
	all := make([]float64, len(keys)) // once all are determined, and without one that there isn't
	for k := range r.Derived {
		if e := &r.Derived[k]; slices.Contains(keys, e.Key) {
			was := *e
			defer func() { *e = was }()
			e.Determined, e.Value = true, 100+float64(k)
			all[slices.Index(keys, e.Key)] = e.Value
		}
	}
	lists := func(want ...int) {
		t.Helper()
		of, list := r.Losses()
		if len(of) != len(want) || len(want) > 0 && len(list) != 9 || len(want) == 0 && list != nil {
			t.Fatalf("%d losses in %d readings", len(of), len(list))
		}
		for i, o := range list {
			for k, j := range want {
				if of[k].Key != keys[j] || len(o.Parts) != len(want) {
					t.Fatalf("%+v of %+v", o, of[k])
				}
				near.To(t, "part", o.Parts[k], rows[i].Weights[j]/all[j], 1e-12)
			}
		}
	}
	lists(0, 1, 2)
	losses := r.Derived
	without := func(gone func(k quantities.Key) bool) {
		r.Derived = slices.DeleteFunc(slices.Clone(losses), func(e quantities.Estimate) bool { return gone(e.Key) })
	}
	without(func(k quantities.Key) bool { return k == keys[1] })
	lists(0, 2)
	without(func(k quantities.Key) bool { return slices.Contains(keys, k) })
	lists()
	r.Derived = losses
	r.Find(keys[2]).Determined = false
	lists()
	r.Find(keys[2]).Determined = true
	determined = 3
	// Heat at 1 V: ½ω C/Q of each, by its weight.
	hz, _ := at(full)
	farad := f.Resonance.Capacitance
	before := -1
	for _, h := range r.Heats(f, x, full) {
		j := slices.Index(keys, h.Key)
		if j <= before {
			t.Errorf("%v after %v", h.Key, keys[before])
		}
		before = j
		weight := []float64{math.Sqrt(hz/base) * base / hz / gain, 1, 1}[j]
		if want := math.Pi * hz * farad * weight / r.Find(h.Key).Value; !(math.Abs(h.PerSquare/want-1) <= 1e-9) {
			t.Errorf("%v: %v W/V², want %v", h.Key, h.PerSquare, want)
		}
	}
	for _, kind := range []readings.PrimaryKind{readings.PrimaryShorted, readings.PrimaryTuned} {
		driven := bare
		driven.Primary.Kind = kind
		if r.Heats(f, x, driven) != nil {
			t.Errorf("heats with a primary %v", kind)
		}
	}
	if len(r.Heats(f, x, full)) != determined {
		t.Error("how many heats")
	}
	r.Session.Log.Readings = slices.Clone(log.Readings)
	for _, kind := range []readings.PrimaryKind{readings.PrimaryOpen, readings.PrimaryShorted} {
		r.Session.Log.Readings[0].Primary.Kind = kind
		if _, ok := r.lossRow(0); ok != (kind == readings.PrimaryOpen) {
			t.Errorf("primary %v: a row %v", kind, ok)
		}
	}
}
