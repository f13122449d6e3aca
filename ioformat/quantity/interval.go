package quantity

import "math"

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
