package chart

import (
	"math"
	"slices"
	"strings"
	"testing"
)

// square100 is a panel from 0 to 100 whose points are those of the page, but for the 8 of its inset.
func square100(points ...Point) *placedPanel {
	return &placedPanel{&Panel{X: Axis{Max: 100}, Y: Axis{Max: 100}, Points: points}, box{-8, -8, 108, 108}, 8}
}

// Marks are left out that lie within a quarter of a point of another of the same looks; among more
// than 500 within two points.
func TestDistinctMarks(t *testing.T) {
	at := func(x float64) Point { return Point{XY: XY{x, 50}} }
	for _, c := range []struct {
		a, b Point
		want int
	}{
		{at(10), at(10.1), 1}, {at(10), at(10.2), 2}, {at(10), Point{XY: XY{10, 50}, Style: 1}, 2}, {at(10), Point{XY: XY{10, 50}, Hollow: true}, 2}, {at(10), Point{XY: XY{10, 50}, Small: true}, 2},
		{Point{XY: XY{10, 50}, Low: 40, High: 60}, Point{XY: XY{10, 50}, Low: 41, High: 60}, 2}, {Point{XY: XY{10, 50}, Low: 40, High: 60}, Point{XY: XY{10, 50}, Low: 40, High: 61}, 2},
		{Point{XY: XY{10, 50}, Low: 40, High: 60}, Point{XY: XY{10, 50}, Low: 40, High: 60}, 1}, {Point{XY: XY{10, 50}, High: 60}, at(10), 2}, {at(10), Point{XY: XY{10, 51}}, 2},
	} {
		if got := len(square100(c.a, c.b).distinct()); got != c.want {
			t.Errorf("%+v and %+v: %d marks, want %d", c.a, c.b, got, c.want)
		}
	}
	var many []Point
	for i := range 501 {
		many = append(many, at(40+0.9*float64(i%2)))
	}
	if got := len(square100(many...).distinct()); got != 1 {
		t.Errorf("%d marks of 501", got)
	}
	if got := len(square100(many[:500]...).distinct()); got != 2 {
		t.Errorf("%d marks of 500", got)
	}
	for n, want := range map[int]float64{40: 3.3, 41: 0.8 * 3.3, 160: 0.8 * 3.3, 161: 0.6 * 3.3} {
		if got := radiusOf(n); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d marks have the radius %v, want %v", n, got, want)
		}
	}
}

// A broad bar that the panel cuts ends in a point at the edge.
func TestCutBars(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      []XY
	}{
		{20, 60, []XY{{47, 80}, {53, 80}, {53, 40}, {47, 40}}},
		{-20, 60, []XY{{47, 102}, {50, 108}, {53, 102}, {53, 40}, {47, 40}}},
		{20, 150, []XY{{47, 80}, {53, 80}, {53, -2}, {50, -8}, {47, -2}}},
		{-20, 150, []XY{{47, 102}, {50, 108}, {53, 102}, {53, -2}, {50, -8}, {47, -2}}},
	} {
		notes := drawnBy(func(p *pen) { p.wideBar(square100(), Point{XY: XY{50, 50}, WideLow: c.low, WideHigh: c.high}) })
		if !slices.EqualFunc(notes[0].points, c.want, func(a, b XY) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-6 }) {
			t.Errorf("%v to %v: %v, want %v", c.low, c.high, notes[0].points, c.want)
		}
	}
}

