package chart

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"image/png"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgsvg"

	"fitcoil/internal/must"
)

// crowded is a figure with as much on it as any reader will see: many series,
// long names, letters that the font lacks, labels side by side.
func crowded() *Figure {
	f := &Figure{Name: "crowded", Title: "A figure with a title that is far too long to fit into one line of any page, and goes on",
		Alt: "Invented & <crowded> 中"}
	top := Panel{Title: "above", Rules: []Rule{{At: 0}, {At: 4, Upright: true, Dashed: true}}}
	low := Panel{Height: 60}
	names := []string{}
	for s := range 14 {
		l, b := Line{Style: Style(s)}, Band{Style: Style(s)}
		for i := range 11 {
			x, y := float64(i), math.Cos(float64(i)/3+0.02*float64(s))
			l.Points = append(l.Points, XY{x, y})
			b.Points = append(b.Points, BandPoint{x, y - 0.1, y + 0.1})
			top.Points = append(top.Points, Point{XY: XY{x, y}, Style: Style(s), Low: y - 0.2, High: y + 0.2, Hollow: s == 3})
		}
		top.Lines, top.Bands = append(top.Lines, l), append(top.Bands, b)
		name := "series number " + strconv.Itoa(s) + " with a very long name 中 10⁻⁶"
		f.Keys = append(f.Keys, Key{Text: name, Style: Style(s), Mark: true, Line: true, Aside: s < 10, At: l.Points[10].Y})
		if s < 4 {
			names = append(names, name)
			low.Points = append(low.Points, Point{XY: XY{float64(s), float64(s)}, Style: Style(s), Ring: true, Label: "line 99"},
				Point{XY: XY{float64(s) + 0.1, float64(s)}, Style: Style(s), Label: "line 100"})
		}
	}
	top.X, top.Y = Over("", 0, 10, 8), Over("value [V]", -1.3, 1.3, 6)
	top.X.Unshown = true
	low.X, low.Y = Over("time [µs]", 0, 10, 8), Named(names)
	f.Panels = []Panel{top, low, {Empty: "There is nothing to see here, and this sentence, which is longer than the frame is wide, says why that is so."}}
	f.Notes = []string{strings.Repeat("A note that needs more than a line. ", 5), "Another."}
	return f
}

// plain is a figure with one mark.
func plain() *Figure {
	return &Figure{Name: "plain", Title: "Plain", Alt: "One mark.", Panels: []Panel{{
		X: Over("x", 0, 1, 4), Y: Over("y", 0, 1, 4), Points: []Point{{XY: XY{0.5, 0.5}}}}}}
}

// written returns the boxes of all texts of a figure and of its page.
func written(t *testing.T, f *Figure) (texts []box, page box) {
	t.Helper()
	fonts := must.Get(loadFonts()).In(t)
	l := f.arrange(fonts)
	return paint(vgsvg.New(vg.Points(l.width), vg.Points(l.height)), l, fonts, Light, false), box{0, 0, l.width, l.height}
}

func TestTextsKeepApart(t *testing.T) {
	for _, width := range []float64{0, 300} {
		f := crowded()
		f.Width = width
		texts, page := written(t, f)
		if len(texts) < 40 || width > 0 && page.right != width {
			t.Fatalf("%d texts on a page of %v", len(texts), page)
		}
		for i, a := range texts {
			if !page.holds(a) {
				t.Errorf("width %g: text %d at %v leaves the page", width, i, a)
			}
			for k, b := range texts[:i] {
				if a.overlaps(b) {
					t.Errorf("width %g: texts %d at %v and %d at %v overlap", width, k, b, i, a)
				}
			}
		}
	}
}

// No text is below 9 points.
func TestTextSizes(t *testing.T) {
	svg := must.Get(crowded().Render("svg", Light)).In(t)
	sizes := regexp.MustCompile(`font-size:([0-9.]+)px`).FindAllStringSubmatch(string(svg), -1)
	if len(sizes) < 40 {
		t.Fatalf("%d texts", len(sizes))
	}
	for _, m := range sizes {
		if size, _ := strconv.ParseFloat(m[1], 64); size < 9 {
			t.Errorf("text of %g points", size)
		}
	}
}

