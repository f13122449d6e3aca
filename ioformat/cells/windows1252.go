//go:build !js

package cells

import (
	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
)

// character returns what a byte stands for in Windows-1252.
func character(b byte) rune { return charmap.Windows1252.DecodeByte(b) }

// windows1252 returns what writes Windows-1252.
func windows1252() *encoding.Encoder { return charmap.Windows1252.NewEncoder() }
