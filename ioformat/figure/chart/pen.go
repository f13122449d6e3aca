package chart

import (
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"fitcoil/ioformat/quantity"
)

// pen draws in page coordinates: points from the top left corner.
type pen struct {
	canvas  draw.Canvas
	fonts   fonts
	palette palette
	height  float64
	foreign bool // letters that the font lacks are the viewer's business
	written []box
}

func (p *pen) point(x, y float64) vg.Point {
	return vg.Point{X: vg.Points(x), Y: vg.Points(p.height - y)}
}

func (p *pen) points(list []XY) []vg.Point {
	out := make([]vg.Point, len(list))
	for i, v := range list {
		out[i] = p.point(v.X, v.Y)
	}
	return out
}

// text writes one line.
func (p *pen) text(l label) {
	text := quantity.Visible(l.text)
	if !p.foreign {
		text = p.fonts.clean(text)
	}
	face := p.fonts.face(l.size, l.bold)
	w := face.Width(text).Points()
	x := l.x - float64(l.align)*w
	p.written = append(p.written, box{x, l.y - 0.75*l.size, x + w, l.y + 0.22*l.size})
	p.canvas.SetColor(tone(p.palette.colour(l.style)))
	p.canvas.FillString(face, p.point(x, l.y), text)
}

func (p *pen) line(list []XY, c color.NRGBA, width float64, dashes []float64) {
	p.stroke(p.points(list), c, width, dashes)
}

func (p *pen) stroke(points []vg.Point, c color.NRGBA, width float64, dashes []float64) {
	style := draw.LineStyle{Color: tone(c), Width: vg.Points(width)}
	for _, d := range dashes {
		style.Dashes = append(style.Dashes, vg.Points(d))
	}
	p.canvas.StrokeLines(style, points)
}

func (p *pen) fill(list []XY, c color.NRGBA) {
	p.canvas.FillPolygon(tone(c), p.points(list))
}

// within returns a canvas that clips to b.
func (p *pen) within(b box) draw.Canvas {
	return draw.Canvas{
		Canvas:    p.canvas.Canvas,
		Rectangle: vg.Rectangle{Min: p.point(b.left, b.bottom), Max: p.point(b.right, b.top)},
	}
}
