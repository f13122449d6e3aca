package quantity

import "testing"

// By hand.
func TestDigits(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Digits(12.3456, 3), "12.3"}, {Digits(0.1200, 3), "0.12"}, {Digits(1e6, 3), "1e+06"}, {Digits(1000, 3), "1000"}, {Digits(-12345, 2), "-12000"}, {Digits(999999, 3), "1e+06"}, {Digits(0.00001234, 2), "1.2e-05"}, {Digits(0.1, -1), "0.1"},
		{SignedDigits(2.345, 2), "+2.3"}, {SignedDigits(-2.345, 2), "-2.3"},
		{Decimals(2.25, 1), "2.2"}, {Decimals(97.5, 0), "98"}, {Decimals(0.125, -1), "0.125"},
		{SignedDecimals(0.04, 1), "+0.0"}, {SignedDecimals(-3, 1), "-3.0"}, {Scientific(123456, 1), "1.2e+05"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
