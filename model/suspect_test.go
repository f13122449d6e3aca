package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/repeat"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// scattered simulates n readings with exact parts whose errors are factor times as
// large as stated.
func scattered(rng *rand.Rand, n int, factor float64) readings.Log {
	steps := []simulated.Step{simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(), simulated.Added(4.7), simulated.Added(15), simulated.Added(), simulated.Added(6.8)}
	log := simulated.Lighthouse().Session(rng, 1e-4*factor, 0, steps[:n]...)
	for i := range log.Readings {
		log.Readings[i].Uncertainty /= factor
	}
	return log
}

// Chance flags a reading, or calls it decisive, in as few sessions as is said, however
// few readings there are and however much they scatter, also where known values share
// the fit.
func TestSuspectsAreRare(t *testing.T) {
	sessions := max(100, *seeds)
	most := func(level float64) int { // in one of a thousand tests
		expected := level * float64(sessions)
		return int(expected + 3.5*math.Sqrt(expected) + 1)
	}
	for _, factor := range []float64{1, 5} {
		for _, n := range []int{5, 6, 7, 10} {
			rng := rand.New(rand.NewPCG(91, uint64(n)))
			flagged, decisive := 0, 0
			for range sessions {
				c := simulated.Lighthouse()
				l, _, _ := c.Bare()
				s := estimation.Session{Log: scattered(rng, n, factor)}
				if n == 7 { // an exact prior
					s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.EffectiveInductance}, Value: l, Uncertainty: 1e-6 * l}}
				}
				r := mustFit(t, s)
				suspect, moves := false, false
				for _, f := range r.Findings {
					suspect = suspect || f.Kind == findings.ReadingSuspect
					moves = moves || f.Kind == findings.ReadingDecisive
				}
				if suspect {
					flagged++
				}
				if moves {
					decisive++
				}
			}
			t.Logf("%d readings that scatter × %v: %d of %d sessions with a suspect, %d with a decisive reading", n, factor, flagged, sessions, decisive)
			// Of sessions that scatter more, another finding tells; few are worth a second one.
			if flagged > most(findings.SuspectLevel) || decisive > most(findings.DecisiveLevel) && (factor == 1 || decisive > most(3*findings.DecisiveLevel)) {
				t.Errorf("%d readings that scatter × %v: %d of %d sessions with a suspect, %d with a decisive reading", n, factor, flagged, sessions, decisive)
			}
		}
	}
}

// Nor does chance where each part is read once, off as far as its tolerance lets it, or where all
// drifts: a reading left out is compared with what the others predict of it with that tolerance,
// at its moment.
func TestDecisiveIsRareBesideTolerances(t *testing.T) {
	sessions := repeat.Times(40)
	coil := heldOutCoils(t)[1]
	for _, b := range []bench{
		{tolerance: 0.05, factor: 1, common: 0.25, stated: 0.25, noise: 1e-4},
		{tolerance: 0.05, factor: 1, common: 0.25, stated: 0.25, noise: 3e-5, drift: 5e-3},
	} {
		decisive := 0
		for k := range sessions {
			steps := heldOutSet{parts: []float64{1, 1.5, 2.2, 3.3, 4.7, 6.8, 8.2, 10, 12, 15, 22, 33}}.steps()
			if b.drift > 0 {
				steps = benchSteps()
			}
			r := mustFit(t, estimation.Session{Log: coil.play(rand.New(rand.NewPCG(7001, uint64(k))), b, steps).log})
			if slices.ContainsFunc(r.Findings, func(f findings.Finding) bool { return f.Kind == findings.ReadingDecisive }) {
				decisive++
			}
		}
		t.Logf("drift %v: a decisive reading in %d of %d sessions", b.drift, decisive, sessions)
		if expected := findings.DecisiveLevel * float64(sessions); float64(decisive) > expected+2.5*math.Sqrt(expected) {
			t.Errorf("drift %v: a decisive reading in %d of %d sessions", b.drift, decisive, sessions)
		}
	}
}

// A slip is found: one reading of ten misread by 1 %, in readings good to 1e-4, or in
// readings that scatter five times as much.
func TestSuspectIsFound(t *testing.T) {
	for _, factor := range []float64{1, 5} {
		found := 0
		const sessions = 50
		for k := range sessions {
			rng := rand.New(rand.NewPCG(92, uint64(k)))
			log := scattered(rng, 10, factor)
			slip := 3 + k%7
			log.Readings[slip].Frequency *= 1.01
			r := mustFit(t, estimation.Session{Log: log})
			for _, f := range r.Findings {
				if f.Kind == findings.ReadingSuspect {
					if f.Line == log.Readings[slip].Line {
						found++
					}
					break
				}
			}
		}
		t.Logf("scatter × %v: %d of %d slips found", factor, found, sessions)
		if found < 45 {
			t.Errorf("scatter × %v: %d of %d slips found", factor, found, sessions)
		}
	}
}

