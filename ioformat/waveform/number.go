package waveform

import "math"

// scanNumber reads a decimal number at the front of b, with mark between its
// digits. last is the power of ten of its last digit, noDigit for a zero with
// an exponent (0.000e+00), whose digits say nothing. n is the number of bytes
// read; 0 when there is no number that this fast way can read exactly (Clinger,
// How to read floating point numbers accurately, PLDI 1990: digits below 2⁵³
// and a power of ten up to 22 need one correctly rounded operation).
func scanNumber(b []byte, mark byte) (v float64, last, n int) {
	const mostPower = 22
	i := 0
	minus := false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		minus = b[i] == '-'
		i++
	}
	m, digits := scanDigits(b[i:], 0)
	i += digits
	places := 0
	if i < len(b) && b[i] == mark {
		m, places = scanDigits(b[i+1:], m)
		i += 1 + places
	}
	if digits+places == 0 || m > mostDigits {
		return 0, 0, 0
	}
	e := -places
	scientific := i < len(b) && (b[i] == 'e' || b[i] == 'E')
	if scientific {
		power, k := scanExponent(b[i+1:])
		if k == 0 {
			return 0, 0, 0
		}
		e += power
		i += 1 + k
	}
	v = float64(m)
	switch {
	case e == 0:
	case e < 0 && e >= -mostPower:
		v /= math.Pow10(-e)
	case e > 0 && e <= mostPower:
		v *= math.Pow10(e)
	case m != 0:
		return 0, 0, 0
	}
	if minus {
		v = -v
	}
	if m == 0 && scientific {
		e = noDigit
	}
	return v, e, i
}

// noDigit is a power of ten that makes nothing.
const noDigit = -400

// mostDigits is the largest whole number below which a double has them all.
const mostDigits = 1<<53 - 1

// scanDigits appends the digits at the front of b to m, and returns their
// number. Beyond mostDigits it only counts.
func scanDigits(b []byte, m uint64) (uint64, int) {
	for i, c := range b {
		d := c - '0'
		if d > 9 {
			return m, i
		}
		if m <= mostDigits {
			m = 10*m + uint64(d)
		}
	}
	return m, len(b)
}

// scanExponent reads a signed integer of at most three digits; n = 0 means
// none.
func scanExponent(b []byte) (e, n int) {
	minus := false
	if n < len(b) && (b[n] == '-' || b[n] == '+') {
		minus = b[n] == '-'
		n++
	}
	start := n
	for n < len(b) && n-start < 4 {
		d := b[n] - '0'
		if d > 9 {
			break
		}
		e = 10*e + int(d)
		n++
	}
	if n == start || n-start == 4 {
		return 0, 0
	}
	if minus {
		e = -e
	}
	return e, n
}
