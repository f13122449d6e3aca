package chart

import (
	"bytes"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/vg"

	"fitcoil/internal/must"
)

// numbers calls visit for each number within v.
func numbers(v reflect.Value, visit func(reflect.Value)) {
	switch v.Kind() {
	case reflect.Float64:
		visit(v)
	case reflect.Struct:
		for i := range v.NumField() {
			numbers(v.Field(i), visit)
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbers(v.Index(i), visit)
		}
	}
}

// No number of a panel may be none, wherever it stands: all of them are places, but the height,
// the tints, and the places of ticks and of what a linear axis adds.
func TestNoNumberIsNowhere(t *testing.T) {
	full := func() *Figure {
		f := plain()
		p := everything()
		f.Panels = []Panel{p}
		return f
	}
	must.Do(t, full().check())
	n := 0
	count := func(f *Figure, visit func(reflect.Value)) {
		p := &f.Panels[0]
		for _, list := range []any{p.Points, p.Lines, p.Bands, p.Rules, p.Texts, &p.X.Min, &p.X.Max, &p.Y.Min, &p.Y.Max} {
			numbers(reflect.Indirect(reflect.ValueOf(list)), visit)
		}
		for _, a := range p.Areas {
			numbers(reflect.ValueOf(a.Outline), visit)
		}
	}
	count(full(), func(reflect.Value) { n++ })
	for i := range n {
		for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			f, k := full(), 0
			count(f, func(v reflect.Value) {
				if k == i {
					v.SetFloat(bad)
				}
				k++
			})
			if f.check() == nil {
				t.Errorf("number %d of %d may be %g", i, n, bad)
			}
		}
	}
}

// Labels at ticks never touch, and one is left out only where it would.
func TestCrowdedTicks(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	p := Panel{X: Over("x", 1000, 2000, 60), Lines: []Line{{Points: []XY{{1000, 0}, {2000, 1}}}}, Y: Axis{Max: 1}}
	l := &layout{width: usualWidth}
	q := &placedPanel{&p, box{20, 0, 420, 100}, inset}
	if end := l.below(q, labelSize, l.width, fonts); end != 100+tickLength+2+lineHeight(smallSize)+lineHeight(labelSize) {
		t.Errorf("they end at %g", end)
	}
	last, texts := math.Inf(-1), l.texts[:len(l.texts)-1]
	for _, tick := range p.X.Ticks {
		half := fonts.textWidth(tick.Label, smallSize, false) / 2
		written := len(texts) > 0 && texts[0].text == tick.Label
		if apart := q.x(tick.At) - half - last; written != (apart >= 2) {
			t.Errorf("%s is %g points behind the one before: written %v", tick.Label, apart, written)
		}
		if written {
			last, texts = q.x(tick.At)+half, texts[1:]
		}
	}
	if len(texts) > 0 || len(l.texts) == len(p.X.Ticks)+1 {
		t.Errorf("of %d labels %d are written, and %v", len(p.X.Ticks), len(l.texts)-1, texts)
	}
}

// Keys stand in rows within the margins, a row as full as it can be.
func TestRowsOfKeys(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	for n := range 40 {
		var keys []Key
		for range 7 {
			keys = append(keys, Key{Text: "k" + strings.Repeat("m", n/4) + strings.Repeat("i", n%4), Mark: true})
		}
		l := &layout{width: usualWidth}
		l.topKeys(fonts, keys, 0)
		need := markWidth + 4 + fonts.textWidth(keys[0].Text, smallSize, false)
		row := int((usualWidth - 2*margin + keyGap) / (need + keyGap))
		if len(l.keys) != len(keys) {
			t.Fatalf("%d keys of %d", len(l.keys), len(keys))
		}
		for i, k := range l.keys {
			x := margin + float64(i%row)*(need+keyGap) + markWidth/2
			y := (0.5 + float64(i/row)) * lineHeight(smallSize)
			if math.Abs(k.x-x) > 1e-9 || math.Abs(k.y-y-2*float64(i/row)) > 1e-9 {
				t.Errorf("key %d of %d letters at (%g, %g), want (%g, %g)", i, n, k.x, k.y, x, y+2*float64(i/row))
			}
		}
	}
}

