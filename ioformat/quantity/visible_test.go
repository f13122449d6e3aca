package quantity

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"
)

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"rod 4.7 pF ±µ日\u00a0Ω":  "rod 4.7 pF ±µ日\u00a0Ω",
		"r\x1b[31mod":            "r<U+001B>[31mod",
		"a\nb\tc\rd":             "a<U+000A>b<U+0009>c<U+000D>d",
		"del\x7f c1\u009b":       "del<U+007F> c1<U+009B>",
		"\u202egnp.exe":          "<U+202E>gnp.exe",
		"\u2028line":             "<U+2028>line",
		"no \xff character":      "no <0xFF> character",
		"می\u200cخواهم":          "می\u200cخواهم",
		"tag\U000e0041, \ufeffx": "tag<U+E0041>, <U+FEFF>x",
	} {
		if got := Visible(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

// TestScreen: whatever is written, in whichever pieces, nothing hidden comes
// through but ends of line and tabs.
func TestScreen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces := rapid.SliceOf(rapid.SliceOf(rapid.Byte())).Draw(t, "pieces")
		var b bytes.Buffer
		s := &Screen{W: &b}
		for _, p := range pieces {
			if n, err := s.Write(p); n != len(p) || err != nil {
				t.Fatal(n, err)
			}
		}
		for _, r := range b.String() {
			if Hidden(r) && r != '\n' && r != '\t' {
				t.Fatalf("%q holds %U", b.String(), r)
			}
		}
	})
	var b bytes.Buffer
	s := &Screen{W: &b}
	for _, c := range []byte("± 3 µH,\n\t日\x1b") {
		s.Write([]byte{c})
	}
	if b.String() != "± 3 µH,\n\t日<U+001B>" {
		t.Errorf("%q", b.String())
	}
}
