package page

import (
	"strings"
	"unicode/utf8"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

// with writes an estimate with its ±.
func with(e *quantities.Estimate) string {
	return quantity.Format(e.Value, e.Uncertainty, quantity.BaseUnit(e.Unit)).String()
}

// sentence makes one of a clause.
func sentence(s string) string {
	if s[0] < utf8.RuneSelf { // but a symbol stays as it is
		s = strings.ToUpper(s[:1]) + s[1:]
	}
	return s + "."
}

// ended puts a full stop behind a clause that begins with the name of a file.
func ended(s string) string {
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
