package quantity

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

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

// places is the number of decimals of a number as written, without its power of ten.
func places(text string) int {
	text, _, _ = strings.Cut(text, "e")
	_, behind, _ := strings.Cut(text, ".")
	return len(behind)
}

// A standard uncertainty has two significant digits, its value as many decimals (JCGM 100:2008, 7.2.6), both in
// one unit, in which the larger of the two, as written, is from 1 to below 1000, where there is such a prefix.
// Digits are those that strconv rounds to.
func TestDigitsOfEveryUncertainty(t *testing.T) {
	tried := 0
	for _, mantissa := range []float64{1, 1.04, 1.06, 4.7, 9.4, 9.46, 9.6, 9.94, 9.96, 9.996} {
		for decade := -3; decade <= 9; decade++ {
			s, _ := strconv.ParseFloat(strconv.FormatFloat(mantissa, 'g', -1, 64)+"e"+strconv.Itoa(decade), 64)
			for _, of := range []float64{0, 0.3, 1, 12.34, 998.7, 99987, -54.32} {
				text := Format(of*s, s, "Hz")
				unit := map[string]float64{"Hz": 1, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}[text.Unit]
				v, err1 := strconv.ParseFloat(text.Value, 64)
				u, err2 := strconv.ParseFloat(text.Uncertainty, 64)
				if unit == 0 || err1 != nil || err2 != nil {
					t.Fatalf("%g ± %g: %+v", of*s, s, text)
				}
				want, _ := strconv.ParseFloat(strconv.FormatFloat(s, 'e', 1, 64), 64)
				digits := len(strings.TrimLeft(strings.ReplaceAll(strings.Split(text.Uncertainty, "e")[0], ".", ""), "0"))
				two := digits == 2 || digits > 2 && places(text.Uncertainty) == 0
				half := 0.5 * math.Pow10(int(math.Floor(math.Log10(want)+1e-9))-1)
				if math.Abs(u*unit/want-1) > 1e-9 || !two || places(text.Value) != places(text.Uncertainty) || math.Abs(v*unit-of*s) > half*(1+1e-9) {
					t.Errorf("%g ± %g: %s", of*s, s, text)
				}
				if large := math.Max(math.Abs(v), u); large < 1 && text.Unit != "Hz" || large >= 1000 && text.Unit != "GHz" {
					t.Errorf("%g ± %g: %s, in a prefix that doesn't fit", of*s, s, text)
				}
				tried++
			}
		}
	}
	if tried != 10*13*7 {
		t.Errorf("%d tried", tried)
	}
}

// Of an interval open at one end, three digits of the other are written; its unit is as for any value.
func TestDigitsOfOpenIntervals(t *testing.T) {
	for _, x := range []float64{1, 1.004, 1.23456, 3.3333, 9.5, 9.876, 9.949} {
		for decade, unit := range []string{"m", "m", "m"} {
			v := x * math.Pow10(decade)
			want := strconv.FormatFloat(x, 'f', 2, 64) // three digits
			want = strconv.FormatFloat(float(want)*math.Pow10(decade), 'f', 2-decade, 64)
			for got, text := range map[string]string{FormatInterval(v, math.Inf(1), "m").String(): want + " to ∞ " + unit, FormatInterval(-v, math.Inf(1), "m").String(): "-" + want + " to ∞ " + unit,
				FormatInterval(math.Inf(-1), v, "m").String(): "-∞ to " + want + " " + unit, FormatInterval(math.Inf(-1), -v, "m").String(): "-∞ to -" + want + " " + unit} {
				if got != text {
					t.Errorf("%g: %q, want %q", v, got, text)
				}
			}
		}
	}
	for unit, base := range map[string]string{"1": "", "Hz": "Hz", "": "", "pF": "pF"} {
		if got := BaseUnit(unit); got != base {
			t.Errorf("the base of %q is %q", unit, got)
		}
	}
}

