package quantity

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fitcoil/internal/must"
)

// TestFormatGuide checks the rounding against examples of JCGM 100:2008.
func TestFormatGuide(t *testing.T) {
	for _, c := range []struct {
		where    string
		value, u float64
		base     string
		want     string
	}{
		{"7.2.6", 10.05762, 0.027, "Ω", "10.058 ± 0.027 Ω"},
		{"7.2.2", 100.02147, 0.35e-3, "g", "100.02147 ± 0.00035 g"},
		{"H.1.7", 50.000838e-3, 32e-9, "m", "50.000838 ± 0.000032 mm"},
		{"table H.4, R", 127.732, 0.071, "Ω", "127.732 ± 0.071 Ω"},
	} {
		if got := Format(c.value, c.u, c.base).String(); got != c.want {
			t.Errorf("%s: %s, want %s", c.where, got, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		value, u float64
		base     string
		want     string
	}{
		{770.3e-6, 1.2e-6, "H", "770.3 ± 1.2 µH"},
		{999.97e3, 1.2e3, "Hz", "1.0000 ± 0.0012 MHz"}, // would print as 1000.0 kHz
		{999.94e3, 0.12e3, "Hz", "999.94 ± 0.12 kHz"},
		{0.9996e-12, 0.012e-12, "F", "1.000 ± 0.012 pF"},
		{99.6e3, 9.96e3, "Hz", "100 ± 10 kHz"}, // the uncertainty gains a digit in rounding
		{1.593, 0.0123, "", "1.593 ± 0.012"},
		{1.593, 0.0123, "1", "1.593 ± 0.012"},
		{0, 1.2e-13, "F", "0 ± 120 fF"},
		{-1e-15, 1.2e-12, "F", "0.0 ± 1.2 pF"}, // no minus in front of zero
		{-38.2e3, 2.1e3, "Hz", "-38.2 ± 2.1 kHz"},
		{770e-6, 123e-6, "H", "770 ± 120 µH"},
		{0.3e-12, 2.1e-12, "F", "0.3 ± 2.1 pF"},
		{1.2e-14, 3e-16, "s²", "12000 ± 300 ns²"},
		{3e-13, 1e-15, "F·m²", "300.0 ± 1.0 fF·m²"},
		{3.3e-8, 1.2e-9, "", "3.30e-8 ± 0.12e-8"},
		{1.23e8, 4e6, "", "1.230e8 ± 0.040e8"},
		{0.0123, 0.0012, "%", "1.23 ± 0.12 %"},
		{5e-6, 1e-7, "ppm", "5.00 ± 0.10 ppm"},
		{1e-20, 1e-21, "F", "1.00e-5 ± 0.10e-5 fF"},
		{1.5e6, 1e-12, "Hz", "1.50000000000000 ± 1.0e-18 MHz"},
		{4.7e-12, 0, "F", "4.7 pF"},
		{100e-12, 0, "F", "100 pF"},
		{1e-7, 0, "", "1e-7"},
		{0, 0, "F", "0 F"},
		{0.1 + 0.2, 0, "", "0.3"},
		{1e-12, math.Inf(1), "F", Undetermined},
		{1e-12, math.NaN(), "F", Undetermined},
		{1e-12, -1e-13, "F", Undetermined},
		{math.NaN(), 1, "F", Undetermined},
		{math.Inf(-1), 1, "F", Undetermined},
	} {
		if got := Format(c.value, c.u, c.base).String(); got != c.want {
			t.Errorf("%g ± %g %s: %s, want %s", c.value, c.u, c.base, got, c.want)
		}
	}
	cm := unit(t, "cm", Length)
	if got := cm.Format(0.1234, 0.0021).String(); got != "12.34 ± 0.21 cm" {
		t.Errorf("in cm: %s", got)
	}
}

func TestFormatValue(t *testing.T) {
	for _, c := range []struct {
		value  float64
		digits int
		base   string
		want   string
	}{
		{1523412, 5, "Hz", "1.5234 MHz"}, {999996, 5, "Hz", "1.0000 MHz"}, {999994, 5, "Hz", "999.99 kHz"},
		{4.7e-12, 3, "F", "4.70 pF"}, {0.0000346, 2, "", "3.5e-5"}, {0, 3, "F", "0 F"}, {math.NaN(), 3, "F", Undetermined},
		{-0.2, 2, "m", "-200 mm"},
	} {
		if got := FormatValue(c.value, c.digits, c.base).String(); got != c.want {
			t.Errorf("%g to %d digits: %s, want %s", c.value, c.digits, got, c.want)
		}
	}
}

func TestFormatInterval(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		low, high float64
		base      string
		want      string
	}{
		{768.0e-6, 772.6e-6, "H", "768.0 to 772.6 µH"},
		{1.2, 1.9, "", "1.20 to 1.90"},
		{100, 103.2, "", "100.00 to 103.20"}, // a quarter of it, 0.80, to two digits
		{-0.1e-12, 0.3e-12, "F", "-100 to 300 fF"},
		{1e-12, inf, "F", "1.00 to ∞ pF"},
		{-inf, 2e-12, "F", "-∞ to 2.00 pF"},
		{-inf, inf, "F", Undetermined},
		{math.NaN(), 1, "F", Undetermined},
		{2, 2, "", "2 to 2"},
	} {
		if got := FormatInterval(c.low, c.high, c.base).String(); got != c.want {
			t.Errorf("%g to %g: %s, want %s", c.low, c.high, got, c.want)
		}
	}
}

func decimals(s string) int {
	mantissa, _, _ := strings.Cut(s, "e")
	if _, frac, ok := strings.Cut(mantissa, "."); ok {
		return len(frac)
	}
	return 0
}

// TestRoundTrip: what is written is read again as what was meant, within the
// rounding that was written.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(int(Frequency), int(Time)).Draw(t, "dimension"))
		value := rapid.Float64Range(0.1, 10).Draw(t, "mantissa") * math.Pow10(rapid.IntRange(-13, 8).Draw(t, "exponent"))
		if rapid.Bool().Draw(t, "negative") {
			value = -value
		}
		u := math.Abs(value) * math.Pow(10, rapid.Float64Range(-9, 1).Draw(t, "log of relative uncertainty"))
		text := Format(value, u, d.Base())
		q, err := Form{Dimension: d}.ParseUncertain(text.String())
		if err != nil {
			t.Fatalf("%v ± %v is written %q: %v", value, u, text, err)
		}
		place := math.Pow10(int(math.Floor(math.Log10(u))) - 1) // worth of the second digit of u
		if !(math.Abs(q.Value-value) <= 5.01*place) || !(math.Abs(q.PlusMinus-u) <= 5.01*place) {
			t.Fatalf("%v ± %v is written %q and read as %v ± %v", value, u, text, q.Value, q.PlusMinus)
		}
		if strings.Contains(text.Value, ".") && decimals(text.Value) != decimals(text.Uncertainty) {
			t.Fatalf("%q: value and uncertainty end at different places", text)
		}
		mantissa, _, _ := strings.Cut(text.Uncertainty, "e")
		digits := strings.TrimLeft(strings.Replace(mantissa, ".", "", 1), "0")
		if significant := strings.TrimRight(digits, "0"); len(significant) > 2 || len(digits) < 2 && strings.Contains(text.Uncertainty, ".") {
			t.Fatalf("%q: uncertainty not of two digits", text)
		}
	})
}

