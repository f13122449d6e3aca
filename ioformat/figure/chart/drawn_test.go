package chart

import (
	"math"
	"slices"
	"testing"
)

// everything is a panel from 0 to 10 by 0 to 4 with one of each that can be drawn.
func everything() Panel {
	p := Panel{X: Over("time [s]", 0, 10, 5), Y: Over("length [m]", 0, 4, 4), Title: "One of each"}
	p.Areas = []Area{{Outline: []XY{{1, 1}, {2, 1}, {2, 2}}, Style: 1}, {Outline: []XY{{1, 3}, {2, 3}, {2, 4}}, Style: 2, Tint: 0.4}, {Outline: []XY{{3, 3}, {4, 3}, {4, 4}}, Style: Mist}, {Outline: []XY{{20, 20}, {21, 20}, {21, 21}}}}
	p.Bands = []Band{{Points: []BandPoint{{0, 1, 2}, {10, 3, 4}}, Style: 3}}
	p.Rules = []Rule{{At: 2.5}, {At: 7, Upright: true, Dashed: true}}
	p.Lines = []Line{{Points: []XY{{0, 0}, {5, 2}, {10, 4}}, Style: 1}, {Points: []XY{{0, 1}, {10, 1}}, Style: 2, Thin: true}, {Points: []XY{{0, 2}, {10, 2}}, Bold: true}, {Points: []XY{{0, 3}, {10, 3}}, Style: 4, Dashed: true},
		{Points: []XY{{0, 3.5}, {10, 3.5}}, Style: Series(0, 0, 1)}}
	p.Points = []Point{{XY: XY{1, 1}, Style: 1, Low: 0.5, High: 1.5}, {XY: XY{2, 2}, Style: Series(2, 1, 0), Hollow: true}, {XY: XY{3, 3}, Style: Faint, Ring: true},
		{XY: XY{4, 1}, Style: 3, Small: true}, {XY: XY{5, 3}, Style: 4, Wide: true, WideLow: 2, WideHigh: 4}, {XY: XY{5, 3}, Style: 4}}
	p.Texts = []Text{{XY: XY{6, 0.5}, Text: "centred"}}
	return p
}

// What is drawn stands where its numbers are, by the scales of the axes; colours, widths and
// dashes tell series apart.
func TestDrawnToScale(t *testing.T) {
	f := &Figure{Name: "each", Title: "Each", Alt: "One of each.", Panels: []Panel{everything()}}
	notes, l := drawnOn(t, f)
	frame := l.panels[0].frame
	scale := func(v XY) XY { // back from the page: 8 points lie between the frame and the ends of the ranges
		return XY{10 * (v.X - frame.left - 8) / (frame.right - frame.left - 16), 4 * (frame.bottom - 8 - v.Y) / (frame.bottom - frame.top - 16)}
	}
	var got []string
	for _, n := range notes {
		if n.kind != "text" {
			got = append(got, n.told(scale))
		}
	}
	sameLines(t, "each", got, `
		fill background: (-0.68, 5.64) (10.42, 5.64) (10.42, -1.12) (-0.68, -1.12)
		stroke grid 0.4: (0, 4.18) (0, -0.18)
		stroke grid 0.4: (2, 4.18) (2, -0.18)
		stroke grid 0.4: (4, 4.18) (4, -0.18)
		stroke grid 0.4: (6, 4.18) (6, -0.18)
		stroke grid 0.4: (8, 4.18) (8, -0.18)
		stroke grid 0.4: (10, 4.18) (10, -0.18)
		stroke grid 0.4: (-0.18, 0) (10.18, 0)
		stroke grid 0.4: (-0.18, 1) (10.18, 1)
		stroke grid 0.4: (-0.18, 2) (10.18, 2)
		stroke grid 0.4: (-0.18, 3) (10.18, 3)
		stroke grid 0.4: (-0.18, 4) (10.18, 4)
		fill series 1: (1, 1) (2, 1) (2, 2)
		stroke series 1 0.7: (1, 1) (2, 1) (2, 2) (1, 1)
		fill series 2 at 102/255: (1, 3) (2, 3) (2, 4)
		fill mist: (3, 3) (4, 3) (4, 4)
		stroke faint 0.7: (3, 3) (4, 3) (4, 4) (3, 3)
		fill series 3 at 46/255: (0, 2) (10, 4) (10, 3) (0, 1)
		stroke faint 0.9: (-0.18, 2.5) (10.18, 2.5)
		stroke faint 0.9-4-3: (7, 4.18) (7, -0.18)
		stroke series 1 1.4: (0, 0) (5, 2) (10, 4)
		stroke series 2 0.9: (0, 1) (10, 1)
		stroke series 0 2.6: (0, 2) (10, 2)
		stroke series 4 1.4-4-3: (0, 3) (10, 3)
		stroke series 0 1.4-6-3: (0, 3.5) (10, 3.5)
		stroke ink 0.7: (-0.18, 4.18) (-0.18, -0.18) (10.18, -0.18)
		stroke ink 0.7: (0, -0.18) (0, -0.26)
		stroke ink 0.7: (2, -0.18) (2, -0.26)
		stroke ink 0.7: (4, -0.18) (4, -0.26)
		stroke ink 0.7: (6, -0.18) (6, -0.26)
		stroke ink 0.7: (8, -0.18) (8, -0.26)
		stroke ink 0.7: (10, -0.18) (10, -0.26)
		stroke ink 0.7: (-0.18, 0) (-0.27, 0)
		stroke ink 0.7: (-0.18, 1) (-0.27, 1)
		stroke ink 0.7: (-0.18, 2) (-0.27, 2)
		stroke ink 0.7: (-0.18, 3) (-0.27, 3)
		stroke ink 0.7: (-0.18, 4) (-0.27, 4)
		fill series 4 at 83/255: (4.93, 2) (5.07, 2) (5.07, 4) (4.93, 4)
		stroke series 1 0.9: (1, 0.5) (1, 1.5)
		stroke series 1 0.9: (0.94, 0.5) (1.06, 0.5)
		stroke series 1 0.9: (0.94, 1.5) (1.06, 1.5)
		fill series 1: 5 corners, 6.6 × 6.6 points around (1, 1)
		stroke background 0.6: 5 corners, 6.6 × 6.6 points around (1, 1)
		fill background: 4 corners, 5.83 × 5.83 points around (2, 2)
		stroke series 2 1.2: 4 corners, 5.83 × 5.83 points around (2, 2)
		fill faint: 5 corners, 6.6 × 6.6 points around (3, 3)
		stroke background 0.6: 5 corners, 6.6 × 6.6 points around (3, 3)
		fill series 3: 5 corners, 2.2 × 2.2 points around (4, 1)
		fill series 4: 5 corners, 6.6 × 6.6 points around (5, 3)
		stroke background 0.6: 5 corners, 6.6 × 6.6 points around (5, 3)
		stroke ink 1.1: 5 corners, 13 × 13 points around (3, 3)`)
}

