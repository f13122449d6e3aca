package chart

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"fitcoil/ioformat/quantity"
)

// draw puts everything in its place.
func (p *pen) draw(l *layout) {
	p.fill([]XY{{0, 0}, {l.width, 0}, {l.width, l.height}, {0, l.height}}, p.palette.background)
	for i := range l.panels {
		p.panel(&l.panels[i])
	}
	for _, k := range l.keys {
		p.key(k)
	}
	for _, t := range l.texts {
		p.text(t)
	}
}

func (p *pen) panel(q *placedPanel) {
	f := q.frame
	if !q.drawn() {
		p.line([]XY{{f.left, f.top}, {f.right, f.top}, {f.right, f.bottom}, {f.left, f.bottom}, {f.left, f.top}}, p.palette.grid, frameWidth, nil)
		return
	}
	if !q.Bare {
		p.grid(q)
	}
	for _, a := range q.Areas {
		p.area(q, a)
	}
	for _, b := range q.Bands {
		p.band(q, b)
	}
	for _, r := range q.Rules {
		p.rule(q, r)
	}
	for _, l := range q.Lines {
		p.curve(q, l)
	}
	if !q.Bare {
		p.axes(q)
	}
	p.marks(q)
	for _, t := range q.Texts {
		p.text(label{q.x(t.X), q.y(t.Y) + 0.35*smallSize, centre, t.Text, smallSize, false, Ink})
	}
	p.labels(q)
}

// grid draws faint lines at the labelled ticks.
func (p *pen) grid(q *placedPanel) {
	f := q.frame
	for _, t := range q.X.shown() {
		if t.Label != "" || q.X.Unshown {
			p.line([]XY{{q.x(t.At), f.top}, {q.x(t.At), f.bottom}}, p.palette.grid, gridWidth, nil)
		}
	}
	for _, t := range q.Y.shown() {
		if t.Label != "" {
			p.line([]XY{{f.left, q.y(t.At)}, {f.right, q.y(t.At)}}, p.palette.grid, gridWidth, nil)
		}
	}
}

func (p *pen) axes(q *placedPanel) {
	f := q.frame
	if len(q.X.Ticks)+len(q.Y.Ticks) == 0 {
		return
	}
	p.line([]XY{{f.left, f.top}, {f.left, f.bottom}, {f.right, f.bottom}}, p.palette.ink, frameWidth, nil)
	for _, t := range q.X.shown() {
		x := q.x(t.At)
		p.line([]XY{{x, f.bottom}, {x, f.bottom + tickLength}}, p.palette.ink, frameWidth, nil)
	}
	for _, t := range q.Y.shown() {
		y := q.y(t.At)
		p.line([]XY{{f.left, y}, {f.left - tickLength, y}}, p.palette.ink, frameWidth, nil)
	}
}

func (p *pen) rule(q *placedPanel, r Rule) {
	f := q.frame
	var dashes []float64
	if r.Dashed {
		dashes = guideDashes()
	}
	ends := []XY{{f.left, q.y(r.At)}, {f.right, q.y(r.At)}}
	if r.Upright {
		ends = []XY{{q.x(r.At), f.top}, {q.x(r.At), f.bottom}}
	}
	p.line(ends, p.palette.faint, thinWidth, dashes)
}

// onPage maps the points of a panel.
func (q *placedPanel) onPage(points []XY) []XY {
	out := make([]XY, len(points))
	for i, v := range points {
		out[i] = XY{q.x(v.X), q.y(v.Y)}
	}
	return out
}

func (p *pen) area(q *placedPanel, a Area) {
	c := p.palette.colour(a.Style)
	clip := p.within(q.frame)
	points := clip.ClipPolygonXY(p.points(q.onPage(a.Outline)))
	if len(points) == 0 {
		return
	}
	if a.Tint > 0 {
		c.A = uint8(math.Round(255 * a.Tint))
		clip.FillPolygon(tone(c), points)
		return
	}
	clip.FillPolygon(tone(c), points)
	p.stroke(append(points, points[0]), p.rim(a.Style), frameWidth, nil)
}

// rim is the colour of an area's outline: its own where that stands out.
func (p *pen) rim(s Style) color.NRGBA {
	if s == Mist {
		return p.palette.faint
	}
	return p.palette.colour(s)
}

func (p *pen) band(q *placedPanel, b Band) {
	var outline []XY
	for _, v := range b.Points {
		outline = append(outline, XY{v.X, v.High})
	}
	for _, v := range slices.Backward(b.Points) {
		outline = append(outline, XY{v.X, v.Low})
	}
	clip := p.within(q.frame)
	clip.FillPolygon(tone(p.bandColour(b.Style)), clip.ClipPolygonXY(p.points(q.onPage(outline))))
}

func (p *pen) bandColour(s Style) color.NRGBA {
	c := p.palette.colour(s)
	c.A = uint8(math.Round(255 * bandOpacity))
	return c
}

