package quantity

import (
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// Each limit of what is written, from both sides; worked out by hand from JCGM 100:2008, 7.2.6, and from
// where a power of ten is set apart.
func TestLimitsOfWriting(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Count(0, "reading"), "0 readings"}, {Count(1, "reading"), "1 reading"}, {Count(2, "reading"), "2 readings"},
		{Listed(nil, "or"), ""}, {Listed([]string{"4"}, "or"), "4"}, {Listed([]string{"4", "7"}, "or"), "4 or 7"}, {Listed([]string{"4", "7", "9"}, "and"), "4, 7 and 9"},
		{Digits(999499, 3), "999000"}, {Digits(999500, 3), "1e+06"}, {Digits(123456, 2), "120000"}, {Digits(-1234567, 3), "-1.23e+06"}, {Digits(1234.5, -1), "1234.5"}, {Digits(0.00012345, 2), "0.00012"},
		{SignedDigits(1.25, 2), "+1.2"}, {SignedDecimals(1.26, 1), "+1.3"}, {SignedDecimals(-1.26, 1), "-1.3"}, {Decimals(1.26, 1), "1.3"}, {Decimals(1.26, -1), "1.26"}, {Scientific(12345, 2), "1.23e+04"},
		{FormatValue(1e7, 3, "").String(), "1.00e7"}, {FormatValue(994000, 3, "").String(), "994000"}, {FormatValue(996000, 3, "").String(), "996000"},
		{FormatValue(0.000996, 2, "").String(), "0.0010"}, {FormatValue(0.00096, 2, "").String(), "9.6e-4"},
		{FormatValue(0.000096, 1, "").String(), "1e-4"}, {FormatValue(0.0000996, 3, "").String(), "9.96e-5"}, {Format(9.96e-5, 1.2e-6, "").String(), "9.96e-5 ± 0.12e-5"}, {Format(9.996e-5, 1.2e-6, "").String(), "1.000e-4 ± 0.012e-4"},
		{FormatValue(12345, 2, "Hz").String(), "12 kHz"}, {FormatValue(0, 2, "Hz").String(), "0 Hz"},
		{Format(1e3, 2e6, "").String(), "0.0e6 ± 2.0e6"}, {Format(2e6, 1e3, "").String(), "2.0000e6 ± 0.0010e6"}, {Format(989000, 1000, "").String(), "989000 ± 1000"},
		{Format(999.96e3, 1200, "Hz").String(), "1.0000 ± 0.0012 MHz"}, {Format(999.4e3, 1200, "Hz").String(), "999.4 ± 1.2 kHz"}, {Format(1, 2e3, "Hz").String(), "0.0 ± 2.0 kHz"},
		{Format(1e-18, 1e-19, "F").String(), "0.00100 ± 0.00010 fF"}, {Format(1e-17, 1e-18, "F").String(), "0.0100 ± 0.0010 fF"}, {Format(9e-19, 1e-19, "F").String(), "9.0e-4 ± 1.0e-4 fF"},
		{Format(1e12, 0, "").String(), "1e12"}, {Format(123456789012, 0, "").String(), "123456789012"}, {Format(1234567890123, 0, "").String(), "1.23456789012e12"}, {Format(0.00001, 0, "").String(), "1e-5"}, {Format(0.0001, 0, "").String(), "0.0001"},
		{Format(1.0/3, 0, "m").String(), "333.333333333 mm"}, {Format(123.456, 1e-12, "m").String(), "123.456000000000 ± 1.0e-12 m"}, {Format(123.456, 1e-11, "m").String(), "123.456000000000 ± 0.000000000010 m"}, {Format(123.456, 1e-10, "m").String(), "123.45600000000 ± 0.00000000010 m"},
		{Format(1, math.Inf(1), "m").String(), Undetermined}, {Format(1, -1, "m").String(), Undetermined}, {Format(math.NaN(), 1, "m").String(), Undetermined}, {Format(-0.001, 1, "m").String(), "0.0 ± 1.0 m"},
		{Format(2e-12, 1e-13, "F·m²").String(), "2.00 ± 0.10 pF·m²"}, {Format(2e-18, 1e-19, "s²").String(), "2.00 ± 0.10 ns²"}, {Format(0.02, 0.001, "m").String(), "20.0 ± 1.0 mm"}, {Format(0.5, 0.01, "%").String(), "50.0 ± 1.0 %"},
		{Format(12.34, 5.6, "V").Concise(), "12.3(56) V"}, {Format(0.0001, 0.0005, "").Concise(), "1.0(50)e-4"}, {Format(123, 0, "V").Concise(), "123 V"}, {Format(123.456, 1e-12, "m").Concise(), "123.456000000000 ± 1.0e-12 m"}, {Text{"1.0e3", "2.0e2", "V"}.Concise(), "1.0e3 ± 2.0e2 V"},
		{FormatInterval(100, 104, "m").String(), "100.0 to 104.0 m"}, {FormatInterval(-104, -100, "m").String(), "-104.0 to -100.0 m"}, {FormatInterval(100, 140, "m").String(), "100 to 140 m"}, {FormatInterval(1e3, math.Inf(1), "m").String(), "1000 to ∞ m"},
		{FormatInterval(math.Inf(-1), 1e3, "Hz").String(), "-∞ to 1.00 kHz"}, {FormatInterval(math.Inf(-1), math.Inf(1), "Hz").String(), Undetermined}, {FormatInterval(math.Inf(1), math.Inf(1), "Hz").String(), Undetermined}, {FormatInterval(math.NaN(), 1, "Hz").String(), Undetermined}, {FormatInterval(1, math.Inf(-1), "Hz").String(), Undetermined},
		{Unit{}.End(math.NaN(), 1), "not found"}, {Unit{}.End(math.Inf(-1), 1), "open"}, {Unit{}.End(12.34, 0.5), "12.34"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	// Nothing is written of what is no number, in whichever place it stands; a unit is still one.
	inf, nan := math.Inf(1), math.NaN()
	for _, x := range []float64{inf, -inf, nan} {
		for where, got := range map[string]string{"a value": FormatValue(x, 3, "Hz").String(), "with ±": Format(x, 1, "Hz").String(), "as ±": Format(1, x, "Hz").String(),
			"without prefix": FormatValue(x, 3, "").String(), "in a unit": UnitFor(1e6, 1e3, "Hz").Format(x, 1e3).String(), "both": Format(x, x, "Hz").String(), "in short": Format(x, 1, "Hz").Concise()} {
			if got != Undetermined {
				t.Errorf("%v as %s: %q", x, where, got)
			}
		}
		if u := UnitFor(x, 1, "Hz"); u.Symbol != "Hz" {
			t.Errorf("%v: in %s", x, u.Symbol)
		}
	}
}

// Each limit of what is read, from both sides: a text that is read as a value, and one beside it that is refused.
func TestLimitsOfReading(t *testing.T) {
	pF, comma, share := Form{Dimension: Capacitance}, Form{Mark: Comma}, Form{Dimension: Fraction}
	for _, c := range []struct {
		f       Form
		text    string
		value   float64
		refused string
		says    string
	}{
		{Form{}, "9.8e37", 9.8e37, "9.9e37", "when it has no reading"},
		{Form{}, strings.Repeat("9", 37), 1e37, strings.Repeat("9", 39), "when it has no reading"},
		{Form{}, "0e30", 0, "0e700", "when it has no reading"},
		{Form{}, "3e-308", 3e-308, "2e-308", "too small to be true"},
		{Form{}, "0e-300", 0, "0e-400", "too small to be true"},
		{comma, "1234,5", 1234.5, "1,234,5", "there are two decimal marks"},
		{comma, "1,5", 1.5, "1.5", "the decimal mark of this file is the comma"},
		{Form{}, "1.5", 1.5, "1,5", "use ; between cells"},
		{Form{}, "1.5", 1.5, "1,234.5", "without a comma between them"},
		{Form{}, "1.", 1, "1.2.3", "as in a date"},
		{Form{}, "1.", 1, "1.2.", "there are two decimal marks"},
		{Form{}, "10", 10, "0x10", "in decimal digits"},
		{Form{}, "1e3", 1e3, "1d3", "write the exponent with e: 1e3"},
		{Form{}, "1e3", 1e3, "1e", "the digits of the exponent are missing"},
		{Form{}, "1e-3", 1e-3, "1e-", "the digits of the exponent are missing"},
		{Form{}, "−1.5", -1.5, "–1.5", "this is a dash"},
		{Form{}, "+1.5", 1.5, "~1.5", "write the number alone"},
		{Form{}, "1.5", 1.5, "1.5±0.1", "belongs into the column of its ±"},
		{Form{}, "1.5", 1.5, "1 500", "without a space between them"},
		{Form{}, "1.5", 1.5, "1'500", "without an apostrophe between them"},
		{Form{}, "1.5", 1.5, "1_500", "without _ between them"},
		{Form{}, "1.5", 1.5, "1\u00a0500", "without an (invisible, fixed) space between them"},
		{Form{}, "1.5", 1.5, "1\u200b5", "an invisible character"},
		{Form{}, "1.5", 1.5, "2026-01", "looks like a date"},
		{Form{}, "1.5", 1.5, "jan-05", "looks like a date"},
		{Form{}, "1.5", 1.5, "1O5", "a letter stands where a digit belongs"},
		{Form{}, "1.5", 1.5, "O15", "a letter stands where a digit belongs"},
		{Form{}, "1.5", 1.5, "٣", "write the digits 0 to 9"},
		{Form{}, "1.5", 1.5, "1.5 V", "nothing may follow the number"},
		{Form{}, "1.5", 1.5, "O9", "a letter stands where a digit belongs"},
		{Form{}, "1.5", 1.5, "l0", "a letter stands where a digit belongs"},
		{pF, "4.7p", 4.7e-12, "4p7", "write 4.7 pF"},
		{pF, "4.7 PF", 4.7e-12, "4.7 mF", "millifarad (mF), or microfarad (µF)"},
		{pF, "4.7 UF", 4.7e-6, "4.7 mfd", "millifarad (mF), or microfarad (µF)"},
		{pF, "4.7 n", 4.7e-9, "4.7", "the unit is missing"},
		{pF, "4.7 fF", 4.7e-15, "4.7 kHz", "kHz is the unit of a frequency"},
		{Form{Dimension: Frequency}, "4.7 khz", 4.7e3, "4.7 mhz", "millihertz (mHz) or megahertz (MHz)"},
		{Form{Dimension: Frequency}, "4.7 MHZ", 4.7e6, "4.7 m", "millihertz (mHz) or megahertz (MHz)"},
		{Form{Dimension: Inductance}, "4.7 mH", 4.7e-3, "4.7 MH", "millihenry (mH) or megahenry (MH)"},
		{Form{Dimension: Length}, "4.7 in", 4.7 * 0.0254, "4.7 MM", "a length"},
		{Form{Dimension: Length}, `8"`, 8 * 0.0254, "8 c", "a length"},
		{Form{Dimension: Length}, "3 cm", 0.03, "3 k", "a length"},
		{Form{Dimension: Resistance}, "4.7 kohms", 4.7e3, "4.7 F", "F is the unit of a capacitance"},
		{Form{Dimension: Resistance}, "4.7 mΩ", 4.7e-3, "4.7 mF", "a resistance"},
		{Form{Dimension: Voltage}, "4.7 µV", 4.7e-6, "4.7 A", "a voltage"},
		{Form{Dimension: Time}, "4.7 ps", 4.7e-12, "4.7 h", "a time"},
		{share, "250 ppm", 250e-6, "250", "the unit is missing"},
		{Form{Dimension: Capacitance, Relative: true}, "5 %", 0.05, "5 m", "a capacitance"},
		{Form{Dimension: Capacitance, Unit: must.Get(ParseUnit("nF", Capacitance)).In(t)}, "5 nF", 5e-9, "5 pF", "its unit is given as nF, here it is pF: write one unit"},
	} {
		q, err := c.f.Parse(c.text)
		if err != nil || math.Abs(q.Value-c.value) > 1e-14*math.Abs(c.value) {
			t.Errorf("%q: %v, %v, want %v", c.text, q.Value, err, c.value)
		}
		if q, err := c.f.Parse(c.refused); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v, %v, want %q", c.refused, q.Value, err, c.says)
		}
	}
	if got := Quote("a\rb\nc\td\u00a0ef") + Quote(strings.Repeat("x", 40)) + Quote(strings.Repeat("x", 41)); got != `"a<line break>b<line break>c<tab>d<U+00A0>ef""`+strings.Repeat("x", 40)+`""`+strings.Repeat("x", 40)+`…"` {
		t.Error(got)
	}
}

