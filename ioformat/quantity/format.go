package quantity

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Undetermined stands in place of a value that must not be printed.
const Undetermined = "not determined"

// Text is a value ready to print, in pieces so that the columns of a table
// can be aligned.
type Text struct {
	Value       string // "770.3", or Undetermined
	Uncertainty string // "1.2"; empty when there is none to show
	Unit        string // "µH"; empty for plain numbers
}

// String joins the pieces: "770.3 ± 1.2 µH".
func (t Text) String() string {
	s := t.Value
	if t.Uncertainty != "" {
		s += " ± " + t.Uncertainty
	}
	if t.Unit != "" {
		s += " " + t.Unit
	}
	return s
}

// Format writes the SI value with its standard uncertainty, both in the SI
// unit base ("Hz", "F", "H", "m", "s²", "F·m²" …; "" or "1" for plain numbers,
// "%" and "ppm" for fractions), with the prefix that reads best: see [UnitFor] and
// [Unit.Format].
func Format(value, uncertainty float64, base string) Text {
	return UnitFor(value, uncertainty, base).Format(value, uncertainty)
}

// Format writes the SI value in units of u, rounded to the second significant
// digit of the standard uncertainty (JCGM 100:2008, 7.2.6). An uncertainty of
// zero means that the value is exact: it is written with all its digits, at
// most 12, and no ±. A value that is not finite, or whose uncertainty is
// negative or not finite, is Undetermined.
func (u Unit) Format(value, uncertainty float64) Text {
	return u.format(value, uncertainty, math.Max(math.Abs(value), uncertainty))
}

// format is Format, where size is what a power of ten is set apart for.
func (u Unit) format(value, uncertainty, size float64) Text {
	if !determined(value, uncertainty) {
		return Text{Value: Undetermined}
	}
	v, s, size := u.FromSI(value), u.FromSI(uncertainty), u.FromSI(size)
	if s == 0 {
		return Text{Value: exact(v), Unit: u.Symbol}
	}
	scale, suffix := 0, ""
	if u.Symbol == "" || size < 1e-3 {
		scale, suffix = exponent(size, s)
	}
	v, s = shift(v, -scale), shift(s, -scale)
	places := 1 - exponentOf(s, 2)
	if spare := 14 - exponentOf(v, 15); v != 0 && places > spare {
		// digits beyond the fifteenth are not in the double
		return Text{round(v, spare) + suffix, strconv.FormatFloat(s, 'e', 1, 64), u.Symbol}
	}
	return Text{round(v, places) + suffix, round(s, places) + suffix, u.Symbol}
}

// FormatValue writes an SI value that has no uncertainty of its own with the
// given number of significant digits, and the prefix that reads best.
func FormatValue(value float64, digits int, base string) Text {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return Text{Value: Undetermined}
	}
	if value == 0 {
		return Text{Value: "0", Unit: UnitFor(0, 0, base).Symbol}
	}
	// an uncertainty whose second digit is the last digit wanted
	last := math.Pow10(exponentOf(value, digits) - digits + 1)
	u := UnitFor(value, 10*last, base)
	t := u.format(value, 10*last, math.Abs(value))
	t.Uncertainty = ""
	return t
}

func determined(value, uncertainty float64) bool {
	return !math.IsNaN(value) && !math.IsInf(value, 0) &&
		uncertainty >= 0 && !math.IsInf(uncertainty, 0)
}

// UnitFor returns base with the SI prefix in which value ± uncertainty reads
// best: the largest in which the larger of the two, as it will be printed, is
// at least 1. Deciding on the printed digits keeps 999.96 kHz ± 1.2 kHz from
// becoming "1000.0": it is 1.0000 MHz.
func UnitFor(value, uncertainty float64, base string) Unit {
	list := prefixed(base)
	if !determined(value, uncertainty) || value == 0 && uncertainty == 0 {
		return list[max(0, slices.IndexFunc(list, func(u Unit) bool { return u.Symbol == base }))]
	}
	for i := len(list) - 1; i > 0; i-- {
		if printed(list[i], value, uncertainty) >= 1 {
			return list[i]
		}
	}
	return list[0]
}

// printed returns the larger of value and uncertainty as they would be read
// off the print in units of u.
func printed(u Unit, value, uncertainty float64) float64 {
	v, s := math.Abs(u.FromSI(value)), u.FromSI(uncertainty)
	if s == 0 {
		v, _ = strconv.ParseFloat(exact(v), 64)
		return v
	}
	places := 1 - exponentOf(s, 2)
	v, _ = strconv.ParseFloat(round(v, places), 64)
	s, _ = strconv.ParseFloat(round(s, places), 64)
	return math.Max(v, s)
}

// prefixed returns base with each prefix that is usual for it, the smallest
// first. The prefix applies to the first factor of a product: 1 ns² is
// 1e-18 s², 1 pF·m² is 1e-12 F·m².
func prefixed(base string) (list []Unit) {
	switch base {
	case "", "1":
		return []Unit{{}}
	case "%", "ppm":
		return []Unit{unitOf(base, Fraction)}
	}
	for d := Frequency; d <= Time; d++ {
		if d.Base() != base {
			continue
		}
		for _, s := range d.symbols() {
			if s != "in" && s != "cm" { // which aren't printed
				list = append(list, unitOf(s, d))
			}
		}
		return list
	}
	power := 1
	first, _, _ := strings.Cut(base, "·")
	if strings.HasSuffix(first, "²") {
		power = 2
	}
	for _, p := range []string{"f", "p", "n", "µ", "m", "", "k", "M", "G"} {
		list = append(list, Unit{Symbol: p + base, Dimension: derived, exp: power * prefixes[p]})
	}
	return list
}

