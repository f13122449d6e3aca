package findings

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
)

// The straight line 1/ω² against added capacitance has its ends where least and most were
// added: LC goes with f⁻², so that its relative uncertainty is twice the frequency's; parts
// bring theirs, and the lead of a clip where there is one.
func TestPlainEnds(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(211, 1)), 1e-4, 0.02, simulated.Added(4.7), simulated.Added(), simulated.Added(10, 22), simulated.Added(10), simulated.Added(4.7).Rod(1))
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	least, most, ok := plainEnds(r)
	if !ok || least.added != 0 || least.addedU != 0 {
		t.Fatalf("least %+v, most %+v, %v", least, most, ok)
	}
	for i, e := range map[int]plainEnd{1: least, 2: most} {
		o := &log.Readings[i]
		if lc := math.Pow(2*math.Pi*o.Frequency, -2); !(math.Abs(e.lc/lc-1) <= 1e-12) || !(math.Abs(e.lcU/e.lc/(2*o.Uncertainty/o.Frequency)-1) <= 1e-12) {
			t.Errorf("row %d: %+v, want LC = %v", i, e, lc)
		}
	}
	var farad, u float64
	for _, k := range log.Readings[2].Parts {
		farad, u = farad+log.Parts[k].Capacitance, math.Hypot(u, log.Parts[k].Uncertainty)
	}
	if u = math.Hypot(u, forward.LeadSigma); !(math.Abs(most.added/farad-1) <= 1e-12) || !(math.Abs(most.addedU/u-1) <= 1e-12) {
		t.Errorf("most %+v, want %v ± %v", most, farad, u)
	}
}
