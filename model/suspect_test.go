package model

import (
	"math"
	"math/rand/v2"
	"testing"
)

// scattered simulates n readings with exact parts whose errors are factor times as
// large as stated.
func scattered(rng *rand.Rand, n int, factor float64) Log {
	steps := []step{added(), added(2.2), added(4.7), added(10), added(22), added(), added(4.7), added(15), added(), added(6.8)}
	log := lighthouse().session(rng, 1e-4*factor, 0, steps[:n]...)
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
				c := lighthouse()
				l, _, _ := c.bare()
				s := Session{Log: scattered(rng, n, factor)}
				if n == 7 { // an exact prior
					s.Known = []Known{{Name: EffectiveInductance, Value: l, Uncertainty: 1e-6 * l}}
				}
				r := mustFit(t, s)
				suspect, moves := false, false
				for _, f := range r.Findings {
					suspect = suspect || f.Kind == ReadingSuspect
					moves = moves || f.Kind == ReadingDecisive
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
			if flagged > most(suspectLevel) || decisive > most(decisiveLevel) && (factor == 1 || decisive > most(3*decisiveLevel)) {
				t.Errorf("%d readings that scatter × %v: %d of %d sessions with a suspect, %d with a decisive reading", n, factor, flagged, sessions, decisive)
			}
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
			r := mustFit(t, Session{Log: log})
			for _, f := range r.Findings {
				if f.Kind == ReadingSuspect {
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
	c := lighthouse()
	for k := range 20 {
		log := c.session(rand.New(rand.NewPCG(93, uint64(k))), 1e-4, 0.01, fullSession()...)
		r := mustFit(t, Session{Log: log, Known: []Known{{Name: Inductance, Value: 1.1 * c.l, Uncertainty: 1e-3 * c.l}}})
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
		r := mustFit(t, idealBench(Session{Log: log}))
		for _, f := range r.Findings {
			if (f.Kind == ReadingDecisive || f.Kind == ReadingSuspect) && f.Line == log.Readings[3].Line {
				found++
				if f.Kind == ReadingDecisive && !(f.Value > 1) {
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
	c := lighthouse()
	for k := range 20 {
		log := c.session(rand.New(rand.NewPCG(95, uint64(k))), 1e-4, 0.01, fullSession()...)
		rng := rand.New(rand.NewPCG(96, uint64(k)))
		for i := range log.Readings {
			log.Readings[i].Frequency *= 1 + 1e-3*rng.NormFloat64()
		}
		line, lumped := mustFit(t, Session{Log: log}), mustFit(t, Session{Log: log, Lumped: true})
		a := line.Alternative.Quality.AICc - line.Quality.AICc
		b := lumped.Quality.AICc - lumped.Alternative.Quality.AICc
		if math.Abs(a-b) > 1e-3*math.Abs(a)+1e-3 {
			t.Errorf("lumped − line: %v when the line is used, %v when the lumped circuit is", a, b)
		}
	}
}