// Texts and frames stand where the sizes of the page put them, in points from its upper left corner.
func TestPlacesOnThePage(t *testing.T) {
	places := func(f *Figure) (got []string) {
		notes, l := drawnOn(t, f)
		got = append(got, "page "+number(l.width)+" × "+number(l.height))
		for _, p := range l.panels {
			got = append(got, "frame "+number(p.frame.left)+" "+number(p.frame.top)+" "+number(p.frame.right)+" "+number(p.frame.bottom))
		}
		for _, n := range notes {
			if n.kind == "text" {
				got = append(got, n.told(func(v XY) XY { return v }))
			}
		}
		return got
	}
	one := everything()
	one.Points[1].Label, one.Points[2].Label = "line 7", "line 8"
	below := Panel{X: Over("time [s]", 0, 10, 5), Y: Named([]string{"a", "b"}), Height: 60, Lines: []Line{{Points: []XY{{0, 0}, {10, 1}}}}}
	f := &Figure{Name: "each", Title: "Each", Alt: "One of each.", Panels: []Panel{one, below, {Empty: "Nothing was read."}}, Notes: []string{"A note."},
		Keys: []Key{{Text: "read", Mark: true}, {Text: "fitted", Line: true}, {Text: "suspect", Ring: true}, {Text: "end", Line: true, Aside: true, At: 4}}}
	sameLines(t, "usual", places(f), `
		page 480 × 496
		frame 21.51 77 416.98 267
		frame 21.51 308.2 416.98 368.2
		frame 21.51 409.4 416.98 469.4
		text ink 9 "centred" at (242.18, 240.4)
		text ink 9 "line 7" at (94.64, 161.25)
		text ink 9 "line 8" at (132.59, 117.75)
		text ink 12 bold "Each" at (10, 22)
		text ink 9 "read" at (24, 36.6)
		text ink 9 "fitted" at (78.01, 36.6)
		text ink 9 "suspect" at (126.52, 36.6)
		text ink 10 bold "One of each" at (10, 59.3)
		text ink 9 "length [m]" at (10, 71.3)
		text ink 9 "0" at (10, 262.15)
		text ink 9 "1" at (10, 218.65)
		text ink 9 "2" at (10, 175.15)
		text ink 9 "3" at (10, 131.65)
		text ink 9 "4" at (10, 88.15)
		text ink 9 "0" at (27, 281.5)
		text ink 9 "2" at (102.9, 281.5)
		text ink 9 "4" at (178.79, 281.5)
		text ink 9 "6" at (254.69, 281.5)
		text ink 9 "8" at (330.59, 281.5)
		text ink 9 "10" at (403.98, 281.5)
		text ink 10 "time [s]" at (203.13, 294.2)
		text ink 9 "a" at (10, 352.35)
		text ink 9 "b" at (10, 330.35)
		text ink 9 "0" at (27, 382.7)
		text ink 9 "2" at (102.9, 382.7)
		text ink 9 "4" at (178.79, 382.7)
		text ink 9 "6" at (254.69, 382.7)
		text ink 9 "8" at (330.59, 382.7)
		text ink 9 "10" at (403.98, 382.7)
		text ink 10 "time [s]" at (203.13, 395.4)
		text ink 10 "Nothing was read." at (178.94, 442.9)
		text ink 9 "end" at (454.98, 88.15)
		text ink 9 "A note." at (10, 482.4)`)
	f.Width = 300
	f.Panels[0].X.Unshown = true
	sameLines(t, "narrow", places(f), `
		page 300 × 403
		frame 21.51 77 290 219.5
		frame 21.51 230.5 290 275.5
		frame 21.51 316.7 290 376.7
		text ink 9 "centred" at (165.99, 198.84)
		text ink 9 "line 7" at (69.25, 137.5)
		text ink 9 "line 8" at (94.5, 134.57)
		text ink 12 bold "Each" at (10, 22)
		text ink 9 "read" at (24, 36.6)
		text ink 9 "fitted" at (78.01, 36.6)
		text ink 9 "suspect" at (126.52, 36.6)
		text ink 9 "end" at (193.54, 36.6)
		text ink 10 bold "One of each" at (10, 59.3)
		text ink 9 "length [m]" at (10, 71.3)
		text ink 9 "0" at (10, 214.65)
		text ink 9 "1" at (10, 183.03)
		text ink 9 "2" at (10, 151.4)
		text ink 9 "3" at (10, 119.77)
		text ink 9 "4" at (10, 88.15)
		text ink 9 "a" at (10, 263.4)
		text ink 9 "b" at (10, 248.9)
		text ink 9 "0" at (27, 290)
		text ink 9 "2" at (77.5, 290)
		text ink 9 "4" at (128, 290)
		text ink 9 "6" at (178.5, 290)
		text ink 9 "8" at (229, 290)
		text ink 9 "10" at (276.99, 290)
		text ink 10 "time [s]" at (139.64, 302.7)
		text ink 10 "Nothing was read." at (115.45, 350.2)
		text ink 9 "A note." at (10, 389.7)`)
	f.Keys, f.Notes, f.Width = nil, nil, 0
	square := below
	square.Equal, square.X, square.Y = true, Over("", 0, 10, 5), Over("", 0, 2, 2)
	bare := Panel{Bare: true, Height: 40, X: Axis{Max: 1}, Y: Axis{Max: 1, Ticks: []Tick{{0.5, "half"}}}}
	f.Panels = []Panel{square, bare}
	sameLines(t, "equal scales, and bare", places(f), `
		page 480 × 218
		frame 31.01 38.6 470 139.2
		frame 31.01 167.4 470 207.4
		text ink 12 bold "Each" at (10, 22)
		text ink 9 "0" at (19.51, 134.35)
		text ink 9 "1" at (19.51, 92.05)
		text ink 9 "2" at (19.51, 49.75)
		text ink 9 "0" at (36.51, 153.7)
		text ink 9 "2" at (121.11, 153.7)
		text ink 9 "4" at (205.7, 153.7)
		text ink 9 "6" at (290.3, 153.7)
		text ink 9 "8" at (374.9, 153.7)
		text ink 9 "10" at (456.99, 153.7)
		text ink 9 "half" at (10, 190.55)`)
	cell := func(title string, unshown bool) Panel {
		c := below
		c.Height, c.Title = 50, title
		c.Y = Over("m", 0, 1, 2)
		c.X.Unshown, c.Y.Unshown = unshown, unshown
		return c
	}
	f.Across = 2
	f.Panels = []Panel{cell("first", false), cell("second", true), cell("", false), {Bare: true, Height: 30, X: Axis{Max: 1}, Y: Axis{Max: 1}}, cell("last", false)}
	sameLines(t, "in rows", places(f), `
		page 480 × 338
		frame 29.01 49.3 246.01 99.3
		frame 253.01 49.3 470 99.3
		frame 29.01 148.9 246.01 198.9
		frame 253.01 148.9 470 198.9
		frame 29.01 248.5 246.01 298.5
		text ink 12 bold "Each" at (10, 22)
		text ink 9 bold "first" at (29.01, 44.6)
		text ink 9 bold "second" at (253.01, 44.6)
		text ink 9 "0.0" at (10, 99.45)
		text ink 9 "0.5" at (10, 77.45)
		text ink 9 "1.0" at (10, 55.45)
		text ink 9 "0" at (29.51, 113.8)
		text ink 9 "2" at (71.71, 113.8)
		text ink 9 "4" at (113.91, 113.8)
		text ink 9 "6" at (156.11, 113.8)
		text ink 9 "8" at (198.3, 113.8)
		text ink 9 "10" at (238, 113.8)
		text ink 9 "time [s]" at (123.01, 125.5)
		text ink 9 "m" at (29.01, 144.2)
		text ink 9 "0.0" at (10, 199.05)
		text ink 9 "0.5" at (10, 177.05)
		text ink 9 "1.0" at (10, 155.05)
		text ink 9 "0" at (29.51, 213.4)
		text ink 9 "2" at (71.71, 213.4)
		text ink 9 "4" at (113.91, 213.4)
		text ink 9 "6" at (156.11, 213.4)
		text ink 9 "8" at (198.3, 213.4)
		text ink 9 "10" at (238, 213.4)
		text ink 9 "time [s]" at (123.01, 225.1)
		text ink 9 bold "last" at (29.01, 243.8)
		text ink 9 "0.0" at (10, 298.65)
		text ink 9 "0.5" at (10, 276.65)
		text ink 9 "1.0" at (10, 254.65)
		text ink 9 "0" at (29.51, 313)
		text ink 9 "2" at (71.71, 313)
		text ink 9 "4" at (113.91, 313)
		text ink 9 "6" at (156.11, 313)
		text ink 9 "8" at (198.3, 313)
		text ink 9 "10" at (238, 313)
		text ink 9 "time [s]" at (123.01, 324.7)`)
}