// A bare panel fills its frame; another keeps marks off it.
func TestBarePanelsFillTheirFrames(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	for bare, room := range map[bool]float64{true: 0, false: 8} {
		p := Panel{Bare: bare, Height: 100, X: Axis{Max: 1}, Y: Axis{Max: 1}, Lines: []Line{{Points: []XY{{0, 0}, {1, 1}}}}}
		l := &layout{width: usualWidth}
		l.panel(&p, fonts, box{left: 30, right: 430}, 50)
		q := l.panels[0]
		if q.x(0) != 30+room || q.x(1) != 430-room || q.y(0) != q.frame.bottom-room || q.y(1) != 53+room {
			t.Errorf("bare %v: from (%g, %g) to (%g, %g) in %+v", bare, q.x(0), q.y(0), q.x(1), q.y(1), q.frame)
		}
	}
}

// A grid line stands at each tick with a label, and in a panel whose labels stand elsewhere at each
// tick; across at labels alone.
func TestGridLines(t *testing.T) {
	for unshown, want := range map[bool]int{false: 2, true: 3} {
		axis := Axis{Max: 1, Ticks: []Tick{{0.2, "a"}, {0.4, ""}, {0.6, "b"}, {1.1, "c"}}}
		q := &placedPanel{&Panel{X: axis, Y: axis}, box{0, 0, 100, 100}, 0}
		q.X.Unshown = unshown
		upright, across := 0, 0
		for _, n := range drawnBy(func(p *pen) { p.grid(q) }) {
			if n.points[0].X == n.points[1].X {
				upright++
			} else {
				across++
			}
			if n.width != gridWidth || colourName(n.colour) != "grid" {
				t.Errorf("a line %+v", n)
			}
		}
		if upright != want || across != 2 {
			t.Errorf("unshown %v: %d lines up and %d across", unshown, upright, across)
		}
	}
}

// The title of a PDF is written in the bold face, all else in the regular one.
func TestFacesOfAPDF(t *testing.T) {
	f := plain()
	l := f.arrange(must.Get(loadFonts()).In(t))
	c := newPDFCanvas(l)
	c.doc.SetCompression(false)
	paint(c, l, must.Get(loadFonts()).In(t), Light, false)
	var b bytes.Buffer
	must.Do(t, c.doc.Output(&b))
	c2 := newPDFCanvas(l)
	c2.doc.SetCompression(false)
	c2.doc.SetFont(pdfFamily, "B", titleSize)
	bold := regexp.MustCompile(`/(F\S+) 12\.00 Tf`)
	var b2 bytes.Buffer
	c2.doc.Text(1, 1, "x")
	must.Do(t, c2.doc.Output(&b2))
	want := bold.FindStringSubmatch(b2.String())
	got := bold.FindStringSubmatch(b.String())
	if want == nil || got == nil || got[1] != want[1] {
		t.Errorf("the title is in %v, bold is %v", got, want)
	}
	if other := regexp.MustCompile(`/(F\S+) 9\.00 Tf`).FindStringSubmatch(b.String()); other == nil || other[1] == want[1] {
		t.Errorf("the labels are in %v, bold is %v", other, want)
	}
}

// Both faces have glyphs for the same letters, and what is space of any kind is written as one.
func TestLettersOfBothFaces(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	var buf sfnt.Buffer
	for r := rune(' '); r < 0x20000; r++ {
		if bold, err := fonts.bold.GlyphIndex(&buf, r); err != nil || fonts.has(r) != (bold != 0) {
			t.Fatalf("%U: %v in the regular face, glyph %d in the bold one (%v)", r, fonts.has(r), bold, err)
		}
	}
	if got := fonts.clean("a\u00a0b\u2003c\td\u0085e"); got != "a b c d e" {
		t.Errorf("%q", got)
	}
}

// A logarithmic axis may begin as near to nothing as one likes.
func TestSmallLogarithms(t *testing.T) {
	for _, least := range []float64{1, 1e-4, 1e-12, 1e-300} {
		f := plain()
		f.Panels[0].X = Axis{Min: least, Max: 1.1, Log: true}
		f.Panels[0].Points[0].X = 1
		if err := f.check(); err != nil {
			t.Errorf("%g: %v", least, err)
		}
		f.Panels[0].X.Min, f.Panels[0].X.Shift = 0, least
		if err := f.check(); err != nil {
			t.Errorf("shifted by %g: %v", least, err)
		}
		f.Panels[0].X.Shift = 0
		if f.check() == nil {
			t.Error("the logarithm of nothing is drawn")
		}
	}
}

