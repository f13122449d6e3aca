package quantity

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"
)

// Each unit that is understood is worth what the SI brochure (9th ed. 2019, tables 2, 4 and 7)
// says, an inch 25.4 mm; FromSI is the way back.
func TestUnitsAreWorthWhatSISays(t *testing.T) {
	prefix := map[string]float64{"f": 1e-15, "p": 1e-12, "n": 1e-9, "µ": 1e-6, "m": 1e-3, "c": 1e-2, "": 1, "k": 1e3, "M": 1e6, "G": 1e9}
	all := map[Dimension]string{Fraction: "ppm %", Frequency: "Hz kHz MHz GHz", Capacitance: "fF pF nF µF F", Inductance: "nH µH mH H", Length: "µm mm cm in m",
		Resistance: "mΩ Ω kΩ MΩ", Voltage: "µV mV V kV", Time: "ps ns µs ms s"}
	base := map[Dimension]string{Frequency: "Hz", Capacitance: "F", Inductance: "H", Length: "m", Resistance: "Ω", Voltage: "V", Time: "s"}
	other := map[string]float64{"ppm": 1e-6, "%": 1e-2, "in": 0.0254}
	for d := Pure; d <= Time; d++ {
		if got := strings.Join(d.symbols(), " "); got != all[d] || d.Base() != base[d] {
			t.Errorf("%v: %q of %q, want %q of %q", d, got, d.Base(), all[d], base[d])
		}
		for _, symbol := range d.symbols() {
			want, ok := other[symbol]
			if !ok {
				want = prefix[strings.TrimSuffix(symbol, d.Base())]
			}
			u, err := ParseUnit(symbol, d)
			if err != nil || u.Symbol != symbol || u.Dimension != d || math.Abs(u.ToSI(3)/(3*want)-1) > 1e-15 || math.Abs(u.FromSI(3*want)/3-1) > 1e-15 {
				t.Errorf("%s: %+v, 3 of it are %v and back %v: %v", symbol, u, u.ToSI(3), u.FromSI(3*want), err)
			}
			if is, ok := DimensionOf(symbol); !ok || is != d || !LooksLikeUnit(symbol) {
				t.Errorf("%s is taken as one of %v, %v", symbol, is, ok)
			}
		}
	}
	for d, want := range map[Dimension]string{Pure: "a number", Fraction: "a percentage", Frequency: "a frequency", Capacitance: "a capacitance", Inductance: "an inductance", Length: "a length",
		Resistance: "a resistance", Voltage: "a voltage", Time: "a time"} {
		if d.String() != want {
			t.Errorf("%q, want %q", d.String(), want)
		}
	}
}

