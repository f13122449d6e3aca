package decisions

import (
	"math"
	"slices"
	"testing"
)

// The preferred numbers of IEC 60063, series E24, on both sides of what is wanted, in every
// decade; the E6 series is every fourth of them.
func TestPreferredNumbers(t *testing.T) {
	e24 := []float64{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91, 100}
	for i := range e24[1:] {
		for _, decade := range []float64{1e-13, 1e-12, 1e-10} {
			below, above := Preferred(decade * math.Sqrt(e24[i]*e24[i+1]))
			if !(math.Abs(below/(decade*e24[i])-1) <= 1e-9) || !(math.Abs(above/(decade*e24[i+1])-1) <= 1e-9) {
				t.Errorf("between %g and %g: %g and %g", decade*e24[i], decade*e24[i+1], below, above)
			}
		}
	}
	got := series6(1e-12, 20e-12)
	for i, want := range []float64{1, 1.5, 2.2, 3.3, 4.7, 6.8, 10, 15} {
		if len(got) != 8 || !(math.Abs(got[i]/(want*1e-12)-1) <= 1e-9) {
			t.Fatalf("E6 from 1 to 20 pF: %g", got)
		}
	}
	for _, c := range []struct {
		from, to float64
		want     []float64
	}{{1, 10, []float64{1, 1.5, 2.2, 3.3, 4.7, 6.8, 10}}, {1.01, 9.99, []float64{1.5, 2.2, 3.3, 4.7, 6.8}}, {3.3, 3.3, []float64{3.3}}} { // ends included
		if got := series6(c.from, c.to); !slices.Equal(got, c.want) {
			t.Errorf("E6 from %v to %v F: %v", c.from, c.to, got)
		}
	}
}
