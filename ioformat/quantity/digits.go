package quantity

import (
	"fmt"
	"strconv"
)

// What has no uncertainty of its own to be rounded by is rounded here: shares, distances as
// set, statistics. All other numbers go through Format.

// Digits writes v with n significant digits, zeros at the end left out; with all it has
// where n is negative.
func Digits(v float64, n int) string {
	if n < 0 {
		return fmt.Sprintf("%g", v)
	}
	return fmt.Sprintf("%.*g", n, v)
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