// Spellings that leave no doubt are forgiven; others are refused, and told what they could mean.
func TestSpellingsOfUnits(t *testing.T) {
	for _, c := range []struct {
		text, want string
		d          Dimension
	}{
		{"khz", "kHz", Frequency}, {"KHZ", "kHz", Frequency}, {"MHZ", "MHz", Frequency}, {"ghz", "GHz", Frequency}, {"hz", "Hz", Frequency}, {"k", "kHz", Frequency}, {"M", "MHz", Frequency}, {"G", "GHz", Frequency}, {"g", "GHz", Frequency},
		{"PF", "pF", Capacitance}, {"p", "pF", Capacitance}, {"P", "pF", Capacitance}, {"NF", "nF", Capacitance}, {"uF", "µF", Capacitance}, {"UF", "µF", Capacitance}, {"μF", "µF", Capacitance}, {"u", "µF", Capacitance}, {"µ", "µF", Capacitance}, {"ff", "fF", Capacitance}, {"FF", "fF", Capacitance},
		{"UH", "µH", Inductance}, {"mh", "mH", Inductance}, {"mH", "mH", Inductance}, {"MH", "", Inductance}, {"n", "nH", Inductance}, {"h", "H", Inductance},
		{"CM", "cm", Length}, {"MM", "", Length}, {"Mm", "", Length}, {"inch", "in", Length}, {"Inches", "in", Length}, {"″", "in", Length}, {`"`, "in", Length}, {"IN", "in", Length}, {"M", "", Length}, {"c", "", Length}, {"um", "µm", Length},
		{"ohm", "Ω", Resistance}, {"Ohms", "Ω", Resistance}, {"kohm", "kΩ", Resistance}, {"KOHM", "kΩ", Resistance}, {"Mohms", "MΩ", Resistance}, {"Ω", "Ω", Resistance}, {"k", "kΩ", Resistance},
		{"v", "V", Voltage}, {"KV", "kV", Voltage}, {"uv", "µV", Voltage}, {"NS", "ns", Time}, {"us", "µs", Time}, {"S", "s", Time}, {" pF ", "pF", Capacitance},
		{"mhz", "", Frequency}, {"mHz", "", Frequency}, {"m", "", Frequency}, {"mF", "", Capacitance}, {"MFD", "", Capacitance}, {"f", "", Capacitance}, {"m", "mH", Inductance}, {"", "", Frequency}, {"ms", "ms", Time}, {"MS", "", Time}, {"x", "", Frequency},
	} {
		u, err := ParseUnit(c.text, c.d)
		if u.Symbol != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%q of %v: %q, %v, want %q", c.text, c.d, u.Symbol, err, c.want)
		}
	}
	for _, c := range []struct {
		text string
		d    Dimension
		want string
	}{
		{"mhz", Frequency, `read "mhz", expected a unit of frequency (Hz, kHz, MHz or GHz); "mhz" could mean millihertz (mHz) or megahertz (MHz): write the one that is meant`},
		{"m", Frequency, `read "m", expected a unit of frequency (Hz, kHz, MHz or GHz); "m" could mean millihertz (mHz) or megahertz (MHz): write the one that is meant`},
		{"MFD", Capacitance, `read "MFD", expected a unit of capacitance (fF, pF, nF, µF or F); "MFD" could mean millifarad (mF), or microfarad (µF) as old parts are marked: write the one that is meant`},
		{"m", Capacitance, `read "m", expected a unit of capacitance (fF, pF, nF, µF or F); "m" could mean millifarad (mF), or microfarad (µF) as old parts are marked: write the one that is meant`},
		{"MH", Inductance, `read "MH", expected a unit of inductance (nH, µH, mH or H); "MH" could mean millihenry (mH) or megahenry (MH): write the one that is meant`},
		{"M", Inductance, `read "M", expected a unit of inductance (nH, µH, mH or H); "M" could mean millihenry (mH) or megahenry (MH): write the one that is meant`},
		{"f", Capacitance, `read "f", expected a unit of capacitance (fF, pF, nF, µF or F); "f" could mean fF or F: write the one that is meant`},
		{"MS", Time, `read "MS", expected a unit of time (ps, ns, µs, ms or s); "MS" could mean ms: write the one that is meant`},
		{"pF", Frequency, `read "pF", expected a unit of frequency (Hz, kHz, MHz or GHz); pF is the unit of a capacitance`},
		{"ns", Frequency, `read "ns", expected a unit of frequency (Hz, kHz, MHz or GHz); ns is the unit of a time`},
		{"%", Time, `read "%", expected a unit of time (ps, ns, µs, ms or s); % is the unit of a percentage`},
		{"x", Length, `read "x", expected a unit of length (µm, mm, cm, in or m)`},
		{"x", Pure, `read "x", expected a plain number without a unit`},
		{"x", Fraction, `read "x", expected a unit of percentage (ppm or %)`},
	} {
		if _, err := ParseUnit(c.text, c.d); err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
	for text, want := range map[string]Dimension{"mhz": Frequency, "MFD": Capacitance, "khz": Frequency, "PF": Capacitance, "mh": Inductance, "Mohm": Resistance, "KV": Voltage, "m": Length, "s": Time, "V": Voltage, "F": Capacitance, "H": Inductance, "Ω": Resistance, "%": Fraction} {
		if d, ok := DimensionOf(text); !ok || d != want {
			t.Errorf("%q is taken as one of %v, %v", text, d, ok)
		}
	}
	for _, text := range []string{"k", "p", "µ", "u", "", "x", "rod", "M"} {
		if d, ok := DimensionOf(text); ok || d != Pure || LooksLikeUnit(text) {
			t.Errorf("%q is taken as a unit of %v", text, d)
		}
	}
}

