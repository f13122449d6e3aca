package quantity

import (
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Mark is the character between the whole and the fractional digits.
type Mark byte

// The two decimal marks in use (ISO 80000-1, 7.3.2). The zero Mark means Point.
const (
	Point Mark = '.'
	Comma Mark = ','
)

// number is a decimal number as it was written: digits · 10^exp.
type number struct {
	digits string // sign, digits and decimal mark, in ASCII, mark as '.'
	exp    int    // power of ten written behind e, 0 when there was none
	places int    // digits behind the decimal mark
}

// overload is the value that SCPI instruments (SCPI-1999, volume 1, 7.2.1.4)
// write for an infinite or missing reading, and the bound above which no
// bench reading lies.
const overload = 9.9e37

// Trim removes white space and characters of no width (byte order marks,
// zero-width spaces, direction marks) from both ends of text. Control
// characters other than tabs and ends of line stay: they show damage.
func Trim(text string) string {
	// Most cells are ASCII with nothing to trim.
	if n := len(text); n == 0 || plain(text[0]) && plain(text[n-1]) {
		return text
	}
	return strings.TrimFunc(text, func(r rune) bool {
		return unicode.IsSpace(r) && (r > '\u009f' || strings.ContainsRune(" \t\r\n", r)) || invisible(r)
	})
}

func plain(c byte) bool { return c > ' ' && c < utf8.RuneSelf }

func invisible(r rune) bool { return unicode.Is(unicode.Cf, r) }

// scan splits the longest number off the front of text. ok is false when text
// does not begin with a number.
func scan(text string, mark Mark) (n number, rest string, ok bool) {
	if mark != Comma {
		mark = Point
	}
	i, minus := sign(text)
	start, digits, places := i, 0, 0
	for i < len(text) && isDigit(text[i]) {
		i++
		digits++
	}
	point := i
	if i < len(text) && text[i] == byte(mark) {
		i++
		for i < len(text) && isDigit(text[i]) {
			i++
			places++
		}
		digits += places
		if places == 0 && digits > 0 && i < len(text) && text[i] == byte(mark) {
			i = point // "20..60": the first number ends before the mark
		}
	}
	if digits == 0 {
		return number{}, text, false
	}
	n.digits, n.places = text[start:i], places
	if mark == Comma {
		n.digits = strings.Replace(n.digits, ",", ".", 1)
	}
	if minus {
		n.digits = "-" + n.digits
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		skip, neg := sign(text[i+1:])
		j := i + 1 + skip
		first := j
		for j < len(text) && isDigit(text[j]) {
			if n.exp < 1e6 { // far outside of a double, far inside of an int
				n.exp = 10*n.exp + int(text[j]-'0')
			}
			j++
		}
		if j > first {
			i = j
			if neg {
				n.exp = -n.exp
			}
		}
	}
	return n, text[i:], true
}

// sign returns the length of a sign at the front of text, and whether it is
// a minus: the hyphen of ASCII or the minus sign U+2212.
func sign(text string) (length int, minus bool) {
	switch {
	case strings.HasPrefix(text, "+"):
		return 1, false
	case strings.HasPrefix(text, "-"):
		return 1, true
	case strings.HasPrefix(text, "\u2212"):
		return len("\u2212"), true
	}
	return 0, false
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// scaled returns n · 10^shift, correctly rounded, so that 4.7 pF and
// 0.0047 nF are the same double.
func (n number) scaled(shift int) float64 {
	var buf [48]byte
	b := append(buf[:0], n.digits...)
	if e := n.exp + shift; e != 0 {
		b = append(b, 'e')
		b = strconv.AppendInt(b, int64(e), 10)
	}
	v, _ := strconv.ParseFloat(string(b), 64) // infinite out of range: the grammar leaves no other way to fail
	return v
}

// large says whether n may reach overload: few numbers need the closer look.
func (n number) large() bool { return n.exp > 0 || len(n.digits) > 30 }

// zero says whether every digit of n is 0.
func (n number) zero() bool { return !strings.ContainsAny(n.digits, "123456789") }

// lastDigit returns what one unit in the last digit written is worth, times
// 10^shift.
func (n number) lastDigit(shift int) float64 { return math.Pow10(n.exp - n.places + shift) }
