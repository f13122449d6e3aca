package quantity

import "strings"

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
