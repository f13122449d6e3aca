package quantity

import (
	"math"
	"slices"
	"strings"
)

// Dimension is what a quantity measures.
type Dimension int

// The dimensions that bench logs, coil sheets and command lines speak of.
const (
	Pure        Dimension = iota // a plain number: turns, gain, quality factor
	Fraction                     // share of a whole: %, ppm
	Frequency                    // Hz
	Capacitance                  // F
	Inductance                   // H
	Length                       // m
	Resistance                   // Ω
	Voltage                      // V
	Time                         // s
)

// dimensions has for each its name with its article, as messages need it, its SI unit, and the
// units that are understood, the smallest first.
var dimensions = [...]struct{ name, base, symbols string }{
	Pure:        {name: "a number"},
	Fraction:    {name: "a percentage", symbols: "ppm %"},
	Frequency:   {"a frequency", "Hz", "Hz kHz MHz GHz"},
	Capacitance: {"a capacitance", "F", "fF pF nF µF F"},
	Inductance:  {"an inductance", "H", "nH µH mH H"},
	Length:      {"a length", "m", "µm mm cm in m"},
	Resistance:  {"a resistance", "Ω", "mΩ Ω kΩ MΩ"},
	Voltage:     {"a voltage", "V", "µV mV V kV"},
	Time:        {"a time", "s", "ps ns µs ms s"},
}

// String returns the name of d with its article.
func (d Dimension) String() string { return dimensions[d].name }

// symbols returns the units of d that are understood, the smallest first.
func (d Dimension) symbols() []string { return strings.Fields(dimensions[d].symbols) }

// Base returns the SI unit of d; "" for plain numbers.
func (d Dimension) Base() string { return dimensions[d].base }

// Unit is a symbol and its size in SI: 10^exp of the SI unit, or one inch. The
// zero Unit is that of a plain number, and stands for "no unit given".
type Unit struct {
	Symbol    string
	Dimension Dimension
	exp       int
}

// metresPerInch is exact (international yard and pound agreement, 1959).
const metresPerInch = 0.0254

func (u Unit) inch() bool { return u.Symbol == "in" }

// ToSI returns x units in SI.
func (u Unit) ToSI(x float64) float64 {
	if u.inch() {
		return x * metresPerInch
	}
	return shift(x, u.exp)
}

// FromSI returns the SI value x in units.
func (u Unit) FromSI(x float64) float64 {
	if u.inch() {
		return x / metresPerInch
	}
	return shift(x, -u.exp)
}

// shift returns x · 10^n with one rounding: the power itself is exact for the
// |n| ≤ 22 that prefixes reach.
func shift(x float64, n int) float64 {
	if n < 0 {
		return x / math.Pow10(-n)
	}
	return x * math.Pow10(n)
}

// prefixes are the SI prefixes that are understood, as powers of ten.
var prefixes = map[string]int{"f": -15, "p": -12, "n": -9, "µ": -6, "m": -3, "c": -2, "": 0, "k": 3, "M": 6, "G": 9}

// known returns the unit of d that is written exactly as symbol.
func known(symbol string, d Dimension) (Unit, bool) {
	if !slices.Contains(d.symbols(), symbol) {
		return Unit{}, false
	}
	return unitOf(symbol, d), true
}

// unitOf returns the unit of a symbol out of d.symbols().
func unitOf(symbol string, d Dimension) Unit {
	u := Unit{Symbol: symbol, Dimension: d}
	switch symbol {
	case "%":
		u.exp = -2
	case "ppm":
		u.exp = -6
	case "in":
	default:
		u.exp = prefixes[strings.TrimSuffix(symbol, d.Base())]
	}
	return u
}

// ParseUnit reads the symbol of a unit of dimension d. A wrong case is
// forgiven where it leaves no doubt (khz, PF), never between m and M. A prefix
// alone (k, p, µ) stands for the unit of d with that prefix. The error is an
// [*Error].
func ParseUnit(text string, d Dimension) (Unit, error) {
	s := normalSymbol(text)
	if u, ok := known(s, d); ok {
		return u, nil
	}
	candidates := foldedCandidates(s, d)
	if len(candidates) == 1 && !milliOrMega(s, candidates[0]) {
		return unitOf(candidates[0], d), nil
	}
	return Unit{}, unitError(text, s, d, candidates)
}

