package readings

import (
	"slices"
	"testing"
)

// Moments count from the middle of the readings used: a log with times by these, one
// without by its rows. What isn't used may lie outside.
func TestMomentsCountFromTheMiddle(t *testing.T) {
	rows := Log{Readings: []Reading{{Use: false}, {Use: true}, {Use: true}, {Use: true}}}
	if got := rows.RelativeMoments(); !slices.Equal(got, []float64{-1, -0.5, 0, 0.5}) {
		t.Errorf("rows at %v", got)
	}
	timed := rows
	timed.Moments = []float64{0, 10, 15, 30}
	if got := timed.RelativeMoments(); !slices.Equal(got, []float64{-1, -0.5, -0.25, 0.5}) {
		t.Errorf("times at %v", got)
	}
	one := Log{Readings: []Reading{{Use: true}}}
	if got := one.RelativeMoments(); !slices.Equal(got, []float64{0}) {
		t.Errorf("one reading at %v", got)
	}
}
