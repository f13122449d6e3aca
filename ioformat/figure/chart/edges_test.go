package chart

import (
	"bytes"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

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