// normalSymbol maps the several spellings of a unit onto one.
func normalSymbol(text string) string {
	s := Trim(text)
	if strings.ContainsAny(s, "\u03bc\u2126\u2033\"") {
		s = strings.NewReplacer("\u03bc", "µ", "\u2126", "Ω", "\u2033", "in", `"`, "in").Replace(s)
	}
	if len(s) > 1 && (s[0] == 'u' || s[0] == 'U') {
		s = "µ" + s[1:]
	}
	for _, name := range []string{"ohm", "ohms"} {
		if k := len(s) - len(name); k >= 0 && strings.EqualFold(s[k:], name) {
			s = s[:k] + "Ω"
		}
	}
	switch strings.ToLower(s) {
	case "inch", "inches":
		return "in"
	case "u":
		return "µ"
	}
	return s
}

// foldedCandidates returns the units of d that s may mean when case is
// ignored. A symbol whose prefix is in the right case (MHZ) is alone.
func foldedCandidates(s string, d Dimension) []string {
	var found []string
	for _, symbol := range d.symbols() {
		prefix := strings.TrimSuffix(symbol, d.Base())
		base := symbol[len(prefix):]
		if base != "" && strings.HasPrefix(s, prefix) && strings.EqualFold(s[len(prefix):], base) && prefix != "" {
			return []string{symbol}
		}
		bare := base != "" && prefix != "" && d != Length && strings.EqualFold(s, prefix)
		if strings.EqualFold(s, symbol) || bare {
			found = append(found, symbol)
		}
	}
	return found
}

// milliOrMega says whether taking s for symbol would turn m into M or M into m.
func milliOrMega(s, symbol string) bool {
	return s[0] != symbol[0] && (s[0] == 'm' || s[0] == 'M')
}

func unitError(text, s string, d Dimension, candidates []string) *Error {
	e := &Error{Read: text, Expected: expectedUnit(d)}
	meant := ambiguous(s, d)
	switch {
	case meant != "":
		e.Do = Quote(Trim(text)) + " could mean " + meant + ": write the one that is meant"
	case len(candidates) > 0:
		e.Do = Quote(Trim(text)) + " could mean " + strings.Join(candidates, " or ") + ": write the one that is meant"
	default:
		for other := Fraction; other <= Time; other++ {
			if u, ok := known(s, other); ok {
				e.Do = u.Symbol + " is the unit of " + other.String()
			}
		}
	}
	return e
}

// ambiguous lists what people mean by symbols that are easily mistaken.
func ambiguous(s string, d Dimension) string {
	lower := strings.ToLower(s)
	switch {
	case d == Frequency && (lower == "mhz" || lower == "m"):
		return "millihertz (mHz) or megahertz (MHz)"
	case d == Capacitance && (lower == "mf" || lower == "m" || lower == "mfd"):
		// common practice: old parts carry MF, mF or MFD for microfarad
		return "millifarad (mF), or microfarad (µF) as old parts are marked"
	case d == Inductance && (lower == "mh" || lower == "m"):
		return "millihenry (mH) or megahenry (MH)"
	}
	return ""
}

// BaseUnit maps the model's units to those that take a prefix.
func BaseUnit(unit string) string {
	if unit == "1" {
		return ""
	}
	return unit
}

func expectedUnit(d Dimension) string {
	list := d.symbols()
	if len(list) == 0 {
		return "a plain number without a unit"
	}
	return "a unit of " + strings.TrimPrefix(strings.TrimPrefix(d.String(), "a "), "an ") +
		" (" + Listed(list, "or") + ")"
}

// LooksLikeUnit says whether text is meant as a unit of some dimension, be it
// in a doubtful case. A prefix alone is none.
func LooksLikeUnit(text string) bool {
	_, ok := DimensionOf(text)
	return ok
}

// DimensionOf returns the dimension of which text is meant as a unit, be it in a
// doubtful case: mhz is one of a frequency. A prefix alone is none.
func DimensionOf(text string) (d Dimension, ok bool) {
	s := normalSymbol(text)
	if len([]rune(s)) < 2 && s != "%" && s != "m" && s != "V" && s != "F" && s != "H" && s != "Ω" && s != "s" {
		return Pure, false
	}
	for d := Fraction; d <= Time; d++ {
		if _, ok := known(s, d); ok {
			return d, true
		}
	}
	for d := Fraction; d <= Time; d++ {
		if len(foldedCandidates(s, d)) > 0 || ambiguous(s, d) != "" {
			return d, true
		}
	}
	return Pure, false
}
