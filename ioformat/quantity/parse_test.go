package quantity

import (
	"math"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

func unit(t *testing.T, symbol string, d Dimension) Unit {
	t.Helper()
	return must.Get(ParseUnit(symbol, d)).In(t)
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text  string
		d     Dimension
		value float64
		last  float64
	}{
		{"10pF", Capacitance, 10e-12, 1e-12},
		{"4.7 pF", Capacitance, 4.7e-12, 1e-13},
		{"4.70pF", Capacitance, 4.7e-12, 1e-14},
		{"100p", Capacitance, 100e-12, 1e-12},
		{"47 fF", Capacitance, 47e-15, 1e-15},
		{"3.3PF", Capacitance, 3.3e-12, 1e-13},
		{"0.01 µF", Capacitance, 10e-9, 1e-8}, // U+00B5
		{"0.01 μF", Capacitance, 10e-9, 1e-8}, // U+03BC
		{"0.01uF", Capacitance, 10e-9, 1e-8},
		{"1.5MHz", Frequency, 1.5e6, 1e5},
		{"1.5 MHZ", Frequency, 1.5e6, 1e5},
		{"1.5M", Frequency, 1.5e6, 1e5},
		{"850khz", Frequency, 850e3, 1e3},
		{"1.50e6 Hz", Frequency, 1.5e6, 1e4}, // the exponent doesn't eat the digit behind the point
		{"1.50E6Hz", Frequency, 1.5e6, 1e4},
		{"15e-1 MHz", Frequency, 1.5e6, 1e5},
		{".5 GHz", Frequency, 0.5e9, 1e8},
		{"2. kHz", Frequency, 2e3, 1e3},
		{"+2kHz", Frequency, 2e3, 1e3},
		{"−2 kHz", Frequency, -2e3, 1e3}, // U+2212
		{"20cm", Length, 0.2, 0.01},
		{"20 mm", Length, 0.02, 1e-3},
		{`8"`, Length, 8 * 0.0254, 0.0254},
		{"8 in", Length, 8 * 0.0254, 0.0254},
		{"8.0 inches", Length, 8 * 0.0254, 0.00254},
		{"0.3m", Length, 0.3, 0.1},
		{"770uH", Inductance, 770e-6, 1e-6},
		{"33 nH", Inductance, 33e-9, 1e-9},
		{"1mH", Inductance, 1e-3, 1e-3},
		{"470ohm", Resistance, 470, 1},
		{"4.7 kΩ", Resistance, 4.7e3, 100}, // U+03A9
		{"4.7 kΩ", Resistance, 4.7e3, 100}, // U+2126
		{"60%", Fraction, 0.6, 0.01},
		{"12 ppm", Fraction, 12e-6, 1e-6},
		{"560", Pure, 560, 1},
		{"5\u00a0V", Voltage, 5, 1}, // fixed space, as typographers set it
		{"\ufeff 5 ns\u200b ", Time, 5e-9, 1e-9},
		{"0", Pure, 0, 1},
	} {
		q, err := Form{Dimension: c.d}.Parse(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if q.Value != c.value {
			t.Errorf("%q: value %v, want %v", c.text, q.Value, c.value)
		}
		if !(math.Abs(q.LastDigit-c.last) <= 1e-12*c.last) {
			t.Errorf("%q: last digit worth %v, want %v", c.text, q.LastDigit, c.last)
		}
	}
}

// TestParseRefuses holds what Go's own ParseFloat or a careless reader would
// take, each with a word of what the message must say.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		says string
	}{
		{"1_000 Hz", Frequency, "without _"},
		{"0x10 Hz", Frequency, "decimal digits"},
		{"0x1p3", Pure, "decimal digits"},
		{"1d3 Hz", Frequency, "exponent with e: 1e3"},
		{"1D+3", Pure, "exponent with e"},
		{"NaN", Pure, "no value"},
		{"nan", Pure, "no value"},
		{"inf", Pure, "no value"},
		{"+Inf", Pure, "no value"},
		{"-Infinity", Pure, "no value"},
		{"1e-400", Pure, "too small"},
		{"1e-310", Pure, "too small"}, // a double there has lost digits
		{"1e400", Pure, "no reading"},
		{"1e99999999999999999999", Pure, "no reading"},
		{"0e700", Pure, "no reading"}, // its last digit would be worth infinity
		{"1e-99999999999999999999", Pure, "too small"},
		{"9.9E+37 Hz", Frequency, "no reading"},
		{"9.91E37", Pure, "no reading"},
		{"1,234.5 Hz", Frequency, "without a comma"},
		{"1,234 Hz", Frequency, "use ; between cells"},
		{"1'234 Hz", Frequency, "apostrophe"},
		{"1 234 Hz", Frequency, "without a space"},
		{"1\u00a0234 Hz", Frequency, "fixed"},
		{"1\u202f234 Hz", Frequency, "fixed"},
		{"1\u200b234 Hz", Frequency, "invisible"},
		{"1.5mhz", Frequency, "millihertz (mHz) or megahertz (MHz)"},
		{"1.5mHz", Frequency, "millihertz (mHz) or megahertz (MHz)"},
		{"1.5m", Frequency, "megahertz"},
		{"4.7mF", Capacitance, "microfarad"},
		{"4.7MF", Capacitance, "microfarad"},
		{"4.7 f", Capacitance, "fF or F"},
		{"2 MH", Inductance, "millihenry"},
		{"4.7 Hz", Capacitance, "Hz is the unit of a frequency"},
		{"4.7", Capacitance, "unit is missing"},
		{"4p7", Capacitance, "write 4.7 pF"},
		{"pF", Capacitance, ""},
		{"", Capacitance, ""},
		{"OL", Resistance, "no value"},
		{"****", Pure, "no value"},
		{"#N/A", Pure, "no value"},
		{"2026-03-01", Pure, "date"},
		{"1.2.3", Pure, "two decimal marks"},
		{"1..2", Pure, ""},
		{"--1", Pure, ""},
		{"1e", Pure, "exponent"},
		{"1e5.5", Pure, ""},
		{"٣", Pure, "digits 0 to 9"},
		{"12 turns", Pure, "nothing may follow"},
	} {
		q, err := Form{Dimension: c.d}.Parse(c.text)
		if err == nil {
			t.Errorf("%q was read as %v", c.text, q.Value)
			continue
		}
		if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v\ndoesn't say %q", c.text, err, c.says)
		}
		if strings.Contains(err.Error(), "strconv") || strings.Contains(err.Error(), "%!") {
			t.Errorf("%q: %v", c.text, err)
		}
	}
}

