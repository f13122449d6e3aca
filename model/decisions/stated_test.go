package decisions

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What scatter enlarges is told apart from what is stated: of a setting, by the slope of the frequency
// along it, both; of one more reading, which counts less by as much as the readings scatter.
func TestStatedBesideScatter(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(5, 11)), 1e-3, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added())
	for i := range log.Readings {
		log.Readings[i].Uncertainty /= 5
	}
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	scale := r.Scatter.Scale
	if !(scale > 1.5) {
		t.Fatalf("the readings scatter %v times", scale)
	}
	f := quantities.Estimate{Uncertainty: 300, Stated: 100}
	capacitance := math.Exp(r.Solution.X[forward.AtC])
	e := carryOver(r, quantities.Estimate{}, ByAdded, capacitance, f, func(farad float64) float64 { return 2e6 - 2e16*farad }, 0, 1)
	near.Times(t, "u of the setting", e.Uncertainty, 300/2e16, 1e-6)
	near.Times(t, "stated", e.Stated, 100/2e16, 1e-6)
	f.Value, f.Budget = 2e6, quantities.Budget{Readings: 0.4, Tolerance: 0.6} // a dimension of 50 mm that it goes with as its inverse root
	e = setTo(quantities.Estimate{}, 0.05, &f, -0.5)
	if !e.Determined || e.ByProfile || e.Value != 0.05 || e.Budget != f.Budget {
		t.Errorf("%+v", e)
	}
	near.Times(t, "u of a dimension", e.Uncertainty, 2*0.05*300/2e6, 1e-9)
	near.Times(t, "stated", e.Stated, 2*0.05*100/2e6, 1e-9)
	evidence := newEvidence(r, &Candidate{Kind: ReadState, State: readings.Bare()})
	near.Times(t, "of ln L", evidence.now[forward.AtL], 0.5/(scale*1e-3/5), 0.02) // each reads to the same ±, of its own frequency
	for k, v := range evidence.now {
		if v != 0 {
			near.Times(t, "row as stated", evidence.stated[k]/v, scale, 1e-9)
		}
	}
	// One more row v leaves of a variance g'Cg what (g'Cv)²/(1 + v'Cv) doesn't take away (Sherman and Morrison).
	want := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	with := stateOf(func(s *readings.State) { s.Parts = []int{0, 1} })
	c := []Candidate{{State: with}}
	p := must.Get(newPlan(r, want, c, nil)).In(t)
	left := func(c fit.Covariance, row []float64) float64 {
		m := c.Matrix([][]float64{p.gradient, row})
		return math.Sqrt(1 - m[1]*m[1]/(1+m[3])/m[0])
	}
	after := Next(r, want, c, nil, 1).Ranked[0].After
	now, stated := left(p.after.Covariance, p.rows[0].now), left(p.after.StatedCovariance, p.rows[0].stated)
	if math.Abs(now/stated-1) < 1e-3 {
		t.Errorf("%v of both is left", now)
	}
	near.Times(t, "is left", after.Uncertainty, now*p.now.Uncertainty, 1e-6)
	near.Times(t, "is left of the stated", after.Stated, stated*p.now.Stated, 1e-6)
}