// Keys show what they explain.
func TestKeysShowTheirMarks(t *testing.T) {
	f := plain()
	f.Keys = []Key{{Text: "band", Band: true, Style: 1}, {Text: "area", Area: true, Style: Mist}, {Text: "line", Line: true, Style: 2, Dashed: true}, {Text: "bar", Bar: true, Style: 3},
		{Text: "mark", Mark: true, Style: 1}, {Text: "hollow", Mark: true, Hollow: true, Style: 2}, {Text: "ring", Ring: true, Mark: true}, {Text: "beside", Line: true, Aside: true, At: 0.25, Style: 1}, {Text: "above it", Line: true, Aside: true, At: 9}}
	notes, _ := drawnOn(t, f)
	var got []string
	for _, n := range notes[slices.IndexFunc(notes, func(n note) bool { return n.kind == "fill" && n.mark() })+2:] {
		got = append(got, n.told(func(v XY) XY { return v }))
	}
	sameLines(t, "keys", got, `
		fill series 1 at 46/255: (11, 29.45) (29, 29.45) (29, 37.45) (11, 37.45) (11, 29.45)
		fill mist: (67.02, 29.45) (85.02, 29.45) (85.02, 37.45) (67.02, 37.45) (67.02, 29.45)
		stroke faint 0.7: (67.02, 29.45) (85.02, 29.45) (85.02, 37.45) (67.02, 37.45) (67.02, 29.45)
		stroke series 2 1.4-4-3: (121.03, 33.45) (139.03, 33.45)
		stroke series 3 0.9: (175.04, 28.45) (175.04, 38.45)
		stroke series 3 0.9: (172.54, 28.45) (177.54, 28.45)
		stroke series 3 0.9: (172.54, 38.45) (177.54, 38.45)
		fill series 1: 5 corners, 6.6 × 6.6 points around (214.05, 33.45)
		stroke background 0.6: 5 corners, 6.6 × 6.6 points around (214.05, 33.45)
		fill background: 5 corners, 6.6 × 6.6 points around (260.05, 33.45)
		stroke series 2 1.2: 5 corners, 6.6 × 6.6 points around (260.05, 33.45)
		fill series 0: 5 corners, 6.6 × 6.6 points around (313.07, 33.45)
		stroke background 0.6: 5 corners, 6.6 × 6.6 points around (313.07, 33.45)
		stroke ink 1.1: 5 corners, 13 × 13 points around (313.07, 33.45)
		stroke faint 0.4: (398.48, 64) (413.48, 69.85)
		stroke series 0 1.4: (415.48, 69.85) (433.48, 69.85)
		stroke faint 0.4: (398.48, 202.5) (413.48, 202.5)
		stroke series 1 1.4: (415.48, 202.5) (433.48, 202.5)
		text ink 12 bold "Plain" at (10, 22)
		text ink 9 "band" at (34, 36.6)
		text ink 9 "area" at (90.02, 36.6)
		text ink 9 "line" at (144.03, 36.6)
		text ink 9 "bar" at (184.04, 36.6)
		text ink 9 "mark" at (223.05, 36.6)
		text ink 9 "hollow" at (269.05, 36.6)
		text ink 9 "ring" at (323.57, 36.6)
		text ink 9 "y" at (10, 58.3)
		text ink 9 "0.0" at (10, 249.15)
		text ink 9 "0.5" at (10, 162.15)
		text ink 9 "1.0" at (10, 75.15)
		text ink 9 "0.0" at (30.76, 268.5)
		text ink 9 "0.5" at (208.49, 268.5)
		text ink 9 "1.0" at (386.22, 268.5)
		text ink 10 "x" at (212.24, 281.2)
		text ink 9 "above it" at (438.48, 73)
		text ink 9 "beside" at (438.48, 205.65)`)
}

