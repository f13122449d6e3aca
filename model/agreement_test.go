package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// Budget, covariance, profile and Monte Carlo tell the same of random sessions, of the core's
// gain and the parts too: budget and
// covariance the printed uncertainty, Monte Carlo its size and, beside what its trials scatter
// by, the interval of the profile. Where the linear interval isn't validated, the profile
// differs from it too, and the other way round, but for cases between.
func TestFourWaysAgree(t *testing.T) {
	const trials = 2000
	apart, compared, opposed := 0, 0, 0
	var sum [2]float64
	// Each state twice, so that the stated uncertainties are checked: where few readings check
	// them, trials draw that doubt (see TestTrialsDrawTheDoubt), and a profile knows of it by k.
	bare, small, large, near := simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added().Near(0.1)
	spike, far := simulated.Added(simulated.Spike), simulated.Added().Near(0.2)
	steps := []simulated.Step{bare, small, large, bare.Rod(1), small.Rod(1), large.Rod(1), near, far, near.Rod(1), bare,
		bare, small, large, bare.Rod(1), small.Rod(1), large.Rod(1), near, far, spike, spike, bare}
	for seed := range uint64(max(2, *seeds)) {
		s := estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(72, seed)), 2e-4, 0.02, steps...)}
		r := must.Get(estimation.Fit(s)).In(t)
		joint := r.Joint()
		for i, e := range joint.Estimates {
			if v := joint.Covariance[i*len(joint.Estimates)+i]; !(math.Abs(math.Sqrt(v)/e.Uncertainty-1) <= 1e-9) {
				t.Errorf("session %d, %v: covariance %g, u² %g", seed, e.Key, v, e.Uncertainty*e.Uncertainty)
			}
			budget := 0.0
			for _, in := range r.Budget(e) {
				budget += in.Contribution * in.Contribution
			}
			if !(math.Abs(math.Sqrt(budget)/e.Uncertainty-1) <= 1e-9) {
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
			if p.Differs() && q.Holds() && math.Max(math.Abs(p.Profile[0]-p.Interval[0]), math.Abs(p.Profile[1]-p.Interval[1])) > 2*q.Tolerance {
				opposed++
			}
		}
	}
	n := float64(compared)
	t.Logf("ends by trials against profile: %.2f u rms, against the linear law %.2f u; %d of %d apart, %d opposed", math.Sqrt(sum[0]/n), math.Sqrt(sum[1]/n), apart, compared, opposed)
	if float64(apart) > 0.03*n || float64(opposed) > 0.002*n {
		t.Errorf("%d of %d ends differ by more than half a standard uncertainty; in %d cases the verdicts are opposed", apart, compared, opposed)
	}
	if math.Sqrt(sum[0]/n) > 0.2 {
		t.Errorf("ends differ by %.2f u rms", math.Sqrt(sum[0]/n))
	}
}

// Of few readings the stated uncertainties are in doubt, and trials draw that too: data errors
// have Student's distribution. Where a quantity is no straight function of them, as a core's gain
// of the capacitance that the core moves, the tail that bends away grows longer by it. Without
// the doubt, the trials agree with the profile there as well.
func TestTrialsDrawTheDoubt(t *testing.T) {
	steps := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(22).Rod(1),
		simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added().Rod(1).Near(0.1), simulated.Added()}
	gain := quantities.Key{Name: quantities.CoreGain, Core: "rod"}
	tails := func(r *estimation.Result) (trials, profile, linear float64) {
		profiles, _ := r.Profiles(nil)
		m := r.MonteCarlo(fit.Trials{Most: 2000, Seed: 1, Workers: 2})
		for i := range m.Quantities {
			if q := &m.Quantities[i]; q.Key == gain {
				return (q.Value - q.Symmetric[0]) / q.Uncertainty, (q.Value - profiles[i].Profile[0]) / q.Uncertainty, (q.Value - q.Interval[0]) / q.Uncertainty
			}
		}
		t.Fatal("no gain")
		return
	}
	r := must.Get(estimation.Fit(estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(72, 9)), 2e-4, 0.02, steps...)})).In(t)
	doubted, _, _ := tails(r)
	r.Solution.ScaleDegrees = math.Inf(1)
	e := r.Find(gain)
	e.Cover(math.Inf(1), true)
	trials, profile, linear := tails(r)
	t.Logf("lower tail of the gain: %.2f u by trials, %.2f u without doubt, %.2f u by the profile, %.2f u by the linear law", doubted, trials, profile, linear)
	if !(doubted > 1.2*trials) || !(math.Abs(trials-profile) <= 0.4) || profile < 1.2*linear {
		t.Errorf("lower tail of the gain: %.2f u by trials, %.2f u without doubt, %.2f u by the profile, %.2f u by the linear law", doubted, trials, profile, linear)
	}
}