func (p *pen) curve(q *placedPanel, l Line) {
	clip := p.within(q.frame)
	for _, piece := range clip.ClipLinesXY(p.points(q.onPage(l.Points))) {
		p.stroke(piece, p.palette.colour(l.Style), l.width(), l.dashes())
	}
}

func (l *Line) width() float64 {
	switch {
	case l.Thin:
		return thinWidth
	case l.Bold:
		return boldWidth
	}
	return lineWidth
}

func (l *Line) dashes() []float64 {
	if l.Dashed {
		return guideDashes()
	}
	return l.Style.dashes()
}

// crowd is the number of marks from which on they are drawn more coarsely.
const crowd = 500

// distinct leaves of marks that no eye could tell apart only one: a million
// readings make no file of a million marks.
func (q *placedPanel) distinct() (list []Point) {
	type cell struct {
		x, y, low, high int
		style           Style
		hollow, small   bool
	}
	perPoint := 4.0
	if len(q.Points) > crowd {
		perPoint = 0.5
	}
	at := func(v float64) int { return int(math.Round(perPoint * v)) }
	seen := map[cell]bool{}
	for _, d := range q.Points {
		c := cell{x: at(q.x(d.X)), y: at(q.y(d.Y)), style: d.Style, hollow: d.Hollow, small: d.Small}
		if d.barred() {
			c.low, c.high = at(q.y(d.Low)), at(q.y(d.High))
		}
		if !seen[c] {
			seen[c] = true
			list = append(list, d)
		}
	}
	return list
}

// marks draws error bars, then marks, then rings.
func (p *pen) marks(q *placedPanel) {
	list := q.distinct()
	for _, d := range list {
		if d.Wide {
			p.wideBar(q, d)
		}
	}
	for _, d := range list {
		if d.barred() {
			p.bar(q.x(d.X), q.y(d.Low), q.y(d.High), d.Style)
		}
	}
	r := radiusOf(len(list))
	for _, d := range list {
		if d.Small {
			p.dot(q.x(d.X), q.y(d.Y), d.Style)
			continue
		}
		p.mark(q.x(d.X), q.y(d.Y), r, d.Style, d.Hollow, len(list) <= few)
	}
	for _, d := range q.Points {
		if d.Ring {
			p.ring(q.x(d.X), q.y(d.Y))
		}
	}
}

// few is the number of marks up to which each has a rim: where more lie side by side, the
// rims would hide their neighbours.
const few = 40

// radiusOf returns the radius of a mark among n.
func radiusOf(n int) float64 {
	switch {
	case n <= few:
		return markRadius
	case n <= 4*few:
		return 0.8 * markRadius
	}
	return 0.6 * markRadius
}

// wideBar draws a broad bar behind a mark. Where the panel cuts it, it ends in a point.
func (p *pen) wideBar(q *placedPanel, d Point) {
	const half = 3.0
	x, low, high := q.x(d.X), q.y(d.WideLow), q.y(d.WideHigh)
	outline := []XY{{x - half, low}, {x + half, low}, {x + half, high}, {x - half, high}}
	if f := q.frame; low > f.bottom || high < f.top {
		low, high = math.Min(low, f.bottom), math.Max(high, f.top)
		outline = []XY{{x - half, low}, {x + half, low}, {x + half, high}, {x - half, high}}
		if low == f.bottom {
			outline = []XY{{x - half, low - 2*half}, {x, low}, {x + half, low - 2*half}, {x + half, high}, {x - half, high}}
		}
		if high == f.top {
			outline = append(outline[:len(outline)-2], XY{x + half, high + 2*half}, XY{x, high}, XY{x - half, high + 2*half})
		}
	}
	c := p.palette.colour(d.Style)
	c.A = uint8(math.Round(255 * 1.8 * bandOpacity))
	p.fill(outline, c)
}

// barred tells whether a point has an error bar.
func (d *Point) barred() bool { return d.Low != 0 || d.High != 0 }

// key draws the sample beside a key's text.
func (p *pen) key(k placedKey) {
	if k.leader != nil {
		p.line(k.leader, p.palette.faint, gridWidth, nil)
	}
	left, right := k.x-sampleWidth/2+1, k.x+sampleWidth/2-1
	sample := []XY{{left, k.y - 4}, {right, k.y - 4}, {right, k.y + 4}, {left, k.y + 4}, {left, k.y - 4}}
	if k.Band {
		p.fill(sample, p.bandColour(k.Style))
	}
	if k.Area {
		p.fill(sample, p.palette.colour(k.Style))
		p.line(sample, p.rim(k.Style), frameWidth, nil)
	}
	if k.Line {
		l := Line{Style: k.Style, Dashed: k.Dashed}
		p.line([]XY{{left, k.y}, {right, k.y}}, p.palette.colour(k.Style), l.width(), l.dashes())
	}
	if k.Bar {
		p.bar(k.x, k.y-5, k.y+5, k.Style)
	}
	if k.Mark {
		p.mark(k.x, k.y, markRadius, k.Style, k.Hollow, true)
	}
	if k.Ring {
		p.ring(k.x, k.y)
	}
}

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
