package chart

import (
	"bytes"
	"image/color"
	"regexp"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgpdf"
)

func (f *Figure) pdf(l *layout, fonts fonts, theme Theme) ([]byte, error) {
	canvas := &pdfCanvas{Canvas: vgpdf.New(vg.Points(l.width), vg.Points(l.height))}
	paint(canvas, l, fonts, theme, false)
	if canvas.err != nil {
		return nil, canvas.err
	}
	var buf bytes.Buffer
	if _, err := canvas.WriteTo(&buf); err != nil {
		return nil, err
	}
	return undated(buf.Bytes()), nil
}

// undated overwrites the dates in the document information by blanks of the
// same length, so that no offset moves and the same figure gives the same bytes.
func undated(pdf []byte) []byte {
	dates := regexp.MustCompile(`/(CreationDate|ModDate) \(D:[^)]*\)`)
	return dates.ReplaceAllFunc(pdf, func(date []byte) []byte {
		return bytes.Repeat([]byte(" "), len(date))
	})
}

// pdfCanvas corrects what package vgpdf does with text and opacity. Text becomes
// outlines: vgpdf would write temporary files, embed 400 kB a face, and know
// only the letters of Windows-1252.
type pdfCanvas struct {
	*vgpdf.Canvas
	buf sfnt.Buffer
	err error
}

// opaque returns the colour proper where color.Color asks for its product with
// the opacity, as vgpdf takes it.
type opaque color.NRGBA

func (c opaque) RGBA() (r, g, b, a uint32) {
	return uint32(c.R) * 257, uint32(c.G) * 257, uint32(c.B) * 257, uint32(c.A) * 257
}

// SetColor sets the colour of what follows.
func (c *pdfCanvas) SetColor(clr color.Color) {
	if t, ok := clr.(tone); ok {
		clr = opaque(t)
	}
	c.Canvas.SetColor(clr)
}

// FillString draws the outlines of a text.
func (c *pdfCanvas) FillString(face font.Face, at vg.Point, text string) {
	perEm := fixed.Int26_6(face.Face.UnitsPerEm())
	scale := face.Font.Size / vg.Length(perEm)
	var path vg.Path
	var before sfnt.GlyphIndex
	for i, r := range []rune(text) {
		glyph, err := face.Face.GlyphIndex(&c.buf, r)
		if err != nil {
			c.err = err
			return
		}
		if i > 0 {
			if kern, err := face.Face.Kern(&c.buf, before, glyph, perEm, 0); err == nil {
				at.X += vg.Length(kern) * scale
			}
		}
		segments, err := face.Face.LoadGlyph(&c.buf, glyph, perEm, nil)
		if err != nil {
			c.err = err
			return
		}
		path = append(path, outlines(segments, at, scale)...)
		advance, err := face.Face.GlyphAdvance(&c.buf, glyph, perEm, 0)
		if err != nil {
			c.err = err
			return
		}
		at.X += vg.Length(advance) * scale
		before = glyph
	}
	if len(path) > 0 {
		c.Fill(path)
	}
}

// outlines turns the contours of a glyph, y downwards, into a path at a place.
func outlines(segments sfnt.Segments, at vg.Point, scale vg.Length) (path vg.Path) {
	point := func(p fixed.Point26_6) vg.Point {
		return vg.Point{X: at.X + vg.Length(p.X)*scale, Y: at.Y - vg.Length(p.Y)*scale}
	}
	for i, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if i > 0 {
				path.Close()
			}
			path.Move(point(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			path.Line(point(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			path.QuadTo(point(s.Args[0]), point(s.Args[1]))
		case sfnt.SegmentOpCubeTo:
			path.CubeTo(point(s.Args[0]), point(s.Args[1]), point(s.Args[2]))
		}
	}
	if len(path) > 0 {
		path.Close()
	}
	return path
}
