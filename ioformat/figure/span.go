package figure

import (
	"math"

	"fitcoil/model/quantities"
)

// span is the range of what was put into it.
type span struct {
	low, high float64
	any       bool
}

func (s *span) add(values ...float64) {
	for _, v := range values {
		if !quantities.Finite(v) {
			continue
		}
		if !s.any {
			s.low, s.high, s.any = v, v, true
		}
		s.low, s.high = math.Min(s.low, v), math.Max(s.high, v)
	}
}

// largest returns the largest magnitude.
func (s *span) largest() float64 { return math.Max(math.Abs(s.low), math.Abs(s.high)) }