// What is refused says what was expected and what to do.
func TestRefusalsSayWhatToDo(t *testing.T) {
	MHz, pF := unit(t, "MHz", Frequency), unit(t, "pF", Capacitance)
	const date = "that looks like a date, a time or a range; a spreadsheet makes dates of numbers unless the column is set to text"
	const letter = "a letter stands where a digit belongs"
	const frequency, megahertz = "a frequency with its unit (Hz, kHz, MHz, GHz)", "a number in MHz"
	for _, c := range []struct {
		f              Form
		text, expected string
		do             string
	}{
		{Form{Dimension: Frequency, Unit: MHz}, "1.5 kHz", megahertz, "its unit is given as MHz, here it is kHz: write one unit"},
		{Form{Dimension: Frequency, Unit: MHz}, "1.5 pF", megahertz, "pF is the unit of a capacitance"},
		{Form{Dimension: Frequency, Unit: MHz}, "1.5 x", megahertz, "nothing but the unit may follow the number"},
		{Form{Dimension: Frequency, Unit: MHz}, "", megahertz, ""},
		{Form{Dimension: Frequency}, "1.5", frequency, "the unit is missing"},
		{Form{Dimension: Frequency, Relative: true}, "1.5", frequency + " or a percentage", "the unit is missing"},
		{Form{Dimension: Fraction}, "1.5", "a percentage such as 60%", "the unit is missing"},
		{Form{}, "1.5 MHz", "a number", "nothing may follow the number"},
		{Form{}, "n/a", "a number", "it says that there is no value: leave it out"},
		{Form{}, "–5", "a number", "a minus is written - (this is a dash)"}, {Form{}, "—5", "a number", "a minus is written - (this is a dash)"},
		{Form{}, "~5", "a number", "write the number alone; how well it is known belongs into the ±"}, {Form{}, "<5", "a number", "write the number alone; how well it is known belongs into the ±"}, {Form{}, "≥5", "a number", "write the number alone; how well it is known belongs into the ±"},
		{Form{}, "O.5", "a number", letter}, {Form{}, "l5", "a number", letter}, {Form{}, "Oh", "a number", ""},
		{Form{}, "Mar 5", "a number", date}, {Form{}, "dec-24", "a number", date}, {Form{}, "Marc", "a number", ""}, {Form{}, "Max 5", "a number", ""}, {Form{}, "٣", "a number", "write the digits 0 to 9"},
		{Form{}, "1,234.5", "a number", "write the digits without a comma between them"}, {Form{}, "1,234", "a number", "if the comma is a decimal mark, use ; between cells"},
		{Form{Mark: Comma}, "1.234", "a number", "the decimal mark of this file is the comma; digits are not grouped"},
		{Form{}, "1.2.3", "a number", "there are two decimal marks, as in a date"}, {Form{}, "1.2.", "a number", "there are two decimal marks"}, {Form{}, "1.2,", "a number", "there are two decimal marks"}, {Form{Mark: Comma}, "1,2,", "a number", "there are two decimal marks"},
		{Form{}, "1 234", "a number", "write the digits without a space between them"}, {Form{}, "1'234", "a number", "write the digits without an apostrophe between them"}, {Form{}, "1’234", "a number", "write the digits without an apostrophe between them"},
		{Form{}, "1_234", "a number", "write the digits without _ between them"}, {Form{}, "1\u202f234", "a number", "write the digits without an (invisible, fixed) space between them"},
		{Form{}, "1\u200b234", "a number", "there is an invisible character in it: type the cell anew"},
		{Form{}, "0x1F", "a number", "write the number in decimal digits"}, {Form{}, "0X1", "a number", "write the number in decimal digits"}, {Form{}, "1x", "a number", "nothing may follow the number"},
		{Form{}, "1.5d3", "a number", "write the exponent with e: 1.5e3"}, {Form{}, "1D-3", "a number", "write the exponent with e: 1e-3"}, {Form{}, "1d", "a number", "nothing may follow the number"},
		{Form{}, "5±1", "a number", "how well it is known belongs into the column of its ±"}, {Form{}, "5+/-1", "a number", "how well it is known belongs into the column of its ±"},
		{Form{}, "5-6", "a number", date}, {Form{}, "5/6", "a number", date}, {Form{}, "5:06", "a number", date}, {Form{}, "5-x", "a number", "nothing may follow the number"},
		{Form{}, "1O", "a number", letter}, {Form{}, "1l5", "a number", letter}, {Form{}, "1O.5", "a number", letter}, {Form{}, "1O,5", "a number", letter}, {Form{}, "1Ox", "a number", "nothing may follow the number"},
		{Form{}, "1e", "a number", "the digits of the exponent are missing"}, {Form{}, "1E-", "a number", "the digits of the exponent are missing"},
		{Form{Dimension: Capacitance}, "4p7", "a capacitance with its unit (fF, pF, nF, µF, F)", "write 4.7 pF"}, {Form{Dimension: Resistance}, "4k75", "a resistance with its unit (mΩ, Ω, kΩ, MΩ)", "write 4.75 kΩ"},
		{Form{Dimension: Capacitance, Unit: pF}, "4x7", "a number in pF", "nothing but the unit may follow the number"},
		{Form{}, "9.9e37", "a number", "so large a number is what an instrument writes when it has no reading (9.9E+37): leave it out"}, {Form{}, "-1e38", "a number", "so large a number is what an instrument writes when it has no reading (9.9E+37): leave it out"},
		{Form{}, "1e-308", "a number", "the number is too small to be true"}, {Form{}, "0e-400", "a number", "the number is too small to be true"},
		{Form{Dimension: Voltage, Unit: unit(t, "mV", Voltage)}, "1 V", "a number in mV", "its unit is given as mV, here it is V: write one unit"},
		{Form{Dimension: Frequency, Relative: true}, "5 x", frequency + " or a percentage", "nothing but the unit may follow the number"},
	} {
		_, err := c.f.Parse(c.text)
		var e *Error
		if !errors.As(err, &e) || e.Read != Trim(c.text) || e.Expected != c.expected || e.Do != c.do {
			t.Errorf("%q: %v, want %q; %q", c.text, err, c.expected, c.do)
		}
	}
	for _, c := range []struct {
		text string
		want float64
	}{{"9.8e37", 9.8e37}, {"2.3e-308", 2.3e-308}, {"-2.3e-308", -2.3e-308}, {"0", 0}, {"0.0e5", 0}, {"1e+3", 1000}, {"1e−3", 1e-3}, {"-5", -5}, {"1234567890123456789012345678901234567", 1234567890123456789012345678901234567}} {
		if q, err := (Form{}).Parse(c.text); err != nil || q.Value != c.want || q.Text != c.text {
			t.Errorf("%q: %+v, %v", c.text, q, err)
		}
	}
	if q, err := (Form{Dimension: Frequency, Unit: MHz, Relative: true}).Parse("5"); err != nil || q.Value != 5e6 {
		t.Errorf("%+v, %v", q, err)
	}
	if _, err := (Form{Dimension: Frequency, Relative: true}).Parse("5%"); err != nil {
		t.Error(err)
	}
	if _, err := (Form{Dimension: Frequency}).Parse("5%"); err == nil {
		t.Error("a percentage is no frequency")
	}
	for _, text := range []string{"nan", "+inf", "-Infinity", "#N/A", "n/a", "NA", "#VALUE!", "#DIV/0!", "#NUM!", "#REF!", "#NAME?", "#NULL!", "#SPILL!", "#CALC!", "#ERROR!", "null", "None", "nil", "OL", "O.L", "O.L.", "OVL", "ovld", "ovrflw", "over", "overflow", "OVERLOAD", "Over Range", "undef", "***", "???", "###", "...", "--", "---", " nan "} {
		if !IsMarker(text) {
			t.Errorf("%q is no marker", text)
		}
	}
	for _, text := range []string{"", "-", "+", "0", "rod", "nano", "a*"} {
		if IsMarker(text) {
			t.Errorf("%q is a marker", text)
		}
	}
	for text, want := range map[string]string{"1,5": `read "1,5", expected a point as decimal mark on the command line; write 1.5`, "added=1,5pF": `read "added=1,5pF", expected a point as decimal mark on the command line; write added=1.5pF`} {
		if err := DecimalComma(text); err == nil || err.Error() != want {
			t.Errorf("%q: %v", text, err)
		}
	}
	for _, text := range []string{"1.5", ",5", "5,", "a,5", "5,a", ""} {
		if err := DecimalComma(text); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A ± takes the unit of its value, or a percentage of it.
func TestPlusMinus(t *testing.T) {
	MHz := unit(t, "MHz", Frequency)
	for _, c := range []struct {
		f            Form
		text         string
		value, plusm float64
	}{
		{Form{Dimension: Frequency, Unit: MHz}, "1.5±0.1", 1.5e6, 1e5}, {Form{Dimension: Frequency, Unit: MHz}, "1.5±1%", 1.5e6, 1.5e4}, {Form{Dimension: Frequency, Unit: MHz}, "1.5±1kHz", 1.5e6, 1e3}, {Form{Dimension: Frequency, Unit: MHz}, "1.5MHz±0.", 1.5e6, 0},
		{Form{Dimension: Fraction}, "60%±2%", 0.6, 0.02}, {Form{Dimension: Fraction}, "60±2%", 0.6, 0.02}, {Form{Dimension: Inductance}, "-770uH±2%", -770e-6, 15.4e-6}, {Form{Dimension: Inductance}, "(5±1)mH", 5e-3, 1e-3}, {Form{Dimension: Inductance}, "5mH±20uH", 5e-3, 20e-6},
		{Form{Dimension: Inductance, Mark: Comma}, "5,5±0,1 mH", 5.5e-3, 0.1e-3},
	} {
		q, err := c.f.ParseUncertain(c.text)
		if err != nil || math.Abs(q.Value-c.value) > 1e-12*math.Abs(c.value) || math.Abs(q.PlusMinus-c.plusm) > 1e-12*c.plusm || !q.Stated || q.Text != strings.NewReplacer("(", "", ")", "").Replace(c.text) {
			t.Errorf("%q: %+v, %v, want %v ± %v", c.text, q, err, c.value, c.plusm)
		}
	}
	for text, want := range map[string]string{
		"770uH±-1uH": `read "-1uH", expected an inductance with its unit (nH, µH, mH, H) or a percentage; a ± is not negative`,
		"770uH±2pF":  `read "2pF", expected an inductance with its unit (nH, µH, mH, H) or a percentage; pF is the unit of a capacitance`,
		"770±2%":     `read "770", expected an inductance with its unit (nH, µH, mH, H); the unit is missing`,
		"(770uH±2%":  `read "(770uH", expected an inductance with its unit (nH, µH, mH, H)`,
		"770uH±0":    `read "0", expected an inductance with its unit (nH, µH, mH, H) or a percentage; the unit is missing`,
		"x":          `read "x", expected an inductance with its unit (nH, µH, mH, H)`,
	} {
		if _, err := (Form{Dimension: Inductance}).ParseUncertain(text); err == nil || err.Error() != want {
			t.Errorf("%q: %v\nwant %s", text, err, want)
		}
	}
	for _, c := range []struct {
		f          Form
		text, want string
	}{
		{Form{Dimension: Fraction}, "120%", `read "120%", expected 0 to 100 %; a core covers at most the whole winding`},
		{Form{Dimension: Fraction}, "-5%", `read "-5%", expected 0 to 100 %; a core covers at most the whole winding`},
		{Form{Dimension: Fraction}, "-5..20%", `read "-5..20%", expected 0 to 100 %; a core covers at most the whole winding`},
		{Form{Dimension: Fraction}, "120..130%", `read "120..130%", expected 0 to 100 %; a core covers at most the whole winding`},
		{Form{Dimension: Fraction}, "60..20%", `read "60..20%", expected a stretch such as 20..60%; count from the grounded end, the smaller number first`},
		{Form{Dimension: Fraction}, "20..20%", `read "20..20%", expected a stretch such as 20..60%; count from the grounded end, the smaller number first`},
		{Form{Dimension: Fraction, Unit: unit(t, "%", Fraction)}, "60..20", `read "60..20", expected a stretch such as 20..60; count from the grounded end, the smaller number first`},
		{Form{Dimension: Fraction}, "20-60%", `read "20-60%", expected a percentage such as 60% or a stretch such as 20..60%; a stretch is written 20..60%`},
		{Form{Dimension: Fraction}, "20–60%", `read "20–60%", expected a percentage such as 60% or a stretch such as 20..60%; a stretch is written 20..60%`},
		{Form{Dimension: Fraction}, "20…60%", `read "20…60%", expected a percentage such as 60% or a stretch such as 20..60%; write two single points (a word processor has made one character of them)`},
		{Form{Dimension: Fraction}, "x..60%", `read "x..60%", expected a percentage such as 60% or a stretch such as 20..60%`},
		{Form{Dimension: Fraction}, "60", `read "60", expected a percentage such as 60% or a stretch such as 20..60%; the unit is missing`},
	} {
		if _, _, err := c.f.ParseStretch(c.text); err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
	if from, to, err := (Form{Dimension: Fraction}).ParseStretch("100%"); err != nil || from != 0 || to != 1 {
		t.Errorf("%v to %v, %v", from, to, err)
	}
	if from, to, err := (Form{Dimension: Fraction, Unit: unit(t, "%", Fraction)}).ParseStretch("20..60"); err != nil || from != 0.2 || to != 0.6 {
		t.Errorf("%v to %v, %v", from, to, err)
	}
}

// Units and digits in which numbers are printed.
func TestPrintedUnits(t *testing.T) {
	for _, c := range []struct {
		v, u       float64
		base, want string
	}{
		{1e-3, 1e-5, "Ω", "1.000 ± 0.010 mΩ"}, {0.5, 0.1, "Ω", "500 ± 100 mΩ"}, {0.015, 0.001, "m", "15.0 ± 1.0 mm"}, {0.5, 0.01, "m", "500 ± 10 mm"}, {2, 0.1, "m", "2.00 ± 0.10 m"}, {3e-6, 1e-7, "m", "3.00 ± 0.10 µm"},
		{2e12, 1e10, "Hz", "2000 ± 10 GHz"}, {1e-9, 1e-11, "Hz", "1.000e-9 ± 0.010e-9 Hz"}, {999999, 0, "", "999999"}, {1e6, 1e4, "", "1.000e6 ± 0.010e6"}, {123456, 1000, "", "123500 ± 1000"}, {1e-4, 1e-6, "", "1.000e-4 ± 0.010e-4"}, {1e-3, 1e-5, "", "0.001000 ± 0.000010"},
		{1e11, 0, "", "100000000000"}, {1e12, 0, "", "1e12"}, {1.5e-5, 0, "", "1.5e-5"}, {1e-4, 0, "", "0.0001"}, {math.Copysign(0, -1), 0, "Hz", "0 Hz"}, {4e6, 1e3, "Pa", "4.0000 ± 0.0010 MPa"}, {0, 0, "Pa", "0 Pa"}, {0, 0, "1", "0"}, {0.05, 0, "%", "5 %"}, {123456789012345, 0, "", "1.23456789012e14"},
		{5, 0, "s²", "5 s²"}, {5e-7, 1e-8, "s²", "500000 ± 10000 µs²"}, {-1.5e3, 20, "V", "-1.500 ± 0.020 kV"},
	} {
		if got := Format(c.v, c.u, c.base).String(); got != c.want {
			t.Errorf("%v ± %v %s: %q, want %q", c.v, c.u, c.base, got, c.want)
		}
	}
	pF := unit(t, "pF", Capacitance)
	for _, c := range []struct {
		got, want string
	}{
		{pF.FormatInterval(1e-12, 2e-12).String(), "1.00 to 2.00 pF"}, {pF.FormatInterval(math.NaN(), 1).String(), "not determined"}, {pF.FormatInterval(math.Inf(1), math.Inf(1)).String(), "not determined"}, {pF.FormatInterval(2e-12, math.Inf(-1)).String(), "not determined"}, {pF.FormatInterval(2e-12, 1e-12).String(), "2.00 to 1.00 pF"},
		{FormatInterval(3, math.Inf(1), "").String(), "3.00 to ∞"}, {FormatInterval(math.Inf(-1), -3, "").String(), "-∞ to -3.00"},
		{pF.End(1.234e-12, 0.02e-12), "1.234"}, {pF.End(math.NaN(), 1e-12), "not found"}, {pF.End(math.Inf(1), 1e-12), "open"}, {pF.End(math.Inf(-1), 1e-12), "open"},
		{Digits(0.12345, 3), "0.123"}, {Digits(1.5, -1), "1.5"}, {Digits(100, 3), "100"}, {SignedDigits(1.234, 2), "+1.2"}, {SignedDigits(-1.234, 2), "-1.2"}, {Decimals(1.25, 1), "1.2"}, {Decimals(1.5, -1), "1.5"}, {SignedDecimals(2, 1), "+2.0"}, {Scientific(12345, 2), "1.23e+04"},
		{FormatValue(math.Inf(1), 3, "Hz").String(), "not determined"}, {FormatValue(0, 3, "").String(), "0"}, {FormatValue(999.6, 3, "Hz").String(), "1.00 kHz"}, {FormatValue(12345, 2, "").String(), "12000"}, {FormatValue(1234567, 2, "").String(), "1.2e6"},
		{Text{Value: "770.3", Uncertainty: "1.2", Unit: "µH"}.Concise(), "770.3(12) µH"}, {Text{Value: "1.50", Uncertainty: "0.05"}.Concise(), "1.50(5)"}, {Text{Value: "1.5", Uncertainty: "0.05"}.Concise(), "1.5 ± 0.05"}, {Text{Value: "1.5e3", Uncertainty: "0.1e3"}.Concise(), "1.5(1)e3"}, {Text{Value: "5", Unit: "pF"}.Concise(), "5 pF"},
		{Text{Value: "120", Uncertainty: "10"}.Concise(), "120(10)"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
	if got := UnitFor(1e-12, math.NaN(), "F").Symbol; got != "F" {
		t.Errorf("%s", got)
	}
	if got := UnitFor(math.NaN(), 1, "ppm").Symbol; got != "ppm" {
		t.Errorf("%s", got)
	}
}

// failing takes no byte.
type failing struct{}

func (failing) Write([]byte) (int, error) { return 0, errors.New("full") }

// A screen never gets what is hidden, wherever a character was cut.
func TestScreenOfPieces(t *testing.T) {
	const text = "a\tb\n\x1b[31mµ\u202e灯\xffz"
	const want = "a\tb\n<U+001B>[31mµ<U+202E>灯<0xFF>z"
	for size := 1; size <= len(text); size++ {
		var b bytes.Buffer
		s := &Screen{W: &b}
		for at := 0; at < len(text); at += size {
			p := []byte(text[at:min(at+size, len(text))])
			if n, err := s.Write(p); n != len(p) || err != nil {
				t.Fatalf("%d, %v", n, err)
			}
		}
		if b.String() != want {
			t.Errorf("in pieces of %d: %q, want %q", size, b.String(), want)
		}
	}
	if n, err := (&Screen{W: failing{}}).Write([]byte("a")); n != 0 || err == nil {
		t.Errorf("%d, %v", n, err)
	}
	for in, want := range map[string]string{"rod": "rod", "r\x00d": "r<U+0000>d", "\u200c灯\u200d": "\u200c灯\u200d", "a\u2028b": "a<U+2028>b", "\ufffe": "<U+FFFE>", "\x7f": "<U+007F>", "\xc3": "<0xC3>", "a\tb": "a<U+0009>b", "\u00ad": "<U+00AD>"} {
		if got := Visible(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
	for in, want := range map[string]string{`"rod"`: `"rod"`, "\"\u202e\"": `"\u202e"`, "\"\U000e0001\"": `"\udb40\udc01"`, "\"\x7f\"": `"\u007f"`, "\"µ\u202e\"": `"µ\u202e"`} {
		if got := string(VisibleJSON([]byte(in))); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// Spaces and marks of no width go from both ends, and no control characters.
func TestTrim(t *testing.T) {
	for in, want := range map[string]string{" a b ": "a b", "\ufeffa": "a", "\u00a0a\u200b": "a", "a\x00": "a\x00", "\x0ba": "\x0ba", "\t\r\na\n": "a", "\u0085a": "\u0085a", "": "", "\u3000µ": "µ", "  ": ""} {
		if got := Trim(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}
