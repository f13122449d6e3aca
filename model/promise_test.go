package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// done returns log after candidate c was done as a maker would: the reading taken from the
// coil c is about, a new capacitor of a true value within its tolerance, a part measured
// anew, or the inductance worked out from a winding measured.
func done(c simulated.Truth, rng *rand.Rand, log readings.Log, actual []float64, noise float64, d *decisions.Candidate) estimation.Session {
	out := log
	out.Parts = append([]readings.Part(nil), log.Parts...)
	out.Readings = append([]readings.Reading(nil), log.Readings...)
	actual = append([]float64(nil), actual...)
	s := d.State
	switch d.Kind {
	case decisions.MeasurePart:
		p := &out.Parts[d.Part]
		p.Capacitance, p.Known = actual[d.Part]*(1+d.Relative*rng.NormFloat64()), true
		p.Uncertainty = d.Relative * p.Capacitance
		return estimation.Session{Log: out}
	case decisions.MeasureWinding:
		return estimation.Session{Log: out, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: c.L * (1 + d.Relative*rng.NormFloat64()), Uncertainty: d.Relative * c.L}}}
	case decisions.ReadNew:
		value := d.New[0] // any of the range does
		s.Parts = append(append([]int(nil), s.Parts...), len(out.Parts))
		out.Parts = append(out.Parts, readings.Part{Name: "new", Capacitance: value, Uncertainty: d.Relative * value, Known: true})
		actual = append(actual, value*(1+d.Relative*rng.NormFloat64()))
	}
	f := c.Frequency(s, actual)
	out.Readings = append(out.Readings, readings.Reading{State: s, Use: true, Frequency: f * (1 + noise*rng.NormFloat64()), Uncertainty: noise * f, Amplitude: math.NaN(), Quality: math.NaN()})
	return estimation.Session{Log: out}
}

// find returns the estimate of what is wished in a fit.
func find(w decisions.Measurand, r *Result) quantities.Estimate {
	if w.Name == "frequency" {
		return decisions.Predict(r.Result, w.State, nil).Frequency
	}
	return *r.Find(quantities.Key{Name: w.Name, Core: w.Core, Part: w.Part})
}

// What each kind of step is said to do is what it does, when it is simulated with the true
// coil and the log is fitted anew: over random sessions, some with next to nothing known.
// The uncertainty depends on what is read: it may come out better by a third, on average it is
// right to a twentieth.
func TestStepsDoWhatIsSaid(t *testing.T) {
	const noise, tolerance = 3e-4, 0.025
	sets := [][]simulated.Step{
		{simulated.Added(), simulated.Added(), simulated.Added(4.7), simulated.Added(10)},
		{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1)},
		{simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(4.7, 10)},
		{simulated.Added(), simulated.Added(4.7), simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7), simulated.Added(10)},
	}
	var sum, n [4]float64
	for i := range 24 {
		rng := rand.New(rand.NewPCG(101, uint64(i)))
		c := simulated.Lighthouse()
		c.L *= math.Exp(0.5 * rng.NormFloat64())
		c.Cw *= math.Exp(0.3 * rng.NormFloat64())
		steps := sets[i%len(sets)]
		log, actual := c.SessionOf(rng, noise, tolerance, steps...)
		r := mustFit(t, estimation.Session{Log: log})
		measurand := decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}, State: readings.Bare()}
		if i%3 == 2 {
			s := readings.Bare()
			s.Parts = []int{0}
			measurand = decisions.Measurand{Key: quantities.Key{Name: "frequency"}, State: s}
		}
		plan := decisions.Next(r.Result, measurand, decisions.Candidates(r.Result, measurand, decisions.Bench{Buy: true, Tolerance: tolerance}), nil, 1)
		if now := find(measurand, r); plan.Now.Value != now.Value || plan.Now.Uncertainty != now.Uncertainty {
			t.Errorf("session %d: now %v ± %v, fitted %v ± %v", i, plan.Now.Value, plan.Now.Uncertainty, now.Value, now.Uncertainty)
		}
		tried := map[decisions.CandidateKind]int{}
		for k := range plan.Ranked {
			s := &plan.Ranked[k]
			if !s.Helps() || tried[s.Kind] == 2 || r.Quality.Scale > 1.01 {
				continue
			}
			tried[s.Kind]++
			e := find(measurand, mustFit(t, done(c, rng, log, actual, noise, &s.Candidate)))
			if !e.Determined {
				t.Errorf("session %d, %+v: %s still undetermined", i, s.Candidate, measurand.Name)
				continue
			}
			ratio := e.Stated / math.Abs(e.Value) / (s.After.Stated / math.Abs(s.After.Value))
			sum[s.Kind] += math.Log(ratio)
			n[s.Kind]++
			if ratio > 1.3 || ratio < 0.6 { // of a range, the worst is told; a part far off its value, once measured, moves the rest
				t.Errorf("session %d, %s, %+v: ± %.3g said, ± %.3g came of it (before ± %.3g)", i, measurand.Name, s.Candidate,
					s.After.Stated/s.After.Value, e.Stated/e.Value, s.Before.Stated/s.Before.Value)
			}
		}
	}
	for kind, count := range n {
		mean := math.Exp(sum[kind] / count)
		t.Logf("kind %d: %v steps, on average %.3f of what was said", kind, count, mean)
		if count < 5 || mean > 1.05 || mean < 0.85 {
			t.Errorf("kind %d: %v steps, on average %v of what was said", kind, count, mean)
		}
	}
}