// TestPrefixReadsWell: the larger of value and uncertainty prints from 1 to
// below 1000, unless no smaller or larger prefix is in use.
func TestPrefixReadsWell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := math.Pow(10, rapid.Float64Range(-14.9, -6.1).Draw(t, "log F"))
		u := value * math.Pow(10, rapid.Float64Range(-5, 0.5).Draw(t, "log of relative uncertainty"))
		text := Format(value, u, "F")
		v, _ := strconv.ParseFloat(text.Value, 64)
		s, _ := strconv.ParseFloat(text.Uncertainty, 64)
		if far := math.Max(v, s); far < 1 && text.Unit != "fF" || far >= 1000 && text.Unit != "µF" {
			t.Fatalf("%v ± %v is written %q", value, u, text)
		}
	})
}

// TestUnitsAgree: a quantity is the same in each unit of its dimension.
func TestUnitsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(int(Fraction), int(Time)).Draw(t, "dimension"))
		symbol := rapid.SampledFrom(d.symbols()).Draw(t, "unit")
		x := rapid.Float64Range(1e-6, 1e6).Draw(t, "number")
		number := strconv.FormatFloat(x, 'f', -1, 64)
		q := must.Get(Form{Dimension: d}.Parse(number + symbol)).In(t)
		if got := q.Unit.FromSI(q.Value); !(math.Abs(got-x) <= 4e-16*x) {
			t.Fatalf("%s %s is %v in SI, which is %v %s", number, symbol, q.Value, got, symbol)
		}
		spaced, err := Form{Dimension: d, Unit: q.Unit}.Parse(number)
		if err != nil || spaced.Value != q.Value || spaced.LastDigit != q.LastDigit {
			t.Fatalf("%s under a header in %s: %v, %v", number, symbol, spaced, err)
		}
	})
}

// TestUnitSizes pins the sizes of units to the SI Brochure (9th edition, table
// 7) and the inch of 1959.
func TestUnitSizes(t *testing.T) {
	for symbol, want := range map[string]float64{"ppm": 1e-6, "%": 1e-2, "Hz": 1, "kHz": 1e3, "MHz": 1e6, "GHz": 1e9,
		"fF": 1e-15, "pF": 1e-12, "nF": 1e-9, "µF": 1e-6, "F": 1, "nH": 1e-9, "µH": 1e-6, "mH": 1e-3, "H": 1,
		"µm": 1e-6, "mm": 1e-3, "cm": 1e-2, "in": 25.4e-3, "m": 1, "mΩ": 1e-3, "Ω": 1, "kΩ": 1e3, "MΩ": 1e6,
		"µV": 1e-6, "mV": 1e-3, "V": 1, "kV": 1e3, "ps": 1e-12, "ns": 1e-9, "µs": 1e-6, "ms": 1e-3, "s": 1} {
		found := false
		for d := Fraction; d <= Time; d++ {
			if u, ok := known(symbol, d); ok {
				found = true
				if got := u.ToSI(1); !(math.Abs(got-want) <= 1e-15*want) {
					t.Errorf("1 %s = %v, want %v", symbol, got, want)
				}
			}
		}
		if !found {
			t.Errorf("%s is not known", symbol)
		}
	}
}
