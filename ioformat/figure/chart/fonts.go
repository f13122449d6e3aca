package chart

import (
	"strings"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	stdfont "golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// fonts is the one typeface of all figures. It has the widths of Arial and
// Helvetica, so that an SVG laid out with it fits in those too.
//
// Only these two faces are linked: package plot would bring twelve, parsed at
// every start of the program.
type fonts struct{ regular, bold *opentype.Font }

func loadFonts() (fonts, error) {
	regular, err := opentype.Parse(liberationsansregular.TTF)
	if err != nil {
		return fonts{}, err
	}
	bold, err := opentype.Parse(liberationsansbold.TTF)
	return fonts{regular, bold}, err
}

// face returns the font at a size in points.
func (f fonts) face(size float64, bold bool) font.Face {
	d := font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Points(size)}
	if bold {
		d.Weight = stdfont.WeightBold
		return font.Face{Font: d, Face: f.bold}
	}
	return font.Face{Font: d, Face: f.regular}
}

// textWidth returns the width of s in points.
func (f fonts) textWidth(s string, size float64, bold bool) float64 {
	face := f.face(size, bold)
	return face.Width(s).Points()
}

// has tells whether the font has a glyph for r; both faces have the same.
func (f fonts) has(r rune) bool {
	i, err := f.regular.GlyphIndex(new(sfnt.Buffer), r)
	return err == nil && i != 0
}

// clean makes s fit to draw: no control characters, and question marks for what
// the font lacks.
func (f fonts) clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r) || unicode.IsControl(r):
			return ' '
		case !f.has(r):
			return '?'
		}
		return r
	}, s)
}

// shorten cuts s to fit into the given width, with an ellipsis in its middle: names that
// begin alike mostly differ at the end.
func (f fonts) shorten(s string, width, size float64) string {
	if f.textWidth(s, size, false) <= width {
		return s
	}
	r := []rune(s)
	for n := len(r) - 1; n > 0; n-- {
		head, tail := r[:(n+1)/2], r[len(r)-n/2:]
		short := strings.TrimRight(string(head), " ") + "…" + strings.TrimLeft(string(tail), " ")
		if f.textWidth(short, size, false) <= width {
			return short
		}
	}
	return "…"
}

// wrap breaks s into lines of at most the given width; a longer word is cut.
func (f fonts) wrap(s string, width, size float64, bold bool) (lines []string) {
	line := ""
	for _, word := range strings.Fields(s) {
		switch {
		case line == "":
			line = word
		case f.textWidth(line+" "+word, size, bold) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
		line = f.shorten(line, width, size)
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
