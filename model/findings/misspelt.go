package findings

import (
	"math"
	"slices"
	"strconv"

	"fitcoil/model/readings"
)

// Decimals returns the decimal digits of f, without zeros at the end, and the power of
// ten of the first.
func Decimals(f float64) (digits []byte, exponent int) {
	s := strconv.FormatFloat(f, 'e', -1, 64)
	i := slices.Index([]byte(s), 'e')
	exponent, _ = strconv.Atoi(s[i+1:])
	for _, c := range []byte(s[:i]) {
		if c != '.' {
			digits = append(digits, c)
		}
	}
	return digits, exponent
}

// misspelt returns the number that a slip of the pen makes of read, among those within
// reach of what was expected: two neighbouring digits exchanged, one digit wrong, a
// digit left out or twice, or the point slipped. It returns NaN if there is none, or
// several.
func misspelt(read, expected, reach float64, n int) float64 {
	digits, exponent := Decimals(read)
	for len(digits) < n {
		digits = append(digits, '0')
	}
	value := func(d []byte, exponent int) float64 {
		v, _ := strconv.ParseFloat(string(d[:1])+"."+string(d[1:])+"e"+strconv.Itoa(exponent), 64) // beyond floating point, ±Inf
		return v
	}
	exchanged, wrong, other := map[float64]bool{}, map[float64]bool{}, map[float64]bool{}
	add := func(to map[float64]bool, d []byte, exponent int) {
		if v := value(d, exponent); math.Abs(v-expected) <= reach && v != read {
			to[v] = true
		}
	}
	for i := range digits {
		if i > 0 {
			d := slices.Clone(digits)
			d[i-1], d[i] = d[i], d[i-1]
			add(exchanged, d, exponent)
		}
		for c := byte('0'); c <= '9'; c++ {
			d := slices.Clone(digits)
			d[i] = c
			add(wrong, d, exponent)
			add(other, slices.Insert(slices.Clone(digits), i, c), exponent)
		}
		if len(digits) > 1 {
			add(other, slices.Delete(slices.Clone(digits), i, i+1), exponent)
		}
	}
	add(other, digits, exponent+1)
	add(other, digits, exponent-1)
	for _, found := range []map[float64]bool{exchanged, wrong, other} { // the likeliest first
		if len(found) == 1 {
			for v := range found {
				return v
			}
		}
		if len(found) > 1 {
			break
		}
	}
	return math.NaN()
}

// digits returns the number of decimal digits with which the readings are written,
// zeros at the end of single ones included.
func digits(l *readings.Log) (most int) {
	for i := range l.Readings {
		digits, _ := Decimals(l.Readings[i].Frequency)
		most = max(most, len(digits))
	}
	return min(most, 9)
}
