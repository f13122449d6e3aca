package fit

import (
	"testing"

	"fitcoil/internal/near"
)

// The standard deviation of a few trials has one degree of freedom less: of 1, 2, 3 and 6, √(14/3).
func TestDeviationOfFewTrials(t *testing.T) {
	s := newSample([]float64{3, 1, 6, 2}, 1, 0.95, 1)
	mean, deviation := s.Mean(0)
	near.To(t, "mean", mean, 3, 1e-15)
	near.To(t, "deviation", deviation*deviation, 14./3, 1e-14)
}
