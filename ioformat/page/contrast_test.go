package page

import (
	"math"
	"strconv"
	"testing"

	"fitcoil/ioformat/figure/chart"
)

// Text stands out from what is behind it by 4.5 : 1, what is drawn by 3 : 1 (WCAG
// 2.2, 1.4.3 and 1.4.11).
func TestContrast(t *testing.T) {
	for _, theme := range []chart.Theme{chart.Light, chart.Dark} {
		c := theme.Colours()
		for _, behind := range []string{c.Background, c.Mist} {
			for _, text := range []string{c.Ink, c.Faint} {
				if k := contrast(text, behind); k < 4.5 {
					t.Errorf("text %s on %s: %.2f", text, behind, k)
				}
			}
			for _, mark := range c.Series[:3] {
				if k := contrast(mark, behind); k < 3 {
					t.Errorf("mark %s on %s: %.2f", mark, behind, k)
				}
			}
		}
	}
	if k := contrast("#777777", "#FFFFFF"); !(math.Abs(k-4.48) <= 0.01) { // the well-known near miss
		t.Errorf("#777 on white: %.2f", k)
	}
}

// contrast is (L₁ + 0.05)/(L₂ + 0.05) of the relative luminances (WCAG 2.2).
func contrast(a, b string) float64 {
	luminance := func(hex string) (l float64) {
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			n, _ := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
			c := float64(n) / 255
			if c <= 0.04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			l += weight * c
		}
		return l
	}
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}
