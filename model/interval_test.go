package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// factor returns the coverage factor that an interval was made with: about the
// value, or about its logarithm.
func factor(e *quantities.Estimate) float64 {
	if half := (e.Interval[1] - e.Interval[0]) / 2; math.Abs(e.Interval[0]+half-e.Value) < 1e-9*e.Value {
		return half / e.Uncertainty
	}
	return math.Log(e.Interval[1]/e.Interval[0]) / 2 * e.Value / e.Uncertainty
}

// Where readings scatter as stated, 95 % is little more than 1.96 standard
// uncertainties. Where they scatter more, only the scatter tells how much, and its part
// of the variance has its few degrees of freedom: ν S⁴/(S² − 1 + δ)² over the
// square of the readings' share, by Welch and Satterthwaite (JCGM 100:2008, G.4.1) but
// for the last term, which fit.SolveScaled explains; tolerances and known values have
// no end of them.
func TestCoverageFactorOfIntervals(t *testing.T) {
	c := simulated.Lighthouse()
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 2.2), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(2.2), simulated.Added(22)}
	log := c.Session(rand.New(rand.NewPCG(57, 4)), 3e-4, 0.01, steps...)
	r := mustFit(t, idealBench(estimation.Session{Log: log}))
	if r.Quality.Scale != 1 {
		t.Fatalf("scale %v: choose a session that scatters as stated", r.Quality.Scale)
	}
	doubt := 0.75 * math.Exp(-math.Pow(r.Quality.Redundancy/8, 2))
	for _, e := range r.Derived {
		nu := withTolerances(r, r.Quality.Redundancy/math.Pow(doubt, 2), &e)
		if want := fit.CoverageFactor(0.95, nu); e.Determined && e.Value > 0 && (math.Abs(factor(&e)-want) > 1e-5 || want > 2.4) {
			t.Errorf("%s: k = %v, want %v", e.Name, factor(&e), want)
		}
	}
	for i := range log.Readings {
		log.Readings[i].Uncertainty /= 10
	}
	known := quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: c.L, Uncertainty: 0.005 * c.L}
	r = mustFit(t, idealBench(estimation.Session{Log: log, Known: []quantities.Known{known}}))
	s2 := r.Quality.Scale * r.Quality.Scale
	if !(s2 > 4) {
		t.Fatalf("scale %v: choose a session that scatters more", r.Quality.Scale)
	}
	least, most := math.Inf(1), 0.0
	for e := range r.All() {
		if !e.Determined || e.Bound != fit.Free || e.Name == quantities.PartCapacitance || !(e.Value > e.Uncertainty) {
			continue
		}
		nu := withTolerances(r, r.Quality.Redundancy*s2*s2/math.Pow(s2-1+0.75*math.Exp(-math.Pow(r.Quality.Redundancy/8, 2)), 2), e)
		if k, want := factor(e), fit.CoverageFactor(0.95, nu); !(math.Abs(k/want-1) <= 1e-3) {
			t.Errorf("%s: k = %v, want %v with %.3g degrees of freedom", e.Name, k, want, nu)
		}
		least, most = math.Min(least, factor(e)), math.Max(most, factor(e))
	}
	if !(most > 1.2*least) {
		t.Errorf("factors between %v and %v: no quantity tells the shares apart", least, most)
	}
}

// withTolerances returns the degrees of freedom of an estimate: those of the readings' scatter
// and of the tolerances' together (JCGM 100:2008, G.4.1).
func withTolerances(r *Result, ofReadings float64, e *quantities.Estimate) float64 {
	nu, t2 := r.PartErrors.Redundancy, math.Pow(r.PartErrors.Factor, 2)
	ofParts := nu * t2 * t2 / math.Pow(t2-1+2.0/3*math.Exp(-math.Pow(nu/7, 2)), 2)
	return 1 / (math.Pow(e.Budget.Readings, 2)/ofReadings + math.Pow(e.Budget.Tolerance, 2)/ofParts)
}
