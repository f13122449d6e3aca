package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// The inductance with a core all in is that in air times the gain.
func TestInductanceWithCoreByHand(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(202, 1)), 1e-5, 0.01, simulated.FullSession()...)
	r := estimated(t, estimation.Session{Log: log})
	l, with := r.Find(quantities.Key{Name: quantities.Inductance}), r.Find(quantities.Key{Name: quantities.InductanceWithCore, Core: "rod"})
	gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	if got := with.Value / l.Value; !(math.Abs(got/gain.Value-1) <= 1e-12) {
		t.Errorf("%v times the inductance in air, gain %v", got, gain.Value)
	}
}

// A reading that is off by six of its uncertainties is suspect, by the difference from what
// all others predict over both uncertainties; so is one of 40 that is off by 4.7 of them.
func TestDeletedResidualByHand(t *testing.T) {
	var steps []simulated.Step
	for range 8 {
		steps = append(steps, simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22))
	}
	for _, c := range []struct {
		n   int
		off float64
	}{{15, 8}, {40, 4.7}} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(203, 1)), 1e-9, 0.01, steps[:c.n]...)
		for i := range log.Readings {
			log.Readings[i].Uncertainty = 3e-4 * log.Readings[i].Frequency
		}
		log.Readings[5].Frequency += c.off * log.Readings[5].Uncertainty
		s := idealBench(estimation.Session{Log: log})
		o := mustFit(t, s).Readings[5]
		if !o.Flagged {
			t.Errorf("%d readings: not suspect, residual %v", c.n, o.Residual/o.Uncertainty)
			continue
		}
		s.Log.Readings = append([]readings.Reading(nil), log.Readings...)
		s.Log.Readings[5].Use = false
		p := estimated(t, s).Frequency(o.State, nil)
		if want := (o.Frequency - p.Value) / math.Hypot(o.Uncertainty, p.Uncertainty); !(math.Abs(o.Deleted/want-1) <= 0.01) {
			t.Errorf("%d readings: off by %v of both uncertainties, want %v", c.n, o.Deleted, want)
		}
	}
}

// A drift is told as large as it is.
func TestDriftAsTold(t *testing.T) {
	steps := append(simulated.FullSession(), simulated.Added(), simulated.Added(4.7), simulated.Added())
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(204, 1)), 2e-5, 0.01, steps...)
	for i := range log.Readings {
		log.Readings[i].Uncertainty = 1e-4 * log.Readings[i].Frequency
		log.Readings[i].Frequency *= simulated.Truth{Drift: 0.01}.Drifted(i, len(steps))
	}
	r := estimated(t, estimation.Session{Log: log})
	f, found := findings.CheckDrift(r, r)
	if !found || !(math.Abs(math.Abs(f.Value)/0.01-1) <= 0.1) || !(f.Other > 0 && f.Other < 0.001) {
		t.Errorf("a drift of 1 %%: %v, %+v", found, f)
	}
}

// A standard capacitor brings its tolerance into the frequency that it gives: what a change
// of its value by as much does.
func TestStandardCapacitorsHaveTheirTolerance(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(205, 1)), 1e-4, 0.01, simulated.FullSession()...)
	r := estimated(t, estimation.Session{Log: log})
	exact := decisions.Reach(r, 1.5e6, readings.Bare(), nil, decisions.ByAdded, 0)
	bought := decisions.Reach(r, 1.5e6, readings.Bare(), nil, decisions.ByAdded, 0.05)
	for i, p := range bought.Standard {
		c, f := bought.Values[i].Capacitance, p.Frequency
		s := readings.Bare()
		s.Exact = 1.01 * c
		per := (1 - decisions.Predict(r, s, nil).Frequency.Value/f.Value) / 0.01
		got := math.Sqrt(math.Pow(f.Uncertainty, 2)-math.Pow(exact.Standard[i].Frequency.Uncertainty, 2)) / f.Value
		if !(math.Abs(got/(0.05*per)-1) <= 0.03) {
			t.Errorf("%g pF ± 5 %%: ± %v of the frequency from it, want %v", c*1e12, got, 0.05*per)
		}
		if share := math.Pow(got*f.Value/f.Uncertainty, 2); f.Budget.Tolerance < share || f.Budget.Known > 1e-9 {
			t.Errorf("%g pF ± 5 %%: %+v, want a share of tolerance above %v", c*1e12, f.Budget, share)
		}
	}
}

// Where only one of two sessions scatters, the difference has the degrees of freedom of
// that one's part in it (JCGM 100:2008, G.4.1).
func TestDifferenceOfOneThatScatters(t *testing.T) {
	session := func(seed uint64, noise float64) *estimation.Result {
		l := simulated.Lighthouse().Session(rand.New(rand.NewPCG(206, seed)), noise, 0, simulated.Added(), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7))
		for i := range l.Readings {
			l.Readings[i].Uncertainty = 2e-4 * l.Readings[i].Frequency
		}
		return estimated(t, estimation.Session{Log: l})
	}
	a, b := session(1, 1e-3), session(2, 5e-5)
	if math.IsInf(a.Solution.ScaleDegrees, 1) {
		t.Fatal("the first session should scatter")
	}
	for _, change := range decisions.Compare(a, b).Changes {
		d := change.Difference
		if change.A.Name != quantities.BareFrequency {
			continue
		}
		of := func(e quantities.Estimate, degrees float64) float64 {
			return math.Pow(e.Uncertainty*e.Uncertainty*e.Budget.Readings, 2) / degrees
		}
		degrees := math.Pow(d.Uncertainty, 4) / (of(change.A, a.Solution.ScaleDegrees) + of(change.B, b.Solution.ScaleDegrees))
		want := fit.CoverageFactor(0.95, degrees)
		if k := (d.Interval[1] - d.Value) / d.Uncertainty; !(math.Abs(k/want-1) <= 1e-6) {
			t.Errorf("coverage factor %v, want %v of %v degrees of freedom", k, want, degrees)
		}
	}
}

// Holm's test by its book (S. Holm, Scandinavian Journal of Statistics 6, 1979, 65-70): in
// order of their p-values the i-th of n, from 0, has to be at most 0.05/(n − i), and all
// before it.
func TestHolmByHand(t *testing.T) {
	between := 0
	for seed := range uint64(12) {
		session := func(c simulated.Truth, second uint64) *estimation.Result {
			return estimated(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(207+second, seed)), 2e-4, 0.01, simulated.FullSession()...)})
		}
		other := simulated.Lighthouse()
		other.Ct *= 1.002
		other.Gain *= 1.001
		var chances []float64
		changes := decisions.Compare(session(simulated.Lighthouse(), 0), session(other, 1)).Changes
		for _, c := range changes {
			if !math.IsNaN(c.Chance) {
				chances = append(chances, c.Chance)
			}
		}
		slices.Sort(chances)
		n, moved := float64(len(chances)), 0.0
		for _, p := range chances {
			if p > 0.05/(n-moved) {
				break
			}
			moved++
		}
		for _, c := range changes {
			rank := float64(slices.Index(chances, c.Chance))
			if want := rank >= 0 && rank < moved; c.Moved != want {
				t.Errorf("seed %d, %s: p = %v, the %v. of %v: moved %v", seed, c.A.Name, c.Chance, rank+1, n, c.Moved)
			}
			if c.Chance > 0.05/n && c.Chance < 0.05 {
				between++
			}
		}
	}
	if between < 10 {
		t.Errorf("only %d differences of which the test has to tell", between)
	}
}
