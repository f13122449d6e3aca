package quantity

import (
	"fmt"
	"strings"
	"unicode"
)

// Error says what was read, what was expected, and what to do.
type Error struct {
	Read     string // the text as it stood
	Expected string // what would have been understood
	Do       string // what to do; may be empty
}

func (e *Error) Error() string {
	s := "read " + Quote(e.Read) + ", expected " + e.Expected
	if e.Do != "" {
		s += "; " + e.Do
	}
	return s
}

// Quote puts text in quotation marks for a message: cut after 40 characters,
// and with every character that cannot be seen spelled out.
func Quote(text string) string {
	const most = 40
	var b strings.Builder
	b.WriteByte('"')
	n := 0
	for _, r := range text {
		if n == most {
			b.WriteString("…")
			break
		}
		n++
		switch {
		case r == '\t':
			b.WriteString("<tab>")
		case r == '\n' || r == '\r':
			b.WriteString("<line break>")
		case r == unicode.ReplacementChar || Hidden(r) || !unicode.IsPrint(r): // and spaces that look like others
			fmt.Fprintf(&b, "<U+%04X>", r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
