package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// What has no uncertainty of its own to be rounded by is rounded here: shares, distances as
// set, statistics. All other numbers go through Format.

// Digits writes v with n significant digits, zeros at the end left out; with all it has
// where n is negative. Below a million there is no power of ten: 1000, not 1e+03.
func Digits(v float64, n int) string {
	if n < 0 {
		return fmt.Sprintf("%g", v)
	}
	s := fmt.Sprintf("%.*g", n, v)
	if rounded, err := strconv.ParseFloat(s, 64); err == nil && math.Abs(rounded) >= 1 && math.Abs(rounded) < 1e6 {
		return strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	return s
}

// SignedDigits is Digits with the sign of positive numbers too.
func SignedDigits(v float64, n int) string { return fmt.Sprintf("%+.*g", n, v) }

// Decimals writes v with n digits behind the point; with as many as it has where n is
// negative.
func Decimals(v float64, n int) string { return strconv.FormatFloat(v, 'f', n, 64) }

// SignedDecimals is Decimals with the sign of positive numbers too.
func SignedDecimals(v float64, n int) string { return fmt.Sprintf("%+.*f", n, v) }

// Scientific writes v with n digits behind the point and a power of ten.
func Scientific(v float64, n int) string { return fmt.Sprintf("%.*e", n, v) }

// Count says how many there are of something: "1 reading", "3 readings".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Listed joins words as a sentence does, the last two by another: "4, 7 and 9".
func Listed(words []string, by string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " " + by + " " + words[last]
}
