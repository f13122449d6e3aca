package findings

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/fit"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Readings scatter as the nearest edit leaves them, where two degrees of freedom are left at least, and
// the edit takes away more than chance does over all that were tried, in a thousandth of sessions.
func TestScatterThatAnEditLeaves(t *testing.T) {
	for what, c := range map[string]struct {
		redundancy, nearest, out float64 // out: what the edit takes away, over what chance does
		want                     float64
	}{
		"enough": {3, 8, 1.01, 2}, "not enough left": {2.9, 8, 1.5, 1}, "no more than stated": {3, 1.9, 1.5, 1}, "by chance": {3, 8, 0.99, 1}, "of many": {11, 90, 1.01, 3},
	} {
		nu := c.redundancy - 1
		left := c.nearest / nu
		most := distuv.StudentsT{Sigma: 1, Nu: nu}.Quantile(1 - 1e-3/20/2) // two-sided, over 20 edits
		r := &estimation.Result{Scatter: fit.Scatter{Redundancy: c.redundancy}, Quality: estimation.Quality{ChiSquare: c.nearest + left*math.Pow(c.out*most, 2)}}
		e := editor{Result: r, nearest: c.nearest, tried: 20}
		near.Times(t, what, e.scatter(), c.want, 1e-9)
	}
}

// The others may agree by chance though all scatter as much as with the mistake: where as calm a rest comes
// in more than one of twenty sessions, whichever reading is left out.
func TestOthersMayAgreeByChance(t *testing.T) {
	all := &estimation.Result{Scatter: fit.Scatter{Redundancy: 6}, Problem: &estimation.Problem{Rows: make([]int, 10)}}
	all.Solution.DataSquares = 120 // 20 a degree of freedom
	for chance, want := range map[float64]bool{0.049: false, 0.051: true} {
		rest := &estimation.Result{Scatter: fit.Scatter{Redundancy: 5}}
		rest.Solution.DataSquares = 20 * distuv.ChiSquared{K: 5}.Quantile(chance/10)
		e := editor{Result: all}
		if got := e.mayScatter(rest); got != want {
			t.Errorf("chance %v: %v", chance, got)
		}
		rest.Scatter.Redundancy = 0
		if !e.mayScatter(rest) {
			t.Error("nothing left that shows it")
		}
	}
}

// A drift instead of a mistake is what the readings by themselves have, with its uncertainty, of the
// session or an hour; none where it is known, or where more than a drift is wrong.
func TestDriftInsteadOfAMistake(t *testing.T) {
	s := sessionOf(141, full()...)
	for i := range s.Log.Readings {
		s.Log.Readings[i].Frequency *= 1 + 8e-3*float64(i)/12
	}
	r := fitted(t, s)
	r.Problem.Loose, r.Scatter.Scale = nil, 1
	v, u := r.Problem.ByReadings(estimation.Enlarged{Result: r.Solution}, r.Problem.Drift)
	least := fit.LargestChiSquare(0.02, r.Quality.DegreesOfFreedom-1) + v*v/(1+u*u) // of χ², of which a drift takes that
	for by, want := range map[float64]bool{0.999: true, 1.001: false} {
		r.Quality.ChiSquare = by * least
		drift, within := driftInstead(r)
		if (drift != 0) != want {
			t.Errorf("χ² %v times what may be: drift %v", by, drift)
		}
		if want {
			near.Times(t, "drift", drift, 500e-6*v, 1e-9)
			near.Times(t, "within", within, 500e-6*u, 1e-9)
		}
	}
	r.Quality.ChiSquare = 0.9 * least
	p := *r.Problem
	p.Log.Hours = true
	for range p.Log.Readings {
		p.Log.Moments = append(p.Log.Moments, 0.5*float64(len(p.Log.Moments)))
	}
	hourly := *r
	hourly.Problem = &p
	drift, within := driftInstead(&hourly)
	near.Times(t, "an hour", drift, 500e-6*v/6, 1e-9)
	near.Times(t, "an hour, within", within, 500e-6*u/6, 1e-9)
	r.Problem.Loose = []int{r.Problem.Drift} // has been let free already
	if drift, _ := driftInstead(r); drift != 0 {
		t.Errorf("of a drift that is free: %v", drift)
	}
	r.Problem.Loose = nil
	r.Scatter.Scale = 1.1
	if drift, _ := driftInstead(r); drift != 0 {
		t.Errorf("of readings that scatter: %v", drift)
	}
	for name, value := range map[string]float64{quantities.Drift: 5e-2, quantities.LeadCapacitance: 1e-13} { // known, but not well
		s.Known = []quantities.Known{{Key: quantities.Key{Name: name}, Uncertainty: value}}
		r := fitted(t, s)
		r.Problem.Loose, r.Scatter.Scale, r.Quality.ChiSquare = nil, 1, 0
		if drift, _ := driftInstead(r); r.Problem.Drift < 0 || (drift != 0) != (name != quantities.Drift) {
			t.Errorf("%s is known: %v", name, drift)
		}
	}
}

// What remedy an open shape has goes by the leads, and that of scatter by the repeats; the distances at
// which a hand is left open are told.
func TestRemediesByWhatElseIsOpen(t *testing.T) {
	leads, repeats, hands := map[Advice]int{}, map[Advice]int{}, 0
	core := simulated.Added().Rod(1)
	for k, steps := range [][]simulated.Step{
		{simulated.Added(), simulated.Added()}, {simulated.Added(), simulated.Added(4.7), simulated.Added()}, {simulated.Added(simulated.Spike), simulated.Added(simulated.Spike)},
		{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), core.Near(0.1), core.Near(0.2)}, {core.Near(0.1), core.Near(0.3)},
		{simulated.Added(), simulated.Added(4.7), simulated.Added(), simulated.Added(4.7), simulated.Added(), simulated.Added(4.7), simulated.Added(), simulated.Added(4.7)},
		{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(47), simulated.Added(33), simulated.Added(15)},
	} {
		for _, off := range []float64{0, 0.1, 0.2, 0.3} {
			s := sessionOf(142, steps...)
			for i := range s.Log.Readings {
				s.Log.Readings[i].Frequency *= 1 + off*math.Sin(float64(5*i+k))
			}
			r, err := estimation.Fit(s)
			if err != nil {
				continue
			}
			open, told := openHands(r), []float64(nil)
			for _, g := range Gaps(r) {
				told = append(told, g.Hands...)
				switch lead := r.Find(quantities.Key{Name: quantities.LeadCapacitance}); {
				case g.What == GapShape:
					if leads[g.Advice]++; (g.Advice == AddMuchLargerAndClip) != (lead != nil && !lead.Determined) {
						t.Errorf("%d, lead %+v: remedy %v", k, lead, g.Advice)
					}
				case g.What == GapScatter:
					if repeats[g.Advice]++; (g.Advice == ReadOftener) != repeatScatter(r).Explain() {
						t.Errorf("%d, repeats %+v: remedy %v", k, repeatScatter(r), g.Advice)
					}
				}
			}
			slices.Sort(told)
			if hands += len(told); !slices.Equal(open, told) {
				t.Errorf("%d: hands at %v open, %v told", k, open, told)
			}
		}
	}
	if len(leads) != 2 || len(repeats) != 2 || hands == 0 {
		t.Errorf("remedies of a shape %v, of scatter %v, %d hands: the test needs all", leads, repeats, hands)
	}
}