// Each rune that must not reach a screen, and its neighbours that may.
func TestLimitsOfHidden(t *testing.T) {
	for r, hidden := range map[rune]bool{0x1f: true, ' ': false, '~': false, 0x7f: true, 0x9f: true, 0xa0: false, 0xad: true, 0x200b: true, 0x200c: false, 0x200d: false, 0x200e: true,
		0x2027: false, 0x2028: true, 0x2029: true, 0x202e: true, 0xe000: true, 0xfeff: true, 0xfffd: false, 0xfffe: true, 0xffff: true, 0x10ffff: true, 'é': false, '€': false} {
		if Hidden(r) != hidden {
			t.Errorf("%U: hidden is %v", r, !hidden)
		}
	}
	for text, want := range map[string]string{"a\ufffdb": "a\ufffdb", "a\xffb": "a<0xFF>b", "a\tb\x7f": "a<U+0009>b<U+007F>", "rod": "rod"} {
		if got := Visible(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	for text, want := range map[string]string{"\"a\u007fb\u200bc\u200d\"": `"a\u007fb\u200bc` + "\u200d\"", "\"\U000e0001é\"": `"\udb40\udc01é"`, "{\"a\":\n1}": "{\"a\":\n1}"} {
		if got := string(VisibleJSON([]byte(text))); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A stretch lies within the whole, and grows.
func TestLimitsOfStretches(t *testing.T) {
	f := Form{Dimension: Fraction}
	for text, want := range map[string][2]float64{"0%": {0, 0}, "100%": {0, 1}, "0..100%": {0, 1}, "20 % .. 60 %": {0.2, 0.6}, "0..0.1%": {0, 0.001}, "20%..60%": {0.2, 0.6}} {
		if from, to, err := f.ParseStretch(text); err != nil || math.Abs(from-want[0])+math.Abs(to-want[1]) > 1e-15 {
			t.Errorf("%q: %g to %g, %v", text, from, to, err)
		}
	}
	for text, says := range map[string]string{"100.1%": "0 to 100 %", "-1%": "0 to 100 %", "120..60%": "0 to 100 %", "-20..60%": "0 to 100 %", "60..120%": "0 to 100 %", "60..60%": "the smaller number first", "60..20%": "the smaller number first",
		"20-60%": "a stretch is written 20..60%", "20…60%": "write two single points", "20..60": "the unit is missing", "x..60%": "or a stretch such as 20..60%"} {
		if from, to, err := f.ParseStretch(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %g to %g, %v, want %q", text, from, to, err, says)
		}
	}
	for text, want := range map[string]float64{"770uH±2%": 15.4e-6, "-5 mH ± 10 %": 0.5e-3, "(5 ± 1) mH": 1e-3, "5±1 mH": 1e-3, "5 mH +- 10 µH": 1e-5} {
		if q, err := (Form{Dimension: Inductance}).ParseUncertain(text); err != nil || !q.Stated && want > 0 || math.Abs(q.PlusMinus-want) > 1e-12*want {
			t.Errorf("%q: ± %g, %v, want %g", text, q.PlusMinus, err, want)
		}
	}
	for text, want := range map[string][2]float64{"60% ± 2%": {0.6, 0.02}, "60 % ± 2": {0.6, 0.02}, "60 ± 2 %": {0.6, 0.02}, "500ppm±20": {500e-6, 20e-6}} {
		if q, err := f.ParseUncertain(text); err != nil || math.Abs(q.Value-want[0])+math.Abs(q.PlusMinus-want[1]) > 1e-12 || q.Relative {
			t.Errorf("%q: %v ± %v, %v", text, q.Value, q.PlusMinus, err)
		}
	}
	if _, err := f.ParseUncertain("60% ± -2%"); err == nil || !strings.Contains(err.Error(), "a ± is not negative") {
		t.Error(err)
	}
}
