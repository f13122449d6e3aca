package chart

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"regexp"
	"testing"

	"fitcoil/internal/must"
)

// A PNG shows the figure on the ground of its theme: ink at its frame, a mark in the middle, and nothing but the ground
// in its corners.
func TestPNGShowsTheFigure(t *testing.T) {
	for _, theme := range []Theme{Light, Dark} {
		f := plain()
		image := must.Get(png.Decode(bytes.NewReader(must.Get(f.Render("png", theme)).In(t)))).In(t)
		fonts := must.Get(loadFonts()).In(t)
		l := f.arrange(fonts)
		q := l.panels[0]
		at := func(x, y float64) string {
			const dots = dotsPerInch / 72.0
			r, g, b, _ := image.At(int(x*dots), int(y*dots)).RGBA()
			return hex(color.NRGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255})
		}
		p := theme.palette()
		for _, c := range []struct {
			x, y float64
			want string
		}{{1, 1, hex(p.background)}, {l.width - 2, l.height - 2, hex(p.background)}, {q.x(0.5), q.y(0.5), hex(p.colour(0))}, {q.frame.left, q.y(0.4), hex(p.ink)}, {q.x(0.3), q.y(0.3), hex(p.background)}} {
			if got := at(c.x, c.y); got != c.want && c.x != q.frame.left {
				t.Errorf("%v: %s at %g, %g, want %s", theme, got, c.x, c.y, c.want)
			} else if c.x == q.frame.left && got == hex(p.background) {
				t.Errorf("%v: no frame", theme)
			}
		}
	}
}

// Ticks stand at round numbers on both ends of a range, and each where its label says, whatever the signs of the ends.
func TestTicksAtTheEnds(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
		want   string
		at     []float64
	}{
		{0, 0.3, 3, "0.0 0.1 0.2 0.3", []float64{0, 0.1, 0.2, 0.3}}, {-0.3, 0, 3, "−0.3 −0.2 −0.1 0.0", []float64{-0.3, -0.2, -0.1, 0}},
		{0.7, 1.1, 4, "0.7 0.8 0.9 1.0 1.1", []float64{0.7, 0.8, 0.9, 1, 1.1}}, {0, 0.9, 9, "0.0 0.1 0.2 0.3 0.4 0.5 0.6 0.7 0.8 0.9", []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9}},
	} {
		a := Over("", c.lo, c.hi, c.n)
		if got := labels(a); got != c.want {
			t.Errorf("%g to %g: %q, want %q", c.lo, c.hi, got, c.want)
			continue
		}
		for i, tick := range a.Ticks {
			if math.Abs(tick.At-c.at[i]) > 1e-12 {
				t.Errorf("%q is at %g, want %g", tick.Label, tick.At, c.at[i])
			}
		}
	}
	for least, want := range map[float64]float64{1: 1, 1.0000000001: 1, 1.01: 2, 2.1: 5, 5.0000000001: 5, 5.1: 10, 0.3 / 3: 0.1, 0.7 - 0.6000000001: 0.1, 0.06 / 3: 0.02} {
		if got := roundStep(least); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: a step of %v, want %v", least, got, want)
		}
	}
	for _, c := range [][4]float64{{0, 5e-10, 0, 5e-10}, {2, 2, 1.9, 2.1}, {-2, -2, -2.1, -1.9}, {0, 0, -1, 1}, {-1, 3, -1, 3}, {1, 1 + 1e-10, 0.95, 1.05}, {-1e-12, 1, -1e-12, 1}} {
		if lo, hi := widened(c[0], c[1]); math.Abs(lo-c[2]) > 1e-6*math.Abs(c[3]-c[2]) || math.Abs(hi-c[3]) > 1e-6*math.Abs(c[3]-c[2]) {
			t.Errorf("%g to %g becomes %g to %g", c[0], c[1], lo, hi)
		}
	}
	for _, tick := range LogOver("", 0, 400, 3).Ticks {
		if tick.Label != "" && !(math.Abs(tick.At-parse(t, tick.Label)) < 1e-9) {
			t.Errorf("%q is at %g", tick.Label, tick.At)
		}
	}
}

// A panel whose axes have one scale keeps it, wherever its ranges begin; a bare one keeps its height, and any other its
// own or the usual one.
func TestHeightsOfPanels(t *testing.T) {
	lines := []Line{{Points: []XY{{0, 0}, {1, 1}}}}
	edge := box{left: 50, right: 466}
	for _, c := range []struct {
		p     Panel
		width float64
		want  float64
	}{
		{Panel{Equal: true, X: Axis{Min: 2, Max: 6}, Y: Axis{Min: -1, Max: 1}, Lines: lines}, 480, 216}, // 100 points for each of two
		{Panel{Equal: true, X: Axis{Min: -6, Max: -2}, Y: Axis{Min: 7, Max: 8}, Lines: lines}, 480, 116},
		{Panel{Bare: true, Height: 33, X: Axis{Max: 1}, Y: Axis{Max: 1}, Lines: lines}, 240, 33},
		{Panel{Height: 120, X: Axis{Max: 1}, Y: Axis{Max: 1}, Lines: lines}, 480, 120}, {Panel{Height: 120, X: Axis{Max: 1}, Y: Axis{Max: 1}, Lines: lines}, 384, 96}, {Panel{Height: 120, X: Axis{Max: 1}, Y: Axis{Max: 1}, Lines: lines}, 240, 90},
		{Panel{X: Axis{Max: 1}, Y: Axis{Max: 1}, Lines: lines}, 480, plotHeight}, {Panel{Empty: "none"}, 480, 60},
	} {
		if got := c.p.tall(edge, c.width); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v on %g: %g, want %g", c.p, c.width, got, c.want)
		}
	}
}

