package chart

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"fitcoil/internal/must"
)

// tape is a canvas that notes what is drawn on it, in page coordinates.
type tape struct {
	height float64
	colour color.NRGBA
	width  float64
	dashes []float64
	notes  []note
}

// note is one thing drawn: a filled or stroked outline, or a text that begins at a point.
type note struct {
	kind   string // fill, stroke or text
	colour color.NRGBA
	width  float64
	dashes []float64
	points []XY // of curves, the ends of their pieces
	closed bool
	text   string
	size   float64
	bold   bool
}

func (c *tape) Size() (w, h vg.Length)              { return 0, vg.Points(c.height) }
func (c *tape) SetLineWidth(w vg.Length)            { c.width = w.Points() }
func (c *tape) Rotate(float64)                      { panic("turned") }
func (c *tape) Translate(vg.Point)                  { panic("moved") }
func (c *tape) Scale(x, y float64)                  { panic("stretched") }
func (c *tape) Push()                               {}
func (c *tape) Pop()                                {}
func (c *tape) DrawImage(vg.Rectangle, image.Image) { panic("an image") }

func (c *tape) SetLineDash(dashes []vg.Length, _ vg.Length) {
	c.dashes = nil
	for _, d := range dashes {
		c.dashes = append(c.dashes, d.Points())
	}
}

func (c *tape) SetColor(clr color.Color) {
	t, ok := clr.(tone)
	if !ok {
		panic("a colour that doesn't survive its opacity")
	}
	c.colour = color.NRGBA(t)
}

func (c *tape) path(kind string, p vg.Path) {
	n := note{kind: kind, colour: c.colour, width: c.width, dashes: c.dashes}
	for _, s := range p {
		if s.Type == vg.CloseComp {
			n.closed = true
			continue
		}
		n.points = append(n.points, XY{s.Pos.X.Points(), c.height - s.Pos.Y.Points()})
	}
	c.notes = append(c.notes, n)
}

func (c *tape) Fill(p vg.Path)   { c.path("fill", p) }
func (c *tape) Stroke(p vg.Path) { c.path("stroke", p) }

func (c *tape) FillString(f font.Face, at vg.Point, text string) {
	c.notes = append(c.notes, note{kind: "text", colour: c.colour, points: []XY{{at.X.Points(), c.height - at.Y.Points()}}, text: text, size: f.Font.Size.Points(), bold: f.Font.Weight > 0})
}

// colourNames of the light theme.
func colourName(c color.NRGBA) string {
	p := Light.palette()
	names := []string{"background", "ink", "faint", "grid", "mist", "series 0", "series 1", "series 2", "series 3", "series 4"}
	for i, k := range p.colours() {
		if k.R == c.R && k.G == c.G && k.B == c.B {
			if c.A != 255 {
				return fmt.Sprintf("%s at %d/255", names[i], c.A)
			}
			return names[i]
		}
	}
	return hex(c)
}

// number writes v with two decimals at most.
func number(v float64) string {
	s := fmt.Sprintf("%.2f", math.Round(v*100)/100+0)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// told writes a note as words, its points as on maps them.
func (n note) told(on func(v XY) XY) string {
	s := n.kind + " " + colourName(n.colour)
	if n.kind == "stroke" {
		s += " " + number(n.width)
		for _, d := range n.dashes {
			s += "-" + number(d)
		}
	}
	if n.kind == "text" {
		s += " " + number(n.size)
		if n.bold {
			s += " bold"
		}
		s += fmt.Sprintf(" %q at", n.text)
	} else {
		s += ":"
	}
	if len(n.points) > 0 && n.closed && n.kind != "text" && len(n.points) > 2 && n.mark() {
		low, high := n.points[0], n.points[0]
		for _, p := range n.points {
			low, high = XY{math.Min(low.X, p.X), math.Min(low.Y, p.Y)}, XY{math.Max(high.X, p.X), math.Max(high.Y, p.Y)}
		}
		middle := on(XY{(low.X + high.X) / 2, (low.Y + high.Y) / 2})
		return s + fmt.Sprintf(" %d corners, %s × %s points around (%s, %s)", len(n.points), number(high.X-low.X), number(high.Y-low.Y), number(middle.X), number(middle.Y))
	}
	for _, p := range n.points {
		p = on(p)
		s += " (" + number(p.X) + ", " + number(p.Y) + ")"
	}
	return s
}

// mark tells whether an outline is as small as a mark.
func (n note) mark() bool {
	return !slices.ContainsFunc(n.points, func(p XY) bool { return math.Abs(p.X-n.points[0].X) > 14 || math.Abs(p.Y-n.points[0].Y) > 14 })
}

// drawnOn returns what a figure draws, and its page.
func drawnOn(t *testing.T, f *Figure) (notes []note, l *layout) {
	t.Helper()
	must.Do(t, f.check())
	fonts := must.Get(loadFonts()).In(t)
	l = f.arrange(fonts)
	c := &tape{height: l.height}
	penOn(c, fonts, l.width).draw(l)
	return c.notes, l
}

// penOn draws on a tape.
func penOn(c *tape, fonts fonts, width float64) *pen {
	return &pen{canvas: draw.Canvas{Canvas: c, Rectangle: vg.Rectangle{Max: vg.Point{X: vg.Points(width), Y: vg.Points(c.height)}}}, fonts: fonts, palette: Light.palette(), height: c.height}
}

// sameLines wants lines as they are, whatever their indentation.
func sameLines(t *testing.T, what string, got []string, want string) {
	t.Helper()
	wanted := strings.Split(strings.TrimSpace(want), "\n")
	for i, l := range wanted {
		wanted[i] = strings.TrimSpace(l)
	}
	if !slices.Equal(got, wanted) {
		for i := range max(len(got), len(wanted)) {
			if i >= len(got) || i >= len(wanted) || got[i] != wanted[i] {
				t.Errorf("%s: from line %d on\n%s\nand should be\n%s", what, i+1, strings.Join(got[min(i, len(got)):], "\n"), strings.Join(wanted[min(i, len(wanted)):], "\n"))
				return
			}
		}
	}
}
