package quantity

import (
	"math"
	"strings"
)

// Uncertain is a value with the ± that was written beside it.
type Uncertain struct {
	Quantity
	PlusMinus float64 // SI, as written (a percentage already multiplied by the value); 0 when not Stated
	Stated    bool
	Relative  bool // it was written as a percentage of the value
}

// ParseUncertain reads "770uH", "770uH±2%", "770uH+/-15uH" or
// "770.3 ± 1.2 µH", in which the last unit holds for both numbers; parentheses
// around the numbers are understood. The error is an [*Error].
func (f Form) ParseUncertain(text string) (Uncertain, error) {
	s := openParentheses(Trim(text))
	left, right, stated := cutPlusMinus(s)
	if !stated {
		q, err := f.Parse(s)
		return Uncertain{Quantity: q}, err
	}
	spread := f
	spread.Relative = f.Dimension != Fraction // 60 % ± 2 % is 2 percent of the whole
	value := f
	if n, rest, ok := scan(Trim(right), f.Mark); ok && n.digits != "" && f.unitless() && endsInDigit(left) {
		if u, err := ParseUnit(rest, f.Dimension); err == nil {
			value.Unit = u
		}
	}
	q, err := value.Parse(left)
	if err != nil {
		return Uncertain{}, err
	}
	if spread.Unit == (Unit{}) && !spread.Relative {
		spread.Unit = q.Unit
	}
	if f.Unit != (Unit{}) {
		spread.Unit = Unit{} // a ± names its unit when it is a percentage
		if endsInDigit(right) {
			spread.Unit = f.Unit
		}
	}
	pm, err := spread.Parse(right)
	if err != nil {
		return Uncertain{}, err
	}
	if pm.Value < 0 {
		return Uncertain{}, spread.refuse(Trim(right), "a ± is not negative")
	}
	u := Uncertain{Quantity: q, PlusMinus: pm.Value, Stated: true, Relative: pm.Unit.Dimension == Fraction && spread.Relative}
	if u.Relative {
		u.PlusMinus *= math.Abs(q.Value)
	}
	u.Text = s
	return u, nil
}

// cutPlusMinus splits s around ±, +/- or +-.
func cutPlusMinus(s string) (left, right string, found bool) {
	for _, sep := range []string{"±", "+/-", "+-"} {
		if left, right, found = strings.Cut(s, sep); found {
			return left, right, true
		}
	}
	return s, "", false
}

func endsInDigit(s string) bool {
	s = Trim(s)
	return s != "" && (isDigit(s[len(s)-1]) || s[len(s)-1] == '.')
}

// openParentheses turns "(770.3 ± 1.2) µH" into "770.3 ± 1.2 µH".
func openParentheses(s string) string {
	inner, unit, ok := strings.Cut(s, ")")
	if !ok || !strings.HasPrefix(inner, "(") {
		return s
	}
	return inner[1:] + unit
}

// ParseStretch reads "60%" as 0 to 0.6 and "20..60%" as 0.2 to 0.6: the
// stretch that is covered of a whole, counted from its beginning. It refuses
// what does not lie within 0 and 100 %, and a stretch that does not grow. The
// error is an [*Error].
func (f Form) ParseStretch(text string) (from, to float64, err error) {
	s := Trim(text)
	left, right, isRange := strings.Cut(s, "..")
	if !isRange {
		left, right = "", s
	}
	end, err := f.Parse(right)
	if err != nil {
		return 0, 0, stretchError(s, f, err)
	}
	begin := Quantity{}
	if isRange {
		first := f
		if endsInDigit(left) {
			first.Unit = end.Unit
		}
		if begin, err = first.Parse(left); err != nil {
			return 0, 0, stretchError(s, f, err)
		}
	}
	switch {
	case begin.Value < 0 || end.Value < 0 || begin.Value > 1 || end.Value > 1:
		return 0, 0, &Error{Read: s, Expected: "0 to 100 %", Do: "a core covers at most the whole winding"}
	case isRange && begin.Value >= end.Value:
		return 0, 0, &Error{Read: s, Expected: "a stretch such as " + f.stretch(), Do: "count from the grounded end, the smaller number first"}
	}
	return begin.Value, end.Value, nil
}

func stretchError(s string, f Form, err error) *Error {
	e := err.(*Error)
	do := e.Do
	if strings.ContainsAny(strings.TrimLeft(s, "-–"), "-–") {
		do = "a stretch is written " + f.stretch()
	}
	if strings.Contains(s, "…") {
		do = "write two single points (a word processor has made one character of them)"
	}
	return &Error{Read: s, Expected: f.expected() + " or a stretch such as " + f.stretch(), Do: do}
}

// stretch is an example, with a unit unless the form has one.
func (f Form) stretch() string {
	if f.Unit == (Unit{}) {
		return "20..60%"
	}
	return "20..60"
}