func TestParseWithUnitFromHeader(t *testing.T) {
	f := Form{Dimension: Frequency, Unit: unit(t, "MHz", Frequency)}
	for _, text := range []string{"1.523", "1.523MHz", "1523e-3", "1.523 M"} {
		if q, err := f.Parse(text); err != nil || q.Value != 1.523e6 {
			t.Errorf("%q: %v, %v", text, q.Value, err)
		}
	}
	if _, err := f.Parse("1523 kHz"); err == nil {
		t.Error("a cell that contradicts the header was read")
	}
	f.Mark = Comma
	if q, err := f.Parse("1,523"); err != nil || q.Value != 1.523e6 || q.Text != "1,523" {
		t.Errorf("decimal comma: %+v, %v", q, err)
	}
	if _, err := f.Parse("1.523"); err == nil {
		t.Error("a decimal point was read where the comma is the mark")
	}
}

// TestSameValue: one value is one double however it is written, so that parts
// can be told apart by value.
func TestSameValue(t *testing.T) {
	f := Form{Dimension: Capacitance}
	for _, text := range []string{"4.7pF", "4.70 pF", "0.0047 nF", "4700 fF", "4.7e-12 F", "0.0000047 µF", "470e-2pF"} {
		if q, err := f.Parse(text); err != nil || q.Value != 4.7e-12 {
			t.Errorf("%q: %v, %v", text, q.Value, err)
		}
	}
}

// TestDigitUncertainty: JCGM 100:2008, F.2.2.1, gives 0.29 δx for a resolution
// of δx.
func TestDigitUncertainty(t *testing.T) {
	for text, want := range map[string]float64{"1.523MHz": 0.29e3, "1.50e6Hz": 0.29e4, "1500000Hz": 0.29, "850kHz": 0.29e3} {
		q := must.Get(Form{Dimension: Frequency}.Parse(text)).In(t)
		if u := q.DigitUncertainty(); !(math.Abs(u-want) <= 0.005*want) {
			t.Errorf("%s: u = %v, want %v", text, u, want)
		}
	}
}

