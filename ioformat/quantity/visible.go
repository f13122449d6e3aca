package quantity

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Hidden says whether r must not reach a screen, a figure or a page as it is: a
// control or formatting character, with which a name from a file could move the
// cursor, change colours or the direction of the text. Those that join letters
// (U+200C, U+200D) are harmless.
func Hidden(r rune) bool {
	plain := r >= ' ' && r < 0x7f || r == 0x200c || r == 0x200d
	return !plain && unicode.In(r, unicode.C, unicode.Zl, unicode.Zp)
}

// Visible spells out what is hidden in text that comes from a file, a file name
// or a command line, as in "r<U+001B>od"; a byte that is no character, too. It
// is the one way for such text into an output.
func Visible(text string) string {
	return spell(text, "")
}

// spell is Visible with the characters of keep left as they are.
func spell(text, keep string) string {
	clean := true
	for i := 0; i < len(text) && clean; i++ {
		clean = text[i] >= ' ' && text[i] < 0x7f || strings.IndexByte(keep, text[i]) >= 0
	}
	if clean {
		return text
	}
	var b strings.Builder
	for len(text) > 0 {
		r, size := utf8.DecodeRuneInString(text)
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, "<0x%02X>", text[0])
		case Hidden(r) && !strings.ContainsRune(keep, r):
			fmt.Fprintf(&b, "<U+%04X>", r)
		default:
			b.WriteString(text[:size])
		}
		text = text[size:]
	}
	return b.String()
}

// VisibleJSON escapes, in a JSON text, what is hidden in its strings: the text
// says the same.
func VisibleJSON(text []byte) []byte {
	hidden := func(r rune) bool { return r >= 0x7f && Hidden(r) }
	if bytes.IndexFunc(text, hidden) < 0 {
		return text
	}
	var b bytes.Buffer
	for _, r := range string(text) {
		switch high, low := utf16.EncodeRune(r); {
		case !hidden(r):
			b.WriteRune(r)
		case high == unicode.ReplacementChar:
			fmt.Fprintf(&b, "\\u%04x", r)
		default:
			fmt.Fprintf(&b, "\\u%04x\\u%04x", high, low)
		}
	}
	return b.Bytes()
}

// Screen passes text on to w in which all is visible but ends of line and tabs:
// the net below all that forgets Visible.
type Screen struct {
	W    io.Writer
	tail []byte // begin of a character that the last Write cut
}

func (s *Screen) Write(p []byte) (int, error) {
	text := append(s.tail, p...)
	end := len(text)
	for i := 1; i <= min(utf8.UTFMax-1, len(text)); i++ {
		if c := text[len(text)-i]; utf8.RuneStart(c) {
			if !utf8.FullRune(text[len(text)-i:]) {
				end = len(text) - i
			}
			break
		}
	}
	_, err := io.WriteString(s.W, spell(string(text[:end]), "\n\t"))
	s.tail = append([]byte(nil), text[end:]...)
	if err != nil {
		return 0, err
	}
	return len(p), nil
}