// Axes are drawn where either has ticks; marks have rims up to forty.
func TestAxesAndRims(t *testing.T) {
	for n, ticks := range [][2][]Tick{{nil, nil}, {{{50, "a"}}, nil}, {nil, {{50, "a"}}}, {{{50, "a"}}, {{50, ""}}}} {
		q := square100()
		q.X.Ticks, q.Y.Ticks = ticks[0], ticks[1]
		if got, want := len(drawnBy(func(p *pen) { p.axes(q) })), []int{0, 2, 2, 3}[n]; got != want {
			t.Errorf("%v: %d strokes, want %d", ticks, got, want)
		}
	}
	for n, want := range map[int]int{1: 2, 40: 80, 41: 41} {
		q := square100()
		for i := range n {
			q.Points = append(q.Points, Point{XY: XY{float64(2 * i), 50}})
		}
		if got := len(drawnBy(func(p *pen) { p.marks(q) })); got != want {
			t.Errorf("%d marks are drawn by %d strokes and fills, want %d", n, got, want)
		}
	}
}

// A page holds what stands on it: keys beside a panel that are more than its height, and a reason of many lines.
func TestPagesHoldAll(t *testing.T) {
	beside := plain()
	for i := range 30 {
		beside.Keys = append(beside.Keys, Key{Text: "curve", Line: true, Aside: true, At: float64(i) / 30})
	}
	silent := plain()
	silent.Panels = append(silent.Panels, Panel{Empty: strings.Repeat("Nothing of all that was read has a place here. ", 12)})
	silent.Notes = []string{"Below."}
	for what, f := range map[string]*Figure{"keys": beside, "reason": silent} {
		texts, page := written(t, f)
		for i, a := range texts {
			if !page.holds(a) {
				t.Errorf("%s: text %d at %v leaves the page %v", what, i, a, page)
			}
			for k, b := range texts[:i] {
				if a.overlaps(b) {
					t.Errorf("%s: texts %d at %v and %d at %v overlap", what, k, b, i, a)
				}
			}
		}
	}
	fonts := must.Get(loadFonts()).In(t)
	l := beside.arrange(fonts)
	if last := l.keys[0]; l.sideKeys(fonts, beside.Keys[:1]) != math.Max(last.y, l.panels[0].y(0))+lineHeight(smallSize)/2 {
		t.Errorf("one key ends at %g", l.sideKeys(fonts, beside.Keys[:1]))
	}
	frame := silent.arrange(fonts).panels[1].frame
	if lines := fonts.wrap(silent.Panels[1].Empty, frame.right-frame.left-4*inset, labelSize, false); math.Abs(frame.bottom-frame.top-float64(len(lines))*lineHeight(labelSize)-2*inset) > 1e-9 {
		t.Errorf("a frame of %g for %d lines", frame.bottom-frame.top, len(lines))
	}
}

// In a row of panels neither a bare one, nor one that is empty, has ticks; and a label that isn't
// shown has no place above.
func TestRowsOfOtherPanels(t *testing.T) {
	axis := Axis{Label: "label", Max: 1, Ticks: []Tick{{0.5, "tick"}}}
	fonts := must.Get(loadFonts()).In(t)
	unshown := axis
	unshown.Unshown = true
	for want, p := range map[string]Panel{
		"":                      {Bare: true, Height: 50, X: axis, Y: unshown},
		"label":                 {Height: 50, X: axis, Y: axis},
		"label tick tick label": {Height: 50, X: axis, Y: axis, Lines: []Line{{Points: []XY{{0, 0}, {1, 1}}}}},
		"title":                 {Title: "title", Height: 50, X: unshown, Y: unshown, Lines: []Line{{Points: []XY{{0, 0}, {1, 1}}}}},
		"tick label":            {Height: 50, X: axis, Y: unshown, Lines: []Line{{Points: []XY{{0, 0}, {1, 1}}}}},
	} {
		l := &layout{width: usualWidth}
		l.row([]Panel{p}, fonts, 20, 100, 0)
		var texts []string
		for _, text := range l.texts {
			texts = append(texts, text.text)
		}
		if got := strings.Join(texts, " "); got != want {
			t.Errorf("%+v: %q, want %q", p, got, want)
		}
	}
}

