package chart

import (
	"bytes"
	"encoding/binary"
	"image/color"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/plot/vg"

	"fitcoil/internal/must"
)

// A PDF has paths, colours and texts where they were put, y growing upwards from the lower edge
// (ISO 32000-1, 8.3.2.3: m, l, c, h; 8.4.3: w, d; 8.6.8: rg, RG; 9.4.3: Tj).
func TestPDFOperators(t *testing.T) {
	c := newPDFCanvas(&layout{width: 200, height: 100})
	c.doc.SetCompression(false)
	at := func(x, y float64) vg.Point { return vg.Point{X: vg.Points(x), Y: vg.Points(y)} }
	var p vg.Path
	p.Move(at(10, 20))
	p.Line(at(30, 40))
	p.CubeTo(at(31, 41), at(32, 42), at(33, 43))
	p.Close()
	c.SetColor(tone{255, 0, 51, 255})
	c.SetLineWidth(vg.Points(1.5))
	c.SetLineDash([]vg.Length{vg.Points(4), vg.Points(3)}, vg.Points(1))
	c.Stroke(p)
	c.SetColor(color.Black)
	c.SetColor(tone{0, 102, 255, 128})
	c.Fill(p)
	fonts := must.Get(loadFonts()).In(t)
	c.FillString(fonts.face(9, false), at(15, 25), "A")
	c.FillString(fonts.face(12, true), at(16, 26), "A")
	if w, h := c.Size(); w.Points() != 200 || h.Points() != 100 {
		t.Errorf("%v by %v", w, h)
	}
	var b bytes.Buffer
	must.Do(t, c.doc.Output(&b))
	text := b.String()
	last := 0
	for _, want := range []string{"1 j", "1.000 0.000 0.200 rg", "1.000 0.000 0.200 RG", "1.50 w", "[4.00 3.00] 1.00 d", "10.00 20.00 m", "30.00 40.00 l",
		"31.00000 41.00000 32.00000 42.00000 33.00000 43.00000 c", "h", "S", "0.000 0.400 1.000 rg", "10.00 20.00 m", "f", "15.00 25.00 Td", "16.00 26.00 Td"} {
		i := strings.Index(text[last:], want+"\n")
		if i < 0 {
			i = strings.Index(text[last:], want+" ")
		}
		if i < 0 {
			t.Errorf("there is no %q behind what was put before it", want)
			continue
		}
		last += i
	}
	if !regexp.MustCompile(`/ca 0\.502`).MatchString(text) {
		t.Error("half opaque is not half opaque")
	}
	if regular, bold := regexp.MustCompile(`/F\S+ 9\.00 Tf`).FindString(text[strings.Index(text, "33.00000"):]), regexp.MustCompile(`/F\S+ 12\.00 Tf`).FindString(text); regular == "" || bold == "" || strings.Fields(regular)[0] == strings.Fields(bold)[0] {
		t.Errorf("fonts %q and %q", regular, bold)
	}
}

// A PDF tells its language, title and description.
func TestPDFSaysWhatItIs(t *testing.T) {
	f := plain()
	data := must.Get(f.Render("pdf", Light)).In(t)
	wide := func(s string) string {
		var b strings.Builder
		for _, r := range s {
			b.WriteString("\x00" + string(r))
		}
		return b.String()
	}
	for _, want := range []string{"/Lang (en-GB)", "/Creator (" + maker + ")", wide(f.Title), wide(f.Alt), "/MediaBox [0 0 480.00 "} {
		if !bytes.Contains(data, []byte(want)) {
			t.Errorf("there is no %q", want)
		}
	}
	if !IsOwn(data) || IsOwn(data[1:]) || IsOwn([]byte("%PDF-1.3 by hand")) || IsOwn(nil) {
		t.Error("its own file isn't told from others")
	}
	for _, format := range []string{"svg", "png"} {
		if data, err := f.Render(format, Dark); err != nil || !IsOwn(data) {
			t.Errorf("%s: %v", format, err)
		}
	}
}

