// Package near compares numbers, for the tests. NaN is near to nothing.
package near

import (
	"math"
	"testing"
)

// To tells the test if got is farther from want than the tolerance.
func To(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g ± %.2g", what, got, want, tolerance)
	}
}

// Times tells the test if the ratio of got and want is farther from one than the tolerance.
func Times(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got/want-1) <= tolerance) {
		t.Errorf("%s: %.12g, want %.12g (%+.2g of it)", what, got, want, got/want-1)
	}
}