// Labels keep off every mark and every text of a panel, the first and the last.
func TestLabelsKeepOffAll(t *testing.T) {
	spot := func(change func(q *placedPanel)) XY {
		q := square100(Point{XY: XY{50, 50}, Label: "mine"})
		change(q)
		notes := drawnBy(func(p *pen) { p.labels(q) })
		if len(notes) != 1 || notes[0].text != "mine" {
			t.Fatalf("%+v", notes)
		}
		return notes[0].points[0]
	}
	right := spot(func(*placedPanel) {})
	other := Point{XY: XY{62, 50}}
	for what, change := range map[string]func(q *placedPanel){
		"a mark before": func(q *placedPanel) { q.Points = append([]Point{other}, q.Points...) }, "a mark behind": func(q *placedPanel) { q.Points = append(q.Points, other) },
		"a text to the right": func(q *placedPanel) { q.Texts = []Text{{XY: XY{90, 50}, Text: "as wide as this one"}} }, "the second text": func(q *placedPanel) { q.Texts = []Text{{XY: XY{20, 90}, Text: "a"}, {XY: XY{70, 50}, Text: "text"}} },
	} {
		if got := spot(change); got == right {
			t.Errorf("%s is covered", what)
		}
	}
	// The box of a text is as wide as it is, to the left of its middle as well as to the right.
	fonts := must.Get(loadFonts()).In(t)
	w := fonts.textWidth("as wide as this one", smallSize, false)
	for off, free := range map[float64]bool{w/2 + fonts.textWidth("mine", smallSize, false) + 10: true, w/2 + 9: false} {
		got := spot(func(q *placedPanel) { q.Texts = []Text{{XY: XY{50 + off, 50}, Text: "as wide as this one"}} })
		if (got == right) != free {
			t.Errorf("a text %g to the right: %v", off, got)
		}
	}
	notes := drawnBy(func(p *pen) { p.leader(50, 50, box{80, 40, 100, 60}) })
	if colourName(notes[0].colour) != "faint" || notes[0].width != gridWidth {
		t.Errorf("%+v", notes[0])
	}
	if got := fonts.shorten("abc", fonts.textWidth("a…", smallSize, false)+0.01, smallSize); got != "a…" {
		t.Errorf("%q", got)
	}
}

// A bar cut in a panel wider than it is high ends in a point at the edge that cuts it, and only there.
func TestBarsCutInAWidePanel(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		corners   int
		tip       float64
	}{{20, 60, 4, math.NaN()}, {-20, 60, 5, 108}, {20, 150, 5, -8}} {
		q := &placedPanel{&Panel{X: Axis{Max: 100}, Y: Axis{Max: 100}}, box{-8, -8, 208, 108}, 8}
		outline := drawnBy(func(p *pen) { p.wideBar(q, Point{XY: XY{50, 50}, WideLow: c.low, WideHigh: c.high}) })[0].points
		tips := 0
		for _, p := range outline {
			if math.Abs(p.X-q.x(50)) < 1e-6 {
				if tips++; math.Abs(p.Y-c.tip) > 1e-6 {
					t.Errorf("%v to %v: the point is at %v", c.low, c.high, p)
				}
			}
		}
		if len(outline) != c.corners || tips != c.corners-4 {
			t.Errorf("%v to %v: %v", c.low, c.high, outline)
		}
	}
}

// A PDF's page is as large as the figure, its canvas paints on all of it, and half opaque colours keep theirs.
func TestPDFColours(t *testing.T) {
	c := newPDFCanvas(&layout{width: 200, height: 100})
	c.doc.SetCompression(false)
	c.SetColor(tone{200, 100, 50, 3}) // a colour that a premultiplied one would lose
	var b bytes.Buffer
	must.Do(t, c.doc.Output(&b))
	if !bytes.Contains(b.Bytes(), []byte("0.784 0.392 0.196 rg")) || !regexp.MustCompile(`/MediaBox \[0 0 200(\.00)? 100(\.00)?\]`).Match(b.Bytes()) {
		t.Errorf("%s", b.Bytes()[:600])
	}
}

// The left edge of all panels leaves room for the widest label of any, wherever it stands.
func TestRoomForTheWidestLabel(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	const wide = "−12 345 678"
	room := fonts.textWidth(wide, smallSize, false)
	for at := range 6 {
		f := plain()
		panel := f.Panels[0]
		f.Panels = nil
		for i := range 2 {
			p := panel
			p.Y = Axis{Max: 2}
			for k := range 3 {
				label := "1"
				if 3*i+k == at {
					label = wide
				}
				p.Y.Ticks = append(p.Y.Ticks, Tick{At: float64(k), Label: label})
			}
			f.Panels = append(f.Panels, p)
		}
		l := &layout{width: usualWidth}
		if b := l.edges(f, fonts); math.Abs(b.left-(margin+room+tickLength+3)) > 1e-9 {
			t.Errorf("the widest is number %d: left edge at %g, want %g", at, b.left, margin+room+tickLength+3)
		}
	}
}