// derived marks units that are written but never read.
const derived Dimension = -1

// exponentOf returns the decimal exponent of x after rounding to the given
// number of significant digits: 9.96 has 1 when two digits are kept.
func exponentOf(x float64, digits int) int {
	if x == 0 {
		return 0
	}
	s := strconv.FormatFloat(x, 'e', digits-1, 64)
	e, _ := strconv.Atoi(s[strings.IndexByte(s, 'e')+1:])
	return e
}

// exponent returns the power of ten to set apart from a plain number, as it is rounded
// for its uncertainty, and how it is written, when its digits alone would be hard to read.
func exponent(size, uncertainty float64) (scale int, suffix string) {
	digits := exponentOf(size, 15) - exponentOf(uncertainty, 2) + 2
	e := exponentOf(size, min(max(digits, 1), 15))
	if -4 < e && e < 6 {
		return 0, ""
	}
	return e, "e" + strconv.Itoa(e)
}

// round writes x with the given number of decimal places; negative places
// round to tens, hundreds …
func round(x float64, places int) string {
	if places >= 0 {
		return positiveZero(strconv.FormatFloat(x, 'f', places, 64))
	}
	s := positiveZero(strconv.FormatFloat(shift(x, places), 'f', 0, 64))
	if s == "0" {
		return s
	}
	return s + strings.Repeat("0", -places)
}

// positiveZero drops the sign of a number that rounds to zero.
func positiveZero(s string) string {
	if strings.HasPrefix(s, "-") && !strings.ContainsAny(s, "123456789") {
		return s[1:]
	}
	return s
}

// exact writes x with at most 12 significant digits and no trailing zeros.
func exact(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 11, 64), 64)
	e := exponentOf(rounded, 12)
	if -5 < e && e < 12 {
		return positiveZero(strconv.FormatFloat(rounded, 'f', -1, 64))
	}
	return strconv.FormatFloat(shift(rounded, -e), 'g', 12, 64) + "e" + strconv.Itoa(e)
}

// Concise writes the uncertainty in parentheses, in units of the last digit of the value:
// "770.3(12) µH" for 770.3 ± 1.2 µH (JCGM 100:2008, 7.2.2), "1.0(50)e-4" for 1.0e-4 ± 5.0e-4.
// Where there is none, or it has other decimals than the value, it is String.
func (t Text) Concise() string {
	value, exponent, power := strings.Cut(t.Value, "e")
	u, other, _ := strings.Cut(t.Uncertainty, "e")
	_, decimals, _ := strings.Cut(value, ".")
	whole, fraction, _ := strings.Cut(u, ".")
	if u == "" || len(decimals) != len(fraction) || exponent != other {
		return t.String()
	}
	digits := strings.TrimLeft(whole+fraction, "0")
	s := value + "(" + digits + ")"
	if power {
		s += "e" + exponent
	}
	if t.Unit != "" {
		s += " " + t.Unit
	}
	return s
}

// IntervalText is an interval ready to print.
type IntervalText struct {
	Low, High string // "-∞" and "∞" where there is no limit
	Unit      string
}

// String joins the pieces: "768.0 to 772.6 µH".
func (t IntervalText) String() string {
	if t.Low == Undetermined {
		return Undetermined
	}
	s := t.Low + " to " + t.High
	if t.Unit != "" {
		s += " " + t.Unit
	}
	return s
}

// FormatInterval writes the SI interval from low to high. Both limits are
// rounded to the digit to which the value in a 95 % interval of that width
// would be: the second significant digit of a quarter of the width. A limit at
// infinity is written as such; one that is not a number makes the whole
// Undetermined.
func FormatInterval(low, high float64, base string) IntervalText {
	u, _ := intervalUnit(low, high, base)
	return u.FormatInterval(low, high)
}

// FormatInterval writes the SI interval in units of u; see [FormatInterval].
func (u Unit) FormatInterval(low, high float64) IntervalText {
	_, spread := intervalUnit(low, high, "")
	if math.IsNaN(spread) || math.IsInf(low, 1) || math.IsInf(high, -1) || math.IsInf(low, 0) && math.IsInf(high, 0) {
		return IntervalText{Low: Undetermined, High: Undetermined}
	}
	t := IntervalText{Low: "-∞", High: "∞", Unit: u.Symbol}
	if !math.IsInf(low, 0) {
		t.Low = u.Format(low, spread).Value
	}
	if !math.IsInf(high, 0) {
		t.High = u.Format(high, spread).Value
	}
	return t
}

// intervalUnit returns the unit in which both limits read best, and the
// uncertainty whose rounding they share.
func intervalUnit(low, high float64, base string) (u Unit, spread float64) {
	far := math.Max(math.Abs(low), math.Abs(high))
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		spread = math.NaN()
	case math.IsInf(far, 0): // one limit: three digits of it
		far = math.Min(math.Abs(low), math.Abs(high))
		spread = far / 10
	default:
		spread = (high - low) / 4
	}
	return UnitFor(far, spread, base), math.Abs(spread)
}

// End writes an end of an interval that a search found, to the second digit of a standard
// uncertainty: NaN where it found none, infinite where there is none.
func (u Unit) End(v, uncertainty float64) string {
	switch {
	case math.IsNaN(v):
		return "not found"
	case math.IsInf(v, 0):
		return "open"
	}
	return u.Format(v, uncertainty).Value
}
