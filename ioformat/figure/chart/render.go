package chart

import (
	"bytes"
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Formats lists the file formats that Render knows.
func Formats() []string { return []string{"svg", "png", "pdf"} }

// Render draws the figure in one of the [Formats].
func (f *Figure) Render(format string, theme Theme) ([]byte, error) {
	if err := f.check(); err != nil {
		return nil, err
	}
	fonts, err := loadFonts()
	if err != nil {
		return nil, err
	}
	l := f.arrange(fonts)
	switch format {
	case "svg":
		return f.svg(l, fonts, theme)
	case "png":
		return f.png(l, fonts, theme)
	case "pdf":
		return f.pdf(l, fonts, theme)
	}
	return nil, fmt.Errorf("figure format %q is not one of %s", format, strings.Join(Formats(), ", "))
}

// paint draws the layout on a canvas, and returns where it wrote.
func paint(canvas vg.Canvas, l *layout, fonts fonts, theme Theme, foreign bool) []box {
	p := &pen{
		canvas:  draw.NewCanvas(canvas, vg.Points(l.width), vg.Points(l.height)),
		fonts:   fonts,
		palette: theme.palette(),
		height:  l.height,
		foreign: foreign,
	}
	p.draw(l)
	return p.written
}

// maker stands in every figure that is a file of its own.
const maker = "drawn by fitcoil"

// IsOwn tells whether content is a figure that Render made: such a file may be replaced
// by the next.
func IsOwn(content []byte) bool {
	for _, magic := range []string{"<svg ", "\x89PNG", "%PDF-"} {
		if bytes.HasPrefix(content, []byte(magic)) {
			return bytes.Contains(content, []byte(maker))
		}
	}
	return false
}