// Each text of an SVG has the width that the layout gave it.
func TestSVGKeepsWidths(t *testing.T) {
	f := plain()
	data := must.Get(f.Render("svg", Light)).In(t)
	fonts := must.Get(loadFonts()).In(t)
	texts := regexp.MustCompile(`(?s)<text textLength="([0-9.]+)" lengthAdjust="spacingAndGlyphs"[^>]*font-size:([0-9.]+)px[^>]*>\s*([^<]*?)\s*</text>`).FindAllStringSubmatch(string(data), -1)
	for _, m := range texts {
		w := fonts.textWidth(m[3], map[string]float64{"12": titleSize, "10": labelSize, "9": smallSize}[m[2]], m[2] == "12")
		if got := number(w); math.Abs(w-parse(t, m[1])) > 0.01*w {
			t.Errorf("%q is %s wide and told as %s", m[3], got, m[1])
		}
	}
	if n := strings.Count(string(data), "<text "); n != len(texts) || n != 9 /* a title, two labels, three ticks on each axis */ {
		t.Errorf("%d of %d texts have a width", len(texts), n)
	}
	_, l := drawnOn(t, f)
	for _, want := range []string{`width="480pt" height="` + number(l.height) + `pt" viewBox="0 0 480 ` + number(l.height) + `"`, `role="img" aria-labelledby="plain-title plain-desc" stroke-linejoin="round">`,
		`<title id="plain-title">Plain</title>`, `<desc id="plain-desc">One mark.</desc>`, "<metadata>" + maker + "</metadata>", "font-family:'Liberation Sans',Arial,Helvetica,sans-serif;"} {
		if !strings.Contains(string(data), want) {
			t.Errorf("there is no %q in %s", want, data[:500])
		}
	}
	auto := must.Get(f.Render("svg", Auto)).In(t)
	for i, want := range []string{Light.Colours().Background, Light.Colours().Ink, Light.Colours().Faint, Light.Colours().Grid, Light.Colours().Mist, "#010101", "#D55E00", "#0072B2", "#009E73", "#CC79A7"} {
		rule := regexp.MustCompile(`^<style>svg\.chart\{.*--chart` + string(rune('0'+i)) + `:` + want + `;.*\}@media screen and \(prefers-color-scheme:dark\)\{svg\.chart\{--chart0:#16181D;--chart1:#ECECEC;`)
		if style := auto[bytes.Index(auto, []byte("<style>")):]; !rule.Match(style) {
			t.Errorf("no colour %d, %s, in %s", i, want, style[:300])
		}
	}
	if !bytes.Contains(auto, []byte(`class="chart"`)) || bytes.Contains(auto, []byte(maker)) || !bytes.Contains(auto, []byte("fill:var(--chart5)")) {
		t.Error("a figure that follows the screen")
	}
}

func parse(t *testing.T, s string) (v float64) {
	t.Helper()
	for i, part := range strings.SplitN(s, ".", 2) {
		w := 0.0
		for _, r := range part {
			w = 10*w + float64(r-'0')
		}
		if i == 1 {
			w /= math.Pow10(len(part))
		}
		v += w
	}
	return v
}

// The chunks of a PNG that say what it is stand behind its header (W3C Portable Network Graphics,
// 5.3: length, type, data, CRC; 11.3.3.4 and 11.3.4.3).
func TestPNGChunks(t *testing.T) {
	f := plain()
	data := must.Get(f.Render("png", Light)).In(t)
	var kinds []string
	texts := map[string]string{}
	for at := 8; at < len(data); {
		n := int(binary.BigEndian.Uint32(data[at:]))
		kind, body := string(data[at+4:at+8]), data[at+8:at+8+n]
		kinds = append(kinds, kind)
		if kind == "iTXt" {
			key, rest, _ := strings.Cut(string(body), "\x00")
			texts[key] = strings.TrimLeft(rest, "\x00")
		}
		if kind == "pHYs" && (len(body) != 9 || body[8] != 1 || binary.BigEndian.Uint32(body) != 7874 || binary.BigEndian.Uint32(body[4:]) != 7874) { // 200/0.0254, in metres
			t.Errorf("pHYs % x", body)
		}
		at += 12 + n
	}
	if !slices.Equal(kinds[:5], []string{"IHDR", "pHYs", "iTXt", "iTXt", "iTXt"}) || kinds[len(kinds)-1] != "IEND" {
		t.Errorf("%q", kinds)
	}
	if texts["Title"] != "Plain" || texts["Software"] != maker || texts["Description"] != "One mark." || len(texts) != 3 {
		t.Errorf("%q", texts)
	}
}