// A mark on the edge of the range stays inside the frame.
func TestMarksStayInside(t *testing.T) {
	p := placedPanel{&Panel{X: Axis{Min: 0, Max: 1}, Y: Axis{Min: 0, Max: 1}}, box{100, 100, 300, 200}, inset}
	for _, x := range []float64{p.x(0), p.x(1)} {
		if !p.frame.holds(around(x, p.y(0), ringRadius)) {
			t.Errorf("a ring at %g leaves the frame", x)
		}
	}
}

func TestSameBytes(t *testing.T) {
	for format, f := range map[string]func() *Figure{"svg": crowded, "pdf": crowded, "png": plain} {
		first := must.Get(f().Render(format, Light)).In(t)
		second, err := f().Render(format, Light)
		if err != nil || !bytes.Equal(first, second) {
			t.Errorf("%s: two runs differ (%v)", format, err)
		}
	}
}

func TestSVG(t *testing.T) {
	for _, theme := range []Theme{Light, Dark, Auto} {
		svg := must.Get(crowded().Render("svg", theme)).In(t)
		d := xml.NewDecoder(bytes.NewReader(svg))
		text, inside := map[string]string{}, ""
		for {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("no well-formed XML: %v", err)
			}
			switch e := token.(type) {
			case xml.StartElement:
				inside = e.Name.Local
			case xml.CharData:
				text[inside] += string(e)
			case xml.EndElement:
				inside = ""
			}
		}
		if text["title"] != crowded().Title || text["desc"] != crowded().Alt {
			t.Errorf("title %q, description %q", text["title"], text["desc"])
		}
		if !strings.Contains(text["text"], "10⁻⁶") {
			t.Error("the viewer is not given the letters that the font lacks")
		}
		if bytes.Contains(svg, []byte("Liberation Sans;")) {
			t.Error("a viewer without this font is left with a serif")
		}
		body := svg[bytes.Index(svg, []byte("</desc>")):]
		if at := bytes.Index(body, []byte("</style>")); at >= 0 {
			body = body[at:]
		}
		if fixed := regexp.MustCompile(`:#[0-9A-F]{6}`).Match(body); fixed != (theme != Auto) {
			t.Errorf("theme %d: colours are fixed: %v", theme, fixed)
		}
	}
}

func TestPNG(t *testing.T) {
	data := must.Get(plain().Render("png", Light)).In(t)
	image, err := png.Decode(bytes.NewReader(data)) // checks the sums, too
	if err != nil {
		t.Fatal(err)
	}
	if got, want := image.Bounds().Dx(), 1333; got != want { // 480 pt at 200 dpi
		t.Errorf("%d pixels wide, want %d", got, want)
	}
	if pixels := image.Bounds().Dx() * image.Bounds().Dy(); len(data) > pixels/8 {
		t.Errorf("%d bytes for %d pixels", len(data), pixels)
	}
	_, after, ok := bytes.Cut(data, []byte("pHYs"))
	if !ok || !(math.Abs(float64(binary.BigEndian.Uint32(after))*0.0254-200) <= 0.02) {
		t.Error("the resolution is not 200 dots per inch")
	}
	if !bytes.Contains(data, []byte("Description\x00\x00\x00\x00\x00One mark.")) {
		t.Error("the description is missing")
	}
}

func TestPDF(t *testing.T) {
	data := must.Get(crowded().Render("pdf", Light)).In(t)
	if !bytes.HasPrefix(data, []byte("%PDF-")) || !bytes.Contains(data, []byte("%%EOF")) {
		t.Error("no PDF came out")
	}
	if bytes.Contains(data, []byte("Date")) {
		t.Error("the file carries a date")
	}
	// ISO 32000-1, 9.6 and 9.10.3: text that can be searched has its fonts with it, and
	// what their glyphs mean; 7.9.2.2: the title is in UTF-16BE.
	if bytes.Count(data, []byte("/FontFile2")) != 2 || bytes.Count(data, []byte("/ToUnicode")) != 2 {
		t.Error("the two faces, and what their glyphs mean, are not in the file")
	}
	if title := "A\x00 \x00f\x00i\x00g\x00u\x00r\x00e"; !bytes.Contains(data, []byte(title)) {
		t.Error("the title is missing")
	}
	if n := len(data); n > 60e3 {
		t.Errorf("%d bytes: whole faces are embedded", n)
	}
	at, err := strconv.Atoi(string(regexp.MustCompile(`startxref\s+(\d+)`).FindSubmatch(data)[1]))
	if err != nil || !bytes.HasPrefix(data[at:], []byte("xref")) {
		t.Errorf("the cross-references are not where the file says: %v", err)
	}
}