func TestParseUncertain(t *testing.T) {
	for _, c := range []struct {
		text         string
		value, plusm float64
		stated       bool
	}{
		{"770uH", 770e-6, 0, false},
		{"770uH±2%", 770e-6, 15.4e-6, true},
		{"770uH+/-15uH", 770e-6, 15e-6, true},
		{"770uH +- 0.015mH", 770e-6, 15e-6, true},
		{"770.3 ± 1.2 µH", 770.3e-6, 1.2e-6, true},
		{"(770.3 ± 1.2) µH", 770.3e-6, 1.2e-6, true},
		{"0.77mH±0", 0.77e-3, 0, true},
	} {
		q, err := Form{Dimension: Inductance}.ParseUncertain(c.text)
		if err != nil && c.text == "0.77mH±0" {
			continue // a ± needs its unit, be it 0
		}
		if err != nil || !(math.Abs(q.Value-c.value) <= 1e-15*c.value) || !(math.Abs(q.PlusMinus-c.plusm) <= 1e-14*c.plusm) || q.Stated != c.stated {
			t.Errorf("%q: %+v, %v", c.text, q, err)
		}
	}
	for _, text := range []string{"770±2%", "770uH±-1uH", "770uH±2pF", "±2%", "770uH±", "770uH±2%±3%", "(770uH±2%"} {
		if q, err := (Form{Dimension: Inductance}).ParseUncertain(text); err == nil {
			t.Errorf("%q was read as %+v", text, q)
		}
	}
	gain, err := Form{}.ParseUncertain("1.60±0.05")
	if err != nil || gain.Value != 1.6 || gain.PlusMinus != 0.05 {
		t.Errorf("plain number: %+v, %v", gain, err)
	}
	relative, err := Form{}.ParseUncertain("1.60±5%")
	if err != nil || !(math.Abs(relative.PlusMinus-0.08) <= 1e-15) {
		t.Errorf("plain number in percent: %+v, %v", relative, err)
	}
}

func TestParseStretch(t *testing.T) {
	for _, c := range []struct {
		text     string
		from, to float64
	}{
		{"60%", 0, 0.6}, {"0%", 0, 0}, {"100 %", 0, 1}, {"20..60%", 0.2, 0.6}, {"20%..60%", 0.2, 0.6},
		{"0 .. 60 %", 0, 0.6}, {"12.5..60%", 0.125, 0.6}, {"5e1%", 0, 0.5},
	} {
		from, to, err := Form{Dimension: Fraction}.ParseStretch(c.text)
		if err != nil || from != c.from || to != c.to {
			t.Errorf("%q: %v to %v, %v", c.text, from, to, err)
		}
	}
	for _, text := range []string{"60", "0.6", "120%", "-5%", "60..20%", "20..20%", "20-60%", "20..120%", "20…60%", "..60%", "20..%", "20..40..60%", "60pF"} {
		if from, to, err := (Form{Dimension: Fraction}).ParseStretch(text); err == nil {
			t.Errorf("%q was read as %v to %v", text, from, to)
		}
	}
}

func TestQuote(t *testing.T) {
	for text, want := range map[string]string{
		"1.5":                    `"1.5"`,
		"1\u00a05\u200b\x00\t\n": `"1<U+00A0>5<U+200B><U+0000><tab><line break>"`,
		strings.Repeat("µ", 41):  `"` + strings.Repeat("µ", 40) + `…"`,
	} {
		if got := Quote(text); got != want {
			t.Errorf("%q: %s", text, got)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"10pF", "1.5MHz", "60%", "770uH±2%", "770uH+/-15uH", "20..60%", "1.50e6", "−1,5 µH", "0x10", "1_0", "nan", "(1 ± 2) mH", "4p7", "1e400"} {
		f.Add(s, uint8(Inductance), byte('.'))
	}
	f.Add("1,5", uint8(Pure), byte(','))
	f.Fuzz(func(t *testing.T, text string, d uint8, mark byte) {
		form := Form{Dimension: Dimension(d % 9), Mark: Mark(mark)}
		if q, err := form.Parse(text); err == nil {
			if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || !(q.LastDigit > 0) || math.IsInf(q.LastDigit, 0) {
				t.Errorf("%q gave %+v", text, q)
			}
		} else if !strings.HasPrefix(err.Error(), "read ") {
			t.Errorf("%q: %v", text, err)
		}
		if q, err := form.ParseUncertain(text); err == nil && !(q.PlusMinus >= 0) {
			t.Errorf("%q gave %+v", text, q)
		}
		if from, to, err := (Form{Dimension: Fraction}).ParseStretch(text); err == nil && !(0 <= from && from <= to && to <= 1) {
			t.Errorf("%q covers %v to %v", text, from, to)
		}
	})
}
