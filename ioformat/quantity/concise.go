package quantity

import "strings"

// Concise writes the uncertainty in parentheses, in units of the last digit of the value:
// "770.3(12) µH" for 770.3 ± 1.2 µH (JCGM 100:2008, 7.2.2). Where there is none, or it has
// other decimals than the value, it is String.
func (t Text) Concise() string {
	_, decimals, _ := strings.Cut(t.Value, ".")
	whole, fraction, _ := strings.Cut(t.Uncertainty, ".")
	if t.Uncertainty == "" || len(decimals) != len(fraction) || strings.ContainsAny(t.Value+t.Uncertainty, "e") {
		return t.String()
	}
	digits := strings.TrimLeft(whole+fraction, "0")
	s := t.Value + "(" + digits + ")"
	if t.Unit != "" {
		s += " " + t.Unit
	}
	return s
}