// What has no uncertainty is written to so many digits, or to twelve where nothing says how many: the number that
// strconv rounds to, with a power of ten only where the digits alone would be hard to read, and no zeros behind
// what was asked for.
func TestDigitsWithoutUncertainty(t *testing.T) {
	tried := 0
	for _, x := range []float64{1, 1.6, 1.9996, 2, 3.14159265358979, 9.4, 9.94, 9.9951, 9.99999999996, 9.9999999999996} {
		for decade := -12; decade <= 14; decade++ {
			v := float(strconv.FormatFloat(x, 'g', -1, 64) + "e" + strconv.Itoa(decade))
			for n := 1; n <= 6; n++ {
				want := float(strconv.FormatFloat(v, 'e', n-1, 64))
				for _, sign := range []float64{1, -1} {
					text := Digits(sign*v, n)
					if got := float(text); math.Abs(got/(sign*want)-1) > 1e-14 || strings.Contains(text, "e") != (want < 1e-4 || want >= 1e6) || !strings.Contains(text, "e") && strings.Contains(text, ".") && strings.HasSuffix(text, "0") {
						t.Errorf("%g to %d digits: %s", sign*v, n, text)
					}
				}
				for base, units := range map[string]map[string]float64{"Hz": {"Hz": 1, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9}, "F": {"fF": 1e-15, "pF": 1e-12, "nF": 1e-9, "µF": 1e-6, "F": 1}} {
					text := FormatValue(v, n, base)
					number := float(text.Value)
					unit := units[text.Unit]
					last := base == "Hz" && text.Unit == "GHz" || base == "F" && text.Unit == "F"
					first := base == "Hz" && text.Unit == "Hz" || base == "F" && text.Unit == "fF"
					kind := math.Abs(number*unit/want-1) < 1e-9 && text.Uncertainty == ""
					if gap := base == "F" && text.Unit == "µF"; !kind || n > 1 && (number >= 1000*(1-1e-9) && !last && !gap || number < 1 && !first) {
						t.Errorf("%g to %d digits: %s", v, n, text)
					}
					tried++
				}
			}
			text, want := Format(v, 0, "").Value, float(strconv.FormatFloat(v, 'e', 11, 64))
			digits, power, set := strings.Cut(text, "e")
			if got := float(text); math.Abs(got/want-1) > 1e-15 || set != (want < 1e-4*(1-1e-15) || want >= 1e12) || set && (float(digits) < 1 || float(digits) >= 10 || float(power) == 0) || strings.Contains(digits, ".") && strings.HasSuffix(digits, "0") {
				t.Errorf("%g as it is: %s, want %g", v, text, want)
			}
		}
	}
	if tried != 10*27*6*2 {
		t.Errorf("%d tried", tried)
	}
}

// Every unit that is understood is one of its dimension, in capitals too, unless those are another's; a prefix
// alone, and a word, are none.
func TestDimensionsOfUnits(t *testing.T) {
	exact := map[string]Dimension{}
	for d := Fraction; d <= Time; d++ {
		for _, symbol := range d.symbols() {
			exact[symbol] = d
		}
	}
	if len(exact) != 33 || exact["mV"] != Voltage || exact["ps"] != Time {
		t.Errorf("%d units: %v", len(exact), exact)
	}
	for symbol, d := range exact {
		for _, text := range []string{symbol, " " + symbol + " ", strings.ToUpper(symbol), strings.ToLower(symbol)} {
			want, other := exact[text]
			if !other {
				want = d
			}
			one := len([]rune(strings.TrimSpace(text))) == 1 && !other && text != " "+symbol+" "
			if got, ok := DimensionOf(text); one == ok || ok && got != want {
				t.Errorf("%q is of %v, %v, want %v", text, got, ok, want)
			}
		}
	}
	for _, text := range []string{"", "p", "n", "k", "M", "G", "rod", "time", "added", "-", "1"} {
		if d, ok := DimensionOf(text); ok || LooksLikeUnit(text) {
			t.Errorf("%q is a unit of %v", text, d)
		}
	}
}

func float(text string) float64 {
	v, _ := strconv.ParseFloat(text, 64)
	return v
}