// A label that is not beside its mark is joined to it, from the mark's rim to the label's nearest
// point.
func TestLeaders(t *testing.T) {
	notes := drawnBy(func(p *pen) { p.leader(50, 50, box{80, 40, 100, 60}); p.leader(50, 50, box{40, 10, 60, 20}) })
	for i, want := range [][]XY{{{56.5, 50}, {80, 50}}, {{50, 43.5}, {50, 20}}} {
		if !slices.EqualFunc(notes[i].points, want, func(a, b XY) bool { return math.Hypot(a.X-b.X, a.Y-b.Y) < 1e-6 }) {
			t.Errorf("%v, want %v", notes[i].points, want)
		}
	}
	// A panel full of marks: the label goes far from its own, and a line leads there; it stands
	// clear of the lines drawn.
	q := square100(Point{XY: XY{50, 50}, Label: "far"}, Point{XY: XY{50, 50}})
	for x := 30.0; x <= 70; x += 4 {
		for y := 30.0; y <= 70; y += 4 {
			q.Points = append(q.Points, Point{XY: XY{x, y}})
		}
	}
	notes = drawnBy(func(p *pen) { p.labels(q) })
	if len(notes) != 2 || notes[0].kind != "stroke" || notes[1].text != "far" || math.Hypot(notes[1].points[0].X-50, notes[1].points[0].Y-50) < 20 {
		t.Errorf("%+v", notes)
	}
	q = square100(Point{XY: XY{50, 50}, Label: "right"}, Point{XY: XY{20, 20}})
	notes = drawnBy(func(p *pen) { p.labels(q) })
	if len(notes) != 1 || !(math.Abs(notes[0].points[0].X-58.5) < 1e-6) || !(math.Abs(notes[0].points[0].Y-(50+0.65*9-0.25*9)) < 1e-6) { // 6.5 + 2 points to the right, its middle at the mark's height
		t.Errorf("%+v", notes)
	}
	q.Lines = []Line{{Points: []XY{{50, 50}, {100, 50}}}}
	q.Texts = []Text{{XY: XY{30, 50}, Text: "wide as can be, here"}}
	if notes = drawnBy(func(p *pen) { p.labels(q) }); len(notes) != 1 || !(notes[0].points[0].Y < 46 || notes[0].points[0].Y > 60) {
		t.Errorf("beside a line: %+v", notes)
	}
}

// The boxes along a line leave no gap of 4 points.
func TestAlong(t *testing.T) {
	q := square100()
	q.Lines = []Line{{Points: []XY{{0, 0}, {30, 40}, {30, 90}}}}
	list := q.along()
	if len(list) != 26 { // 50/4 and 50/4, rounded up
		t.Fatalf("%d boxes", len(list))
	}
	for i, b := range list {
		if math.Abs(b.right-b.left-2) > 1e-9 || math.Abs(b.bottom-b.top-2) > 1e-9 {
			t.Errorf("box %v", b)
		}
		x, y := (b.left+b.right)/2, 100-(b.top+b.bottom)/2
		far := 50 * float64(i) / 13
		want := XY{30 * float64(i) / 13, 40 * float64(i) / 13}
		if far >= 50 {
			want = XY{30, 40 + far - 50}
		}
		if math.Hypot(x-want.X, y-want.Y) > 1e-6 {
			t.Errorf("box %d is at %v, %v, want %v", i, x, y, want)
		}
	}
}

// drawnBy returns what a pen draws on a page of 116 points.
func drawnBy(draw func(p *pen)) []note {
	c := &tape{height: 116}
	fonts, err := loadFonts()
	if err != nil {
		panic(err)
	}
	draw(penOn(c, fonts, 116))
	return c.notes
}

