package chart

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// shape is the outline of a mark.
type shape int

const (
	disc shape = iota
	square
	triangle
	diamond
	triangleDown
	plus
	star
	shapes = int(iota)
)

// outline returns the closed path of a mark with radius r around the origin.
// All shapes have about the area of the disc.
func (s shape) outline(r float64) vg.Path {
	switch s {
	case square:
		return polygon(4, 1.25*r, 1.25*r, math.Pi/4)
	case triangle:
		return polygon(3, 1.45*r, 1.45*r, math.Pi/2)
	case diamond:
		return polygon(4, 1.4*r, 1.4*r, 0)
	case triangleDown:
		return polygon(3, 1.45*r, 1.45*r, -math.Pi/2)
	case plus:
		return cross(1.3*r, 0.5*r)
	case star:
		return polygon(10, 1.6*r, 0.7*r, math.Pi/2)
	}
	return circle(r)
}

// polygon has n corners, at radius r and r2 by turns.
func polygon(n int, r, r2, start float64) vg.Path {
	var corners []XY
	for i := range n {
		sin, cos := math.Sincos(start + 2*math.Pi*float64(i)/float64(n))
		corners = append(corners, XY{r * cos, r * sin})
		r, r2 = r2, r
	}
	return closed(corners)
}

// cross is an upright cross with arms of length r and half-width w.
func cross(r, w float64) vg.Path {
	return closed([]XY{{w, w}, {w, r}, {-w, r}, {-w, w}, {-r, w}, {-r, -w}, {-w, -w}, {-w, -r}, {w, -r}, {w, -w}, {r, -w}, {r, w}})
}

func closed(corners []XY) (path vg.Path) {
	for i, c := range corners {
		corner := vg.Point{X: vg.Points(c.X), Y: vg.Points(c.Y)}
		if i == 0 {
			path.Move(corner)
		} else {
			path.Line(corner)
		}
	}
	path.Close()
	return path
}

// circle is made of four Bézier curves, which all formats draw alike; 0.5523 is
// 4/3·(√2 − 1), with which the curve passes through the arc's middle.
func circle(r float64) vg.Path {
	const k = 0.5522847498
	at := func(x, y float64) vg.Point { return vg.Point{X: vg.Points(x * r), Y: vg.Points(y * r)} }
	var path vg.Path
	path.Move(at(1, 0))
	path.CubeTo(at(1, k), at(k, 1), at(0, 1))
	path.CubeTo(at(-k, 1), at(-1, k), at(-1, 0))
	path.CubeTo(at(-1, -k), at(-k, -1), at(0, -1))
	path.CubeTo(at(k, -1), at(1, -k), at(1, 0))
	path.Close()
	return path
}

// moved returns the path shifted to a place.
func moved(path vg.Path, to vg.Point) vg.Path {
	out := make(vg.Path, len(path))
	for i, c := range path {
		c.Pos = c.Pos.Add(to)
		c.Control = slices.Clone(c.Control)
		for k := range c.Control {
			c.Control[k] = c.Control[k].Add(to)
		}
		out[i] = c
	}
	return out
}

// dot draws a small mark at a place on the page.
func (p *pen) dot(x, y float64, s Style) {
	p.canvas.SetColor(tone(p.palette.colour(s)))
	p.canvas.Fill(moved(circle(dotRadius), p.point(x, y)))
}

// mark draws the mark of a style at a place on the page. The rim, in the colour
// of the background, keeps marks apart that overlap.
func (p *pen) mark(x, y, r float64, s Style, hollow, rim bool) {
	c := tone(p.palette.colour(s))
	background := tone(p.palette.background)
	path := moved(s.shape().outline(r), p.point(x, y))
	fill, edge, width := c, background, 0.6
	if hollow {
		fill, edge, width = background, c, 1.2
	}
	p.canvas.SetColor(fill)
	p.canvas.Fill(path)
	if !hollow && !rim {
		return
	}
	p.canvas.SetLineDash(nil, 0)
	p.canvas.SetColor(edge)
	p.canvas.SetLineWidth(vg.Points(width))
	p.canvas.Stroke(path)
}

// ring draws a ring around a place on the page.
func (p *pen) ring(x, y float64) {
	p.canvas.SetLineDash(nil, 0)
	p.canvas.SetColor(tone(p.palette.ink))
	p.canvas.SetLineWidth(vg.Points(1.1))
	p.canvas.Stroke(moved(circle(ringRadius), p.point(x, y)))
}

// bar draws an error bar between two heights on the page.
func (p *pen) bar(x, low, high float64, s Style) {
	c := p.palette.colour(s)
	const cap = 2.5
	p.line([]XY{{x, low}, {x, high}}, c, barWidth, nil)
	p.line([]XY{{x - cap, low}, {x + cap, low}}, c, barWidth, nil)
	p.line([]XY{{x - cap, high}, {x + cap, high}}, c, barWidth, nil)
}
