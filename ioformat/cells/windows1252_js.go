package cells

import (
	"unicode/utf8"

	"golang.org/x/text/encoding"
)

// In a browser, text arrives as UTF-8: a page refuses a file that is written in another
// way. The tables of all code pages would make the engine larger for nothing.

func character(byte) rune { return utf8.RuneError }

func windows1252() *encoding.Encoder { return encoding.Nop.NewEncoder() }
