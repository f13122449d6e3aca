package decisions

import (
	"math"

	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/readings"
)

// Beyond returns Prediction.Outside of s alone, in a fraction of the time.
func Beyond(r *estimation.Result, s readings.State) []Outside {
	f, x := r.With(nil)
	return outside(r, f, x, &s)
}

// outside tells in what respects s reaches beyond the readings used, those of earlier sessions among them: a core or
// a hand in a combination never read, or a setting beyond the range read.
func outside(r *estimation.Result, f *forward.Model, x []float64, s *readings.State) (out []Outside) {
	added := span{}
	covered := span{}
	hand := span{}
	together := false
	near := !math.IsInf(s.Hand, 1)
	for o := range r.Session.StatesRead() {
		isNear := !math.IsInf(o.Hand, 1)
		if o.Core == s.Core && s.Core != "" {
			covered.add(o.To - o.From)
		}
		if isNear && near {
			hand.add(o.Hand)
		}
		if o.Core == s.Core && isNear == near {
			together = true
		}
		if o.Core == s.Core {
			added.add(f.Added(x, o))
		}
	}
	if a := f.Added(x, s); !added.holds(a) {
		out = append(out, Outside{AddedElement, added.lo, added.hi, a})
	}
	if c := s.To - s.From; s.Core != "" && !covered.holds(c) {
		out = append(out, Outside{CoveredElement, covered.lo, covered.hi, c})
	}
	if near && !hand.holds(s.Hand) {
		out = append(out, Outside{HandElement, hand.lo, hand.hi, s.Hand})
	}
	if near && s.Core != "" && !together {
		out = append(out, Outside{Element: CombinedElement, From: math.NaN(), To: math.NaN()})
	}
	return out
}

// span is the range of what was added to it.
type span struct {
	lo, hi float64
	any    bool
}

func (s *span) add(v float64) {
	if !s.any {
		s.lo, s.hi, s.any = v, v, true
	}
	s.lo, s.hi = math.Min(s.lo, v), math.Max(s.hi, v)
}

// holds tells whether v is in the range, give or take rounding.
func (s *span) holds(v float64) bool {
	slack := 1e-9 * math.Max(math.Abs(s.lo), math.Abs(s.hi))
	return s.any && v >= s.lo-slack && v <= s.hi+slack
}

// nearest returns the index in Readings of the used reading most like s: of the
// same condition if there is one, then of the nearest frequency.
func nearest(r *estimation.Result, s *readings.State, hz float64) int {
	best, least := -1, math.Inf(1)
	for i := range r.Readings {
		o := &r.Readings[i]
		if !o.Use {
			continue
		}
		far := math.Abs(math.Log(o.Frequency / hz))
		if o.Core != s.Core {
			far += 2
		}
		if math.IsInf(o.Hand, 1) != math.IsInf(s.Hand, 1) {
			far++
		}
		if far < least {
			best, least = i, far
		}
	}
	return best
}