// Colours for what stands beside figures are those of the figures.
func TestColoursOfThemes(t *testing.T) {
	// Okabe and Ito, Color Universal Design (2002): vermillion, blue, bluish green, reddish purple;
	// orange, sky blue, yellow.
	for theme, want := range map[Theme][]string{Light: {"#FFFFFF", "#1A1A1A", "#666666", "#DDDDDD", "#F0F0F0", "#010101", "#D55E00", "#0072B2", "#009E73", "#CC79A7"},
		Dark: {"#16181D", "#ECECEC", "#A0A4AB", "#33373F", "#262A31", "#FFFFFF", "#E69F00", "#56B4E9", "#F0E442", "#CC79A7"}} {
		c := theme.Colours()
		if got := append([]string{c.Background, c.Ink, c.Faint, c.Grid, c.Mist}, c.Series...); !slices.Equal(got, want) {
			t.Errorf("theme %d: %q, want %q", theme, got, want)
		}
	}
	if p := Light.palette(); p.colour(Style(1)) != rgb(0xD55E00) || p.colour(Mist) != p.mist || p.colour(Faint) != p.faint || p.colour(Ink) != p.ink || p.colour(Ink.Shaped(3)) != p.ink || p.colour(Mist.Shaped(6)) != p.mist {
		t.Error("a style has another's colour")
	}
	for style, want := range map[Style][]float64{0: nil, Series(1, 2, 1): {6, 3}, Series(4, 6, 2): {2, 2}, Series(0, 0, 3): {8, 2, 2, 2}, Series(0, 0, 4): nil, Faint: nil} {
		if got := style.dashes(); !slices.Equal(got, want) {
			t.Errorf("%v: %v, want %v", style, got, want)
		}
	}
	if s := Series(7, 9, 1); s != Series(2, 2, 1) || Series(2, 4, 1).Shaped(1) != Series(2, 1, 1) {
		t.Errorf("style %d", s)
	}
}

// A long word is cut in its middle, and lines hold what fits.
func TestFittingText(t *testing.T) {
	fonts := must.Get(loadFonts()).In(t)
	width := func(s string) float64 { return fonts.textWidth(s, 9, false) }
	if a, b := width("0000"), width("00"); math.Abs(a-2*b) > 1e-9 || math.Abs(b-2*9*1139/2048.) > 0.01 { // Arial's digits are 1139 of 2048 units wide
		t.Errorf("%v, %v", a, b)
	}
	if fonts.textWidth("il", 9, true) == width("il") || math.Abs(fonts.textWidth("00", 18, false)-2*width("00")) > 1e-6 {
		t.Error("bold or large letters are as wide as others")
	}
	for _, c := range []struct {
		s     string
		width float64
		want  string
	}{{"abcdef", width("abcdef"), "abcdef"}, {"abcdef", width("abcdef") - 0.01, "ab…ef"}, {"0000000", width("00…00"), "00…00"}, {"abcdef", 1, "…"}, {"aaaa 0000", width("aaaa 0000") - 0.01, "aaa…000"}, {"aaa 00000", width("aaa 00000") - 0.01, "aaa…000"}} {
		if got := fonts.shorten(c.s, c.width, 9); got != c.want {
			t.Errorf("%q in %v: %q, want %q", c.s, c.width, got, c.want)
		}
	}
	lines := fonts.wrap("one two  three wwwwwwwwwwwwwwwwww", width("one two"), 9, false)
	if len(lines) != 3 || lines[0] != "one two" || lines[1] != "three" || !strings.Contains(lines[2], "…") || width(lines[2]) > width("one two") {
		t.Errorf("%q", lines)
	}
	if lines := fonts.wrap("one two", width("one two")-0.01, 9, false); len(lines) != 2 {
		t.Errorf("%q", lines)
	}
	if lines := fonts.wrap("  ", 10, 9, false); lines != nil {
		t.Errorf("%q", lines)
	}
}
