package quantity

import (
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Quantity is a value as it was read.
type Quantity struct {
	Value     float64 // SI
	LastDigit float64 // SI, worth of one unit in the last digit written
	Unit      Unit    // the unit it was written in
	Text      string  // as it was written, without white space around it
}

// DigitUncertainty returns the standard uncertainty, in SI, that the digits
// written imply: the true value lies anywhere within half a unit of the last
// digit, a rectangular distribution of that half-width a, whose standard
// deviation is a/√3 (JCGM 100:2008, 4.3.7).
func (q Quantity) DigitUncertainty() float64 { return q.LastDigit / 2 / math.Sqrt(3) }

// Form is what a text is expected to hold.
type Form struct {
	Dimension Dimension
	Unit      Unit // unit of a number written without one; zero: the text must name its unit
	Mark      Mark // decimal mark; anything but Comma stands for Point
	Relative  bool // a percentage is understood too, and read as Fraction
}

// Parse reads one number with its unit. A unit in the text must not contradict
// f.Unit. The error is an [*Error].
func (f Form) Parse(text string) (Quantity, error) {
	s := Trim(text)
	n, rest, ok := scan(s, f.Mark)
	if !ok {
		return Quantity{}, f.refuse(s, f.noNumber(s))
	}
	u := f.Unit
	if rest != "" || f.unitless() {
		var err error
		if u, err = f.unit(s, rest); err != nil {
			return Quantity{}, err
		}
	}
	return f.quantity(s, n, u)
}

// unitless says whether a number alone leaves its unit open.
func (f Form) unitless() bool { return f.Unit == Unit{} && f.Dimension != Pure }

// unit reads what follows the number in s.
func (f Form) unit(s, rest string) (Unit, error) {
	symbol := Trim(rest)
	if hint := f.trap(s, rest); hint != "" {
		return Unit{}, f.refuse(s, hint)
	}
	if symbol == "" {
		return Unit{}, f.refuse(s, "the unit is missing")
	}
	d := f.Dimension
	if _, isFraction := known(symbol, Fraction); f.Relative && isFraction {
		d = Fraction
	}
	if d == Pure {
		return Unit{}, f.refuse(s, "nothing may follow the number")
	}
	u, err := ParseUnit(symbol, d)
	if err != nil {
		do := err.(*Error).Do
		if do == "" {
			do = "nothing but the unit may follow the number"
		}
		return Unit{}, f.refuse(s, do)
	}
	if f.Unit != (Unit{}) && u != f.Unit {
		return Unit{}, f.refuse(s, "its unit is given as "+f.Unit.Symbol+", here it is "+u.Symbol+": write one unit")
	}
	return u, nil
}

// quantity converts n to SI and refuses what a double cannot hold.
func (f Form) quantity(s string, n number, u Unit) (Quantity, error) {
	q := Quantity{Text: s, Unit: u}
	if u.inch() {
		q.Value, q.LastDigit = u.ToSI(n.scaled(0)), u.ToSI(n.lastDigit(0))
	} else {
		q.Value, q.LastDigit = n.scaled(u.exp), n.lastDigit(u.exp)
	}
	switch size := math.Abs(q.Value); {
	case n.large() && math.Max(math.Abs(n.scaled(0)), n.lastDigit(0)) >= overload: // 0e700 too
		return Quantity{}, f.refuse(s, "so large a number is what an instrument writes when it has no reading (9.9E+37): leave it out")
	case size < minNormal && !n.zero() || q.LastDigit == 0:
		return Quantity{}, f.refuse(s, "the number is too small to be true")
	}
	return q, nil
}

// minNormal is the smallest double with full precision.
const minNormal = 0x1p-1022

// expected describes in words what f understands.
func (f Form) expected() string {
	s := f.Dimension.String()
	switch {
	case f.Dimension == Pure:
	case f.Unit != Unit{}:
		s = "a number in " + f.Unit.Symbol
	case f.Dimension == Fraction:
		return "a percentage such as 60%"
	case f.Relative:
		s += " with its unit (" + strings.Join(f.Dimension.symbols(), ", ") + ") or a percentage"
	default:
		s += " with its unit (" + strings.Join(f.Dimension.symbols(), ", ") + ")"
	}
	return s
}

func (f Form) refuse(s, hint string) *Error {
	return &Error{Read: s, Expected: f.expected(), Do: hint}
}

// noNumber explains a text that does not begin with a number.
func (f Form) noNumber(s string) string {
	first, _ := utf8.DecodeRuneInString(s)
	switch {
	case s == "":
		return ""
	case IsMarker(s):
		return "it says that there is no value: leave it out"
	case first == '–' || first == '—':
		return "a minus is written - (this is a dash)"
	case strings.ContainsRune("~≈<>=≤≥", first):
		return "write the number alone; how well it is known belongs into the ±"
	case strings.ContainsRune("OoIl|", first) && strings.ContainsAny(s, "0123456789"):
		return letterForDigit
	case len(s) > 4 && strings.Contains("jan feb mar apr may jun jul aug sep oct nov dec ", strings.ToLower(s[:3])+" "):
		return looksLikeDate
	case unicode.IsDigit(first):
		return "write the digits 0 to 9"
	}
	return ""
}

// trap recognises what usually stands behind a number that went wrong.
func (f Form) trap(s, rest string) string {
	number := s[:len(s)-len(rest)]
	first, size := utf8.DecodeRuneInString(rest)
	next := rest[min(size, len(rest)):]
	digitNext := next != "" && isDigit(next[0])
	switch {
	case rest == "":
		return ""
	case first == ',' && digitNext && strings.ContainsRune(rest, '.'):
		return "write the digits without a comma between them"
	case first == ',' && digitNext && f.Mark != Comma:
		return "if the comma is a decimal mark, use ; between cells"
	case first == '.' && digitNext && f.Mark == Comma:
		return "the decimal mark of this file is the comma; digits are not grouped"
	case first == '.' && digitNext && strings.Contains(number, "."):
		return "there are two decimal marks, as in a date"
	case (first == '.' || first == ',') && strings.ContainsAny(number, ".,"):
		return "there are two decimal marks"
	case (unicode.IsSpace(first) || strings.ContainsRune("'’_˙", first)) && digitNext:
		return "write the digits without " + separator(first) + " between them"
	case invisible(first):
		return "there is an invisible character in it: type the cell anew"
	case number == "0" && (first == 'x' || first == 'X'):
		return "write the number in decimal digits"
	case (first == 'd' || first == 'D') && (digitNext || next != "" && strings.ContainsAny(next[:1], "+-")):
		return "write the exponent with e: " + number + "e" + next
	case first == '±' || strings.HasPrefix(rest, "+/-"):
		return "how well it is known belongs into the column of its ±"
	case (first == '-' || first == '/' || first == ':') && digitNext:
		return looksLikeDate
	case strings.ContainsRune("OoIl", first) && (next == "" || digitNext || next[0] == '.' || next[0] == ','):
		return letterForDigit
	case (first == 'e' || first == 'E') && strings.Trim(next, "+-") == "":
		return "the digits of the exponent are missing"
	case digitNext && f.Dimension != Pure:
		digits := strings.TrimLeft(next, "0123456789")
		if u, err := ParseUnit(string(first)+digits, f.Dimension); err == nil {
			return "write " + number + "." + next[:len(next)-len(digits)] + " " + u.Symbol // 4p7: the marking of IEC 60062
		}
	}
	return ""
}

// DecimalComma is the error for a word on the command line in which a comma stands
// between digits; nil when none does.
func DecimalComma(text string) error {
	for i := 1; i+1 < len(text); i++ {
		if text[i] == ',' && isDigit(text[i-1]) && isDigit(text[i+1]) {
			return &Error{Read: text, Expected: "a point as decimal mark on the command line", Do: "write " + text[:i] + "." + text[i+1:]}
		}
	}
	return nil
}

const (
	looksLikeDate  = "that looks like a date, a time or a range; a spreadsheet makes dates of numbers unless the column is set to text"
	letterForDigit = "a letter stands where a digit belongs"
)

func separator(r rune) string {
	switch {
	case r == ' ':
		return "a space"
	case r == '_':
		return "_"
	case unicode.IsSpace(r):
		return "an (invisible, fixed) space"
	}
	return "an apostrophe"
}

// IsMarker says whether text is one of the words that instruments and
// spreadsheets write in place of a number.
func IsMarker(text string) bool {
	s := strings.ToLower(strings.TrimLeft(Trim(text), "+-"))
	if len(text) > 1 && strings.Trim(text, "-") == "" {
		return true
	}
	switch s {
	case "nan", "inf", "infinity", "#n/a", "n/a", "na", "#value!", "#div/0!", "#num!", "#ref!", "#name?", "#null!", "#spill!", "#calc!", "#error!",
		"null", "none", "nil", "ol", "o.l", "o.l.", "ovl", "ovld", "ovrflw", "over", "overflow", "overload", "over range", "undef":
		return true
	}
	return s != "" && (strings.Trim(s, "*") == "" || strings.Trim(s, "?") == "" || strings.Trim(s, "#") == "" || strings.Trim(s, ".") == "")
}
