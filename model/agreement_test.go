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

// Budget, covariance, profile and Monte Carlo tell the same of random sessions: budget and
// covariance the printed uncertainty, Monte Carlo its size and, beside what its trials scatter
// by, the interval of the profile. Where the linear interval isn't validated, the profile
// differs from it too, and the other way round, but for cases between.
func TestFourWaysAgree(t *testing.T) {
	const trials = 2000
	apart, compared, opposed := 0, 0, 0
	var sum [2]float64
	// Two parts: from three on, their scatter tells how far tolerances are to be trusted, and tails
	// of few degrees of freedom need more trials than a test has.
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(22).Rod(1),
		simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added().Rod(1).Near(0.1), simulated.Added()}
	for seed := range uint64(max(2, *seeds)) {
		s := estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(72, seed)), 2e-4, 0.02, steps...)}
		r, err := estimation.Fit(s)
		if err != nil {
			t.Fatal(err)
		}
		joint := r.Joint()
		for i, e := range joint.Estimates {
			if v := joint.Covariance[i*len(joint.Estimates)+i]; math.Abs(math.Sqrt(v)/e.Uncertainty-1) > 1e-9 {
				t.Errorf("session %d, %v: covariance %g, u² %g", seed, e.Key, v, e.Uncertainty*e.Uncertainty)
			}
			budget := 0.0
			for _, in := range r.Budget(e) {
				budget += in.Contribution * in.Contribution
			}
			if math.Abs(math.Sqrt(budget)/e.Uncertainty-1) > 1e-9 {
				t.Errorf("session %d, %v: budget %g, u² %g", seed, e.Key, budget, e.Uncertainty*e.Uncertainty)
			}
		}
		profiles, _ := r.Profiles(nil)
		m := r.MonteCarlo(fit.Trials{Most: trials, Seed: seed, Workers: 2})
		if len(m.Quantities) != len(profiles) {
			t.Fatal(len(m.Quantities), len(profiles))
		}
		for i := range m.Quantities {
			q, p := &m.Quantities[i], &profiles[i]
			if q.Key != p.Key {
				t.Fatal(q.Key, p.Key)
			}
			if q.Name != quantities.EffectiveInductance && q.Name != quantities.EffectiveCapacitance && q.Name != quantities.BareFrequency {
				// A core's gain has a longer tail by trials, since the prior on what it moves is a
				// factor; parts a shorter one, since trials draw tolerances as if they were sure.
				continue
			}
			for side := range 2 {
				compared++
				d := (q.Symmetric[side] - p.Profile[side]) / q.Uncertainty
				if !(math.Abs(d) < 0.5) {
					apart++
					t.Logf("session %d, %v: linear %.5g, profile %.5g, trials %.5g, u %.2g", seed, q.Key, q.Interval, p.Profile, q.Symmetric, q.Uncertainty)
				}
				linear := (q.Symmetric[side] - q.Interval[side]) / q.Uncertainty
				sum[0] += d * d
				sum[1] += linear * linear
			}
			if p.Differs() && q.Validated() && math.Max(math.Abs(p.Profile[0]-p.Interval[0]), math.Abs(p.Profile[1]-p.Interval[1])) > 2*q.Tolerance {
				opposed++
			}
		}
	}
	n := float64(compared)
	t.Logf("ends by trials against profile: %.2f u rms, against the linear law %.2f u; %d of %d apart, %d opposed", math.Sqrt(sum[0]/n), math.Sqrt(sum[1]/n), apart, compared, opposed)
	if float64(apart) > 0.1*n || opposed > 0 {
		t.Errorf("%d of %d ends differ by more than half a standard uncertainty; in %d cases the verdicts are opposed", apart, compared, opposed)
	}
	if math.Sqrt(sum[0]/n) > 0.3 {
		t.Errorf("ends differ by %.2f u rms", math.Sqrt(sum[0]/n))
	}
}
