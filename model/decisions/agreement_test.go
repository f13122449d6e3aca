package decisions

import (
	"math"
	"slices"
	"testing"

	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Holm's step-down test at 5 % of six hypotheses (S. Holm, Scand. J. Statist. 6, 1979, 65–70, the rule
// from memory; the chances invented): 0.05/6, 0.05/5, 0.05/4, 0.05/3 are met, 0.05/2 isn't, so that
// neither is the last.
func TestHolm(t *testing.T) {
	chances := []float64{0.049, math.NaN(), 0.012, 0.008, 0.026, 0.0095, 0.016}
	fails, tested := holm(chances)
	if want := []bool{false, false, true, true, false, true, true}; tested != 6 || !slices.Equal(fails, want) {
		t.Errorf("%v of %d, want %v", fails, tested, want)
	}
}

// Where sessions scatter by far more than each is known to, their number less one are the degrees of
// freedom of the consensus, as of any mean; where they agree, those of what each is known to: of two
// means of five readings, with the same scatter, eight.
func TestDegreesOfAConsensus(t *testing.T) {
	none := &sharedErrors{}
	got := none.degrees(randomEffects{weights: []float64{1. / 3, 1. / 3, 1. / 3}, between: 1, uncertainty: 1 / math.Sqrt(3)}, make([]shares, 3), make([][]float64, 3))
	near.To(t, "three that scatter", got, 2, 1e-9)
	five := shares{readings: 1, degrees: 4}
	got = none.degrees(randomEffects{weights: []float64{0.5, 0.5}, uncertainty: 1 / math.Sqrt2}, []shares{five, five}, make([][]float64, 2))
	near.To(t, "two that agree", got, 8, 1e-9)
}

// The stated uncertainty of a difference is made of those stated of both, whatever scatter enlarges.
func TestStatedUncertaintyOfADifference(t *testing.T) {
	a, b := tried(t, 44), tried(t, 45)
	x, y := *a.Find(quantities.Key{Name: quantities.BareFrequency}), *b.Find(quantities.Key{Name: quantities.BareFrequency})
	x.Uncertainty, x.Stated, y.Uncertainty, y.Stated = 50, 3, 120, 4
	d := compare(a, b, x, y, nil).Difference
	if !(math.Abs(d.Uncertainty-130) <= 1e-9) || !(math.Abs(d.Stated-5) <= 1e-9) || d.Value != y.Value-x.Value {
		t.Errorf("%v ± %v, stated %v", d.Value, d.Uncertainty, d.Stated)
	}
}

// What parts of one tolerance have in common, be they of two lots, is one error of which an estimate has the sum.
func TestErrorsOfOneNameAddUp(t *testing.T) {
	r := kitted(t, 81, nil, 4.7, 10, 22, 33)
	e := r.Find(quantities.Key{Name: quantities.EffectiveInductance})
	lots, sum := 0, 0.0
	for _, in := range r.Budget(e) {
		if in.Kind == estimation.CommonSource {
			lots, sum = lots+1, sum+in.Sensitivity
		}
	}
	all := sharedErrors{}
	s := all.split(r, e)
	if got := s.shared["common 0.01"]; lots != 2 || !(math.Abs(got/sum-1) <= 1e-12) { // half of 2 %
		t.Errorf("%d lots in common: %v, want %v of %v", lots, got, sum, s.shared)
	}
}

// What moved is what remains of all that were compared together, be it less than what would have moved alone.
func TestMovedIsOfAllTogether(t *testing.T) {
	a, alone := kitted(t, 82, nil, 4.7, 10, 22, 33), 0
	for k := range 12 {
		b := kitted(t, 83, func(s *estimation.Session) {
			for i := range s.Log.Readings {
				s.Log.Readings[i].Frequency *= 1 + 1.5e-4*float64(k)
			}
		}, 4.7, 10, 22, 33)
		c := Compare(a, b)
		var chances []float64
		for _, o := range c.Changes {
			chances = append(chances, o.Chance)
		}
		fails, tested := holm(chances)
		for i, o := range c.Changes {
			if o.Moved != fails[i] {
				t.Errorf("%s, by chance %v: moved %v", o.A.Name, o.Chance, o.Moved)
			}
			if o.Alone && !o.Moved {
				alone++
			}
		}
		if c.Tested != tested {
			t.Errorf("%d tested, want %d", c.Tested, tested)
		}
	}
	if alone == 0 {
		t.Error("nothing would have moved alone: the test needs that")
	}
}