func TestClean(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	for in, want := range map[string]string{
		"4.7 pF ± 5 % at −3 °, Ω µ µ χ²": "4.7 pF ± 5 % at −3 °, Ω µ µ χ²",
		"10⁻⁶":           "10?⁶", // never 10⁶
		"lantern 灯":      "lantern ?",
		"two\nlines\x00": "two lines ",
	} {
		if got := fonts.clean(in); got != want {
			t.Errorf("%q becomes %q, want %q", in, got, want)
		}
	}
}

func TestRefusals(t *testing.T) {
	must.Get(plain().Render("svg", Light)).In(t)
	for name, spoil := range map[string]func(*Figure){
		"no description":   func(f *Figure) { f.Alt = "" },
		"silent emptiness": func(f *Figure) { f.Panels[0].Points = nil },
		"mark nowhere":     func(f *Figure) { f.Panels[0].Points[0].X = math.NaN() },
		"endless bar":      func(f *Figure) { f.Panels[0].Points[0].High = math.Inf(1) },
		"mark outside":     func(f *Figure) { f.Panels[0].Points[0].Y = 1.1 },
		"no range":         func(f *Figure) { f.Panels[0].X.Max = 0 },
		"endless band":     func(f *Figure) { f.Panels[0].Bands = []Band{{Points: []BandPoint{{0, 0, math.Inf(1)}}}} },
	} {
		f := plain()
		spoil(f)
		if _, err := f.Render("svg", Light); err == nil {
			t.Errorf("%s is drawn", name)
		}
	}
	if _, err := plain().Render("eps", Light); err == nil || !strings.Contains(err.Error(), "svg, png, pdf") {
		t.Errorf("unknown format: %v", err)
	}
}

// A label takes the free side of its mark.
func TestPlace(t *testing.T) {
	frame := box{0, 0, 200, 100}
	first, near, free := place(50, 50, 30, nil, nil, frame)
	if !near || !free || first.left < 50+ringRadius {
		t.Errorf("with nothing in the way the label is at %v, want to the right", first)
	}
	second, _, free := place(50, 50, 30, nil, []box{first}, frame)
	if !free || second.overlaps(first) || !frame.holds(second) {
		t.Errorf("the second label at %v covers the first at %v", second, first)
	}
	third, _, free := place(50, 50, 30, []box{{50, 0, 200, 100}}, nil, frame)
	if !free || third.right > 50 {
		t.Errorf("with marks to the right the label is at %v", third)
	}
	if edge, _, free := place(195, 50, 30, nil, nil, frame); !free || !frame.holds(edge) {
		t.Errorf("a label near the edge leaves the frame: %v", edge)
	}
	if b, _, free := place(50, 50, 30, nil, []box{frame}, frame); free {
		t.Errorf("a label at %v covers others", b)
	}
}

// Marks that no eye can tell apart are drawn once: a million readings make no
// million marks.
func TestCoincidingMarks(t *testing.T) {
	size := func(n int) int {
		f := &Figure{Name: "many", Title: "many", Alt: "many", Panels: []Panel{{X: Over("", 0, 1, 4), Y: Over("", 0, 1, 4)}}}
		for i := range n {
			f.Panels[0].Points = append(f.Panels[0].Points, Point{XY: XY{0.5 + 1e-7*float64(i%100), 0.5}})
		}
		svg := must.Get(f.Render("svg", Light)).In(t)
		return len(svg)
	}
	if one, many := size(1), size(10000); many != one {
		t.Errorf("10000 marks in one place take %d bytes, one takes %d", many, one)
	}
}

func BenchmarkRender(b *testing.B) {
	for _, format := range Formats() {
		b.Run(format, func(b *testing.B) {
			f := crowded()
			for b.Loop() {
				must.Get(f.Render(format, Light)).In(b)
			}
		})
	}
}