// All shapes have about the area of the disc, and the heights that say which is which.
func TestShapesOfMarks(t *testing.T) {
	third := math.Sqrt(3) / 2
	for s, want := range map[shape]struct{ corners, area, left, right, top, bottom float64 }{
		square:       {4, 2 * 1.25 * 1.25, -1.25 * math.Sqrt2 / 2, 1.25 * math.Sqrt2 / 2, 1.25 * math.Sqrt2 / 2, -1.25 * math.Sqrt2 / 2},
		triangle:     {3, 1.5 * third * 1.45 * 1.45, -1.45 * third, 1.45 * third, 1.45, -1.45 / 2},
		triangleDown: {3, 1.5 * third * 1.45 * 1.45, -1.45 * third, 1.45 * third, 1.45 / 2, -1.45},
		diamond:      {4, 2 * 1.4 * 1.4, -1.4, 1.4, 1.4, -1.4},
		plus:         {12, 2*2.6*1 - 1, -1.3, 1.3, 1.3, -1.3}, // two bars of 2.6 by 1, less what they share
		star:         {10, 5 * 1.6 * 0.7 * math.Sin(math.Pi/5), -1.6 * math.Cos(math.Pi/10), 1.6 * math.Cos(math.Pi/10), 1.6, -1.6 * math.Cos(math.Pi/5)},
		disc:         {5, 2, -1, 1, 1, -1}, // of the square through the ends of its four curves
	} {
		c := &tape{}
		c.Fill(s.outline(10))
		p := c.notes[0].points
		area, left, right, top, bottom := 0.0, 0.0, 0.0, 0.0, 0.0
		for i, a := range p {
			b := p[(i+1)%len(p)]
			area += (b.X*a.Y - a.X*b.Y) / 200
			left, right, top, bottom = math.Min(left, a.X/10), math.Max(right, a.X/10), math.Max(top, -a.Y/10), math.Min(bottom, -a.Y/10)
		}
		near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
		if float64(len(p)) != want.corners || !near(math.Abs(area), want.area) || !near(left, want.left) || !near(right, want.right) || !near(top, want.top) || !near(bottom, want.bottom) || !c.notes[0].closed {
			t.Errorf("shape %d: %d corners, area %v, from %v to %v, %v to %v, want %v", s, len(p), area, left, right, bottom, top, want)
		}
	}
	// A Bézier circle is round to 0.03 % (the curve's middle lies on the arc by its control points).
	path := circle(1)
	for i := 1; i < 5; i++ {
		a, b, c, d := path[i-1].Pos, path[i].Control[0], path[i].Control[1], path[i].Pos
		for _, u := range []float64{0.2, 0.5, 0.8} {
			at := func(a, b, c, d float64) float64 {
				return (1-u)*(1-u)*(1-u)*a + 3*u*(1-u)*(1-u)*b + 3*u*u*(1-u)*c + u*u*u*d
			}
			r := math.Hypot(at(a.X.Points(), b.X.Points(), c.X.Points(), d.X.Points()), at(a.Y.Points(), b.Y.Points(), c.Y.Points(), d.Y.Points()))
			if math.Abs(r-1) > 3e-4 {
				t.Errorf("piece %d of the circle is %v from its middle", i, r)
			}
		}
	}
}