// What was written is noted from the top of its capitals to the foot of its letters.
func TestBoxesOfTexts(t *testing.T) {
	drawnBy(func(p *pen) {
		for _, a := range []align{left, centre, right} {
			p.text(label{50, 40, a, "Qy", 20, true, Ink})
			w := p.fonts.textWidth("Qy", 20, true)
			b := p.written[len(p.written)-1]
			if want := (box{50 - float64(a)*w, 25, 50 - float64(a)*w + w, 44.4}); math.Abs(b.left-want.left)+math.Abs(b.right-want.right)+math.Abs(b.top-want.top)+math.Abs(b.bottom-want.bottom) > 1e-9 {
				t.Errorf("aligned by %v: %v, want %v", a, b, want)
			}
		}
	})
}

// A label goes to the first of eight places that is free: right, left, above, below, and the four
// corners from the upper right one on, then farther out.
func TestEightPlaces(t *testing.T) {
	const w, h, d = 20.0, lineRatio * smallSize, ringRadius + 2
	frame := box{-1000, -1000, 1000, 1000}
	var taken []box
	for i, want := range around8(d, w, h) {
		b, near, free := place(0, 0, w, nil, taken, frame)
		if !free || !near || math.Abs(b.left-want.X)+math.Abs(b.top-want.Y)+math.Abs(b.right-want.X-w)+math.Abs(b.bottom-want.Y-h) > 1e-9 {
			t.Errorf("place %d is %v, near %v, want it at %v", i, b, near, want)
		}
		// a speck in the place just found, in none of those behind it
		for _, at := range []XY{{b.left, b.top}, {b.left, b.bottom}, {b.right, b.top}, {b.right, b.bottom}, {(b.left + b.right) / 2, b.top}, {(b.left + b.right) / 2, b.bottom}, {b.left, (b.top + b.bottom) / 2}, {b.right, (b.top + b.bottom) / 2}} {
			x, y := at.X+0.1*sign((b.left+b.right)/2-at.X), at.Y+0.1*sign((b.top+b.bottom)/2-at.Y)
			speck := around(x, y, 0.01)
			if next, near, _ := place(0, 0, w, nil, append(taken, speck), frame); i == 7 || near && next != b && covered(speck, later(d, w, h, i)) == 0 {
				taken = append(taken, speck)
				break
			}
		}
		if len(taken) != i+1 {
			t.Fatalf("no speck is in place %d alone", i)
		}
	}
	if b, near, free := place(0, 0, w, nil, taken, frame); near || !free || math.Abs(b.left-2*d) > 1e-9 {
		t.Errorf("farther out is %v, near %v", b, near)
	}
}

func sign(v float64) float64 {
	if v == 0 {
		return 0
	}
	return math.Copysign(1, v)
}

// around8 are the eight places of a label around a mark, by their upper left corners.
func around8(d, w, h float64) []XY {
	return []XY{{d, -h / 2}, {-d - w, -h / 2}, {-w / 2, -d - h}, {-w / 2, d}, {0.7 * d, -0.7*d - h}, {0.7 * d, 0.7 * d}, {-0.7*d - w, -0.7*d - h}, {-0.7*d - w, 0.7 * d}}
}

// later lists the places behind the i-th, by their order.
func later(d, w, h float64, i int) (list []box) {
	for _, at := range around8(d, w, h)[i+1:] {
		list = append(list, box{at.X, at.Y, at.X + w, at.Y + h})
	}
	return list
}

// A label keeps off a ring, and may come nearer to a mark without.
func TestLabelsKeepOffRings(t *testing.T) {
	for ring, want := range map[bool]bool{false: true, true: false} {
		q := square100(Point{XY: XY{50, 50}, Label: "label"}, Point{XY: XY{68, 60.5}, Ring: ring}) // 4.65 points above the place at the right
		written := 0
		for _, n := range drawnBy(func(p *pen) { p.labels(q) }) {
			if n.kind == "text" {
				if written++; (n.points[0].X > 50) != want {
					t.Errorf("ring %v: label at %v", ring, n.points[0])
				}
			}
		}
		if written != 1 {
			t.Errorf("ring %v: %d labels", ring, written)
		}
	}
}