// A known value that contradicts good readings is told first, and makes no reading
// suspect.
func TestContradictionComesFirst(t *testing.T) {
	c := simulated.Lighthouse()
	for k := range 20 {
		log := c.Session(rand.New(rand.NewPCG(93, uint64(k))), 1e-4, 0.01, simulated.FullSession()...)
		r := mustFit(t, estimation.Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.1 * c.L, Uncertainty: 1e-3 * c.L}}})
		if len(r.Findings) == 0 || !r.Findings[0].Undermines() {
			t.Fatalf("findings %+v", r.Findings)
		}
		for _, o := range r.Readings {
			if o.Flagged {
				t.Errorf("line %d is called suspect beside a wrong known value", o.Line)
			}
		}
	}
}

// A reading a little off that moves a result is named, and by how much.
func TestDecisiveReading(t *testing.T) {
	found := 0
	for k := range 40 {
		log := scattered(rand.New(rand.NewPCG(94, uint64(k))), 10, 1)
		log.Readings[3].Frequency *= 1 + 8e-4
		r := mustFit(t, idealBench(estimation.Session{Log: log}))
		for _, f := range r.Findings {
			if (f.Kind == findings.ReadingDecisive || f.Kind == findings.ReadingSuspect) && f.Line == log.Readings[3].Line {
				found++
				if f.Kind == findings.ReadingDecisive && !(f.Value > 1) {
					t.Errorf("decisive for a shift of %v", f.Value)
				}
			}
		}
	}
	if found < 20 {
		t.Errorf("found in %d of 40 sessions", found)
	}
}

// The model used and the other are judged by the same uncertainties: whichever is used,
// the difference of their AICc is the same but for its sign.
func TestCriteriaCompare(t *testing.T) {
	c := simulated.Lighthouse()
	both := 0
	for k := range 20 {
		log := c.Session(rand.New(rand.NewPCG(95, uint64(k))), 1e-4, 0.01, append(simulated.FullSession(), simulated.FullSession()...)...)
		rng := rand.New(rand.NewPCG(96, uint64(k)))
		for i := range log.Readings {
			log.Readings[i].Frequency *= 1 + 1e-3*rng.NormFloat64()
		}
		line, lumped := estimated(t, idealBench(estimation.Session{Log: log})), estimated(t, idealBench(estimation.Session{Log: log, Lumped: true}))
		a := line.NewAlternative().Quality.AICc - line.Quality.AICc
		b := lumped.Quality.AICc - lumped.NewAlternative().Quality.AICc
		compared := !math.IsNaN(a) && !math.IsNaN(b) // where both models are fitted
		if compared {
			both++
		}
		if compared && !(math.Abs(a-b) <= 1e-3*math.Abs(a)+1e-3) {
			t.Errorf("lumped − line: %v when the line is used, %v when the lumped circuit is", a, b)
		}
	}
	if both < 15 {
		t.Errorf("both are fitted in %d of 20 sessions", both)
	}
}

// In a session that drifts, a reading is held against what the others predict at its own
// moment.
func TestSuspectsOfDriftingSession(t *testing.T) {
	c := simulated.Lighthouse()
	c.Drift = 8e-3
	steps := append(simulated.FullSession(), simulated.Added(10), simulated.Added(4.7), simulated.Added())
	named := 0
	for seed := range uint64(20) {
		log := c.Session(rand.New(rand.NewPCG(93, seed)), 2e-4, 0.025, steps...)
		last := len(log.Readings) - 2
		truth := log.Readings[last].Frequency
		log.Readings[last].Frequency *= 1.013
		r := mustFit(t, estimation.Session{Log: log})
		for _, f := range r.Findings {
			if f.Kind != findings.LikelyMistake || f.Mistake.Kind != findings.MistakenReading {
				continue
			}
			named++
			if off := f.Mistake.Predict/truth - 1; !(math.Abs(off) <= 1.2e-3) {
				t.Errorf("seed %d: %.6g predicted for %.6g, off by %.2g", seed, f.Mistake.Predict, truth, off)
			}
		}
	}
	if named < 10 {
		t.Errorf("%d of 20 mistakes named", named)
	}
}
