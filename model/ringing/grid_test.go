package ringing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestTwoModes rings two modes at once: distances of 4 to 18 %, quality factors
// of 8 to 120, amplitude ratios of 0.4 to 1, three captures each. Where the
// distance times the quality factor is 1.5 or more, both modes are right in 95
// of 100; elsewhere the answer is right, refused or warned of.
func TestTwoModes(t *testing.T) {
	each, ratios := (*seeds+3)/4, []float64{0.4, 0.6, 0.8, 1}
	if *seeds < many {
		ratios = []float64{0.7}
	}
	easy, both, hard, honest := 0, 0, 0, 0
	table := &strings.Builder{}
	for _, split := range []float64{0.04, 0.06, 0.08, 0.10, 0.14, 0.18} {
		for _, q := range []float64{8, 15, 30, 60, 120} {
			right, n := 0, 0
			var bad []string
			for _, ratio := range ratios {
				for seed := range each {
					rng := rand.New(rand.NewPCG(uint64(seed), math.Float64bits(split*q*ratio)))
					s, tr := twoModes(coilHertz, split, q, q, ratio, 4000)(rng)
					r, err := Analyse(s, Settings{Columns: 1})
					n++
					seen := bothRight(r, tr)
					if seen {
						right++
					}
					if split*q >= 1.5 {
						easy++
						if seen {
							both++
						}
					} else {
						hard++
						if seen || err != nil || hasNote(r, Beating) || hasNote(r, NotOneSine) || hasNote(r, Misfit) || hasNote(r, StartAndEndDiffer) {
							honest++
						}
					}
					if !seen {
						bad = append(bad, describe(r, err, ratio, seed))
					}
				}
			}
			fmt.Fprintf(table, "split %4.1f %%, Q %3.0f, split × Q %5.2f: %d of %d right %s\n", 100*split, q, split*q, right, n, strings.Join(bad, " "))
		}
	}
	t.Logf("\n%sboth right in %d of %d; elsewhere honest in %d of %d", table, both, easy, honest, hard)
	if float64(both) < 0.95*float64(easy) || float64(honest) < 0.99*float64(hard) {
		t.Error("too few")
	}
}

func describe(r *Result, err error, ratio float64, seed int) string {
	if err != nil {
		return fmt.Sprintf("[%g/%d refused]", ratio, seed)
	}
	var kinds []string
	for _, n := range r.Notes {
		kinds = append(kinds, noteNames[n.Kind])
	}
	return fmt.Sprintf("[%g/%d %.4g ± %.2g MHz, Q %.3g, %d tones, %s]", ratio, seed, r.Resonance.Value/1e6, r.Resonance.Uncertainty/1e6, r.Quality.Value, len(r.Tones), strings.Join(kinds, ","))
}

// bothRight tells whether both modes were found within 4 u.
func bothRight(r *Result, tr truth) bool {
	if r == nil || r.Unclaimed {
		return false
	}
	found := func(f, q float64) bool {
		for _, t := range r.Tones[:min(2, len(r.Tones))] {
			e := t.Natural
			if e.Uncertainty < (tr.f2-tr.f)/4 && math.Abs(e.Value-f) < 4*e.Uncertainty &&
				t.Quality.Determined && math.Abs(t.Quality.Value-q) < 4*t.Quality.Uncertainty {
				return true
			}
		}
		return false
	}
	return found(tr.f, tr.q) && found(tr.f2, tr.q2)
}