// A path moves with all that shapes it.
func TestMovedPaths(t *testing.T) {
	to := vg.Point{X: 7, Y: -3}
	for s := range shape(shapes) {
		path := s.outline(5)
		if n := len(moved(path, to)); n == 0 || n != len(path) {
			t.Fatalf("shape %d: %d pieces of %d", s, n, len(path))
		}
		for i, c := range moved(path, to) {
			was := path[i]
			if c.Type != was.Type || c.Pos != was.Pos.Add(to) || len(c.Control) != len(was.Control) {
				t.Errorf("shape %d: piece %d is %+v, was %+v", s, i, c, was)
			}
			for k := range c.Control {
				if c.Control[k] != was.Control[k].Add(to) {
					t.Errorf("shape %d: piece %d bends at %v, want %v", s, i, c.Control, was.Control)
				}
			}
		}
	}
}

// A leader begins at the edge of a ring around its mark, and ends at the nearest point of its label.
func TestLeadersBeginAtTheRing(t *testing.T) {
	for _, c := range []struct {
		b  box
		to XY
	}{{box{60, 20, 80, 30}, XY{60, 30}}, {box{20, 70, 30, 80}, XY{30, 70}}, {box{45, 10, 55, 20}, XY{50, 20}}, {box{10, 45, 20, 55}, XY{20, 50}}, {box{70, 85, 90, 95}, XY{70, 85}}} {
		ends := drawnBy(func(p *pen) { p.leader(50, 50, c.b) })[0].points
		far := math.Hypot(c.to.X-50, c.to.Y-50)
		from := XY{50 + ringRadius*(c.to.X-50)/far, 50 + ringRadius*(c.to.Y-50)/far}
		if len(ends) != 2 || math.Hypot(ends[0].X-from.X, ends[0].Y-from.Y) > 1e-9 || math.Hypot(ends[1].X-c.to.X, ends[1].Y-c.to.Y) > 1e-9 {
			t.Errorf("to %v: from %v, want %v to %v", c.b, ends, from, c.to)
		}
	}
}

// A key takes three fifths of the page at most, and all that it needs up to there.
func TestLongKeys(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	for n := 20; n < 120; n++ {
		text := strings.Repeat("i", n)
		l := &layout{width: usualWidth}
		l.topKeys(fonts, []Key{{Text: text, Line: true}}, 0)
		if fits := fonts.textWidth(text, smallSize, false) <= 0.6*usualWidth; (l.texts[0].text == text) != fits || fonts.textWidth(l.texts[0].text, smallSize, false) > 0.6*usualWidth {
			t.Errorf("%d letters: %q, fits %v", n, l.texts[0].text, fits)
		}
	}
}

// A row ends where the lowest of its labels does; an empty panel has no label of its axis.
func TestRowsEnd(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	line := []Line{{Points: []XY{{0, 0}, {1, 1}}}}
	plain, labelled := Panel{Height: 50, X: Axis{Max: 1, Unshown: true}, Y: Axis{Max: 1, Unshown: true}, Lines: line}, Panel{Height: 50, X: Over("x", 0, 1, 2), Y: Axis{Max: 1, Unshown: true}, Lines: line}
	bare := Panel{Height: 50, X: Axis{Label: "x", Max: 1}, Y: Axis{Max: 1, Unshown: true}, Lines: line} // a label without ticks
	tall := lineHeight(smallSize) + tickLength + 2 + lineHeight(smallSize)
	for _, c := range []struct {
		row  []Panel
		want float64
	}{{[]Panel{plain, plain}, 0}, {[]Panel{labelled, plain}, tall}, {[]Panel{plain, labelled}, tall}, {[]Panel{labelled, bare}, tall}, {[]Panel{bare, plain}, lineHeight(smallSize)}} {
		l := &layout{width: usualWidth}
		if got := l.row(c.row, fonts, 20, 100, 0); math.Abs(got-50-c.want) > 1e-9 {
			t.Errorf("it ends at %g, want %g", got, 50+c.want)
		}
	}
	for empty, want := range map[string]int{"": 1, "Nothing.": 0} {
		p := Panel{Height: 50, Empty: empty, X: Axis{Max: 1}, Y: Axis{Label: "length", Max: 1}}
		if empty == "" {
			p.Lines = line
		}
		l := &layout{width: usualWidth}
		l.panel(&p, fonts, box{left: 20, right: 400}, 0)
		n := 0
		for _, text := range l.texts {
			if text.text == "length" {
				n++
			}
		}
		if n != want || math.Abs(l.panels[0].frame.top-3-float64(want)*lineHeight(smallSize)) > 1e-9 {
			t.Errorf("%q: %d labels above a frame from %g on", empty, n, l.panels[0].frame.top)
		}
	}
}