// What can't be drawn is refused with the reason.
func TestRefusalsSayWhy(t *testing.T) {
	logarithm := func(a *Axis) { a.Log, a.Min, a.Shift = true, -1, 1 }
	for want, spoil := range map[string]func(*Figure){
		`figure "plain" lacks a name, title, description or panel`:           func(f *Figure) { f.Title = "" },
		`figure "" lacks a name, title, description or panel`:                func(f *Figure) { f.Name = "" },
		`figure "plain" lacks a name, title, description or panel `:          func(f *Figure) { f.Panels = nil },
		`figure "plain": panel 1 is empty and doesn't say why`:               func(f *Figure) { f.Panels[0].Points = nil },
		`figure "plain": panel 1 has no range`:                               func(f *Figure) { f.Panels[0].Y.Min = 1 },
		`figure "plain": panel 1 has a logarithm of what is not above zero`:  func(f *Figure) { logarithm(&f.Panels[0].X) },
		`figure "plain": panel 1 has a logarithm of what is not above zero `: func(f *Figure) { logarithm(&f.Panels[0].Y) },
		`figure "plain": panel 1 has a mark nowhere`:                         func(f *Figure) { f.Panels[0].Texts = []Text{{XY: XY{0, math.NaN()}}} },
		`figure "plain": panel 1 has a mark nowhere `:                        func(f *Figure) { f.Panels[0].Rules = []Rule{{At: math.Inf(1)}} },
		`figure "plain": panel 1 has a mark nowhere  `:                       func(f *Figure) { f.Panels[0].Areas = []Area{{Outline: []XY{{0, math.NaN()}}}} },
		`figure "plain": panel 1 has a mark nowhere   `:                      func(f *Figure) { f.Panels[0].Lines = []Line{{Points: []XY{{0, math.NaN()}}}} },
		`figure "plain": panel 1 has a mark outside its range`:               func(f *Figure) { f.Panels[0].Points[0].X = -0.1 },
		`figure "plain": panel 1 has a mark outside its range `:              func(f *Figure) { f.Panels[0].Points[0].X = 1.1 },
		`figure "plain": panel 1 has a mark outside its range  `:             func(f *Figure) { f.Panels[0].Points[0].Y = -0.1 },
		`figure "plain": panel 2 is empty and doesn't say why`:               func(f *Figure) { f.Panels = append(f.Panels, Panel{}) },
	} {
		f := plain()
		spoil(f)
		if err := f.check(); err == nil || err.Error() != strings.TrimSpace(want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
	for what, change := range map[string]func(*Figure){
		"a bare panel without ranges":  func(f *Figure) { f.Panels[0] = Panel{Bare: true} },
		"an empty panel that says why": func(f *Figure) { f.Panels = append(f.Panels, Panel{Empty: "nothing"}) },
		"marks at the ends":            func(f *Figure) { f.Panels[0].Points = []Point{{XY: XY{0, 0}}, {XY: XY{1, 1}}} },
	} {
		f := plain()
		change(f)
		if err := f.check(); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	f := plain()
	f.Panels[0].Bare, f.Panels[0].X.Max = true, 0
	if f.check() == nil {
		t.Error("a bare panel with a mark, without a range")
	}
}

// Axes of names, of counts, and of ranges without width.
func TestAxes(t *testing.T) {
	if a := Named([]string{"a", "b", "c"}); a.Min != -0.5 || a.Max != 2.5 || labels(a) != "a b c" || a.Ticks[2].At != 2 {
		t.Errorf("%+v", a)
	}
	if a := Counts("row", 3, 10); a.Min != 0.5 || a.Max != 3.5 || a.Label != "row" || a.Ticks[0].At != 1 {
		t.Errorf("%+v", a)
	}
	if a := Over("x", 7, 7, 4); math.Abs(a.Min-6.65) > 1e-9 || math.Abs(a.Max-7.35) > 1e-9 || a.Label != "x" {
		t.Errorf("%+v", a)
	}
	if lo, hi := widened(-7, -7); math.Abs(lo+7.35) > 1e-9 || math.Abs(hi+6.65) > 1e-9 {
		t.Errorf("%v to %v", lo, hi)
	}
	if lo, hi := widened(1, 1+2e-9); lo != 1 || hi != 1+2e-9 {
		t.Errorf("%v to %v", lo, hi)
	}
	a := Axis{Min: 2, Max: 6, Ticks: []Tick{{1.9, ""}, {2, ""}, {4, ""}, {6, ""}, {6.1, ""}}}
	if a.share(3) != 0.25 || len(a.shown()) != 3 || a.shown()[0].At != 2 {
		t.Errorf("%v, %v", a.share(3), a.shown())
	}
	for least, want := range map[float64]float64{1: 1, 1.1: 2, 2: 2, 2.1: 5, 5.1: 10, 0.02: 0.02, 0.3: 0.5, 1e-7: 1e-7} {
		if got := roundStep(least); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%v: %v, want %v", least, got, want)
		}
	}
	if l := LogOver("x", 0.5, 400, 0); labels(l) != " 1   10   100 " { // over more than 2.7 decades only powers are labelled
		t.Errorf("%q", labels(l))
	}
	if l := LogOver("x", 1, 500, 0); labels(l) != "1 2 5 10 20 50 100 200 500" {
		t.Errorf("%q", labels(l))
	}
}
