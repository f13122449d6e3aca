package findings

import (
	"math"
	"strconv"
	"testing"

	"fitcoil/internal/must"
)

// What a slip of the pen makes of a number.
func TestMisspelt(t *testing.T) {
	for _, c := range []struct {
		read, expected, reach float64
		digits                int
		want                  float64
	}{
		{1.416e6, 1.1461e6, 5e2, 4, 1.146e6}, // digits exchanged
		{1.613e6, 1.631e6, 1e3, 4, 1.631e6},
		{2.519e6, 2.219e6, 1e3, 4, 2.219e6}, // one wrong
		{1.42e6, 1.425e6, 5e2, 4, 1.425e6},  // one of the zeros that aren't written
		{251.9e3, 2.519e6, 1e3, 4, 2.519e6}, // the point
		{2.59e6, 2.519e6, 5e2, 4, 2.519e6},  // one left out
		{1.416e6, 1.3e6, 1e2, 4, math.NaN()},
		{1.416e6, 1.415e6, 3e3, 4, math.NaN()}, // several would do
	} {
		got := misspelt(c.read, c.expected, c.reach, c.digits)
		if got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want)) {
			t.Errorf("read %v, expected %v: %v, want %v", c.read, c.expected, got, c.want)
		}
	}
}

// Each slip is found wherever in the number it is: at the first digit, the last and all between.
func TestMisspeltAtEachDigit(t *testing.T) {
	const meant = "251937"
	number := func(digits string) float64 {
		return must.Get(strconv.ParseFloat(digits[:1]+"."+digits[1:]+"e6", 64)).In(t)
	}
	for i := range meant {
		slips := map[string]string{
			"wrong": meant[:i] + string('0'+(meant[i]-'0'+4)%9+1) + meant[i+1:], "left out": meant[:i] + meant[i+1:], "twice": meant[:i+1] + meant[i:],
		}
		if i > 0 {
			slips["exchanged"] = meant[:i-1] + meant[i:i+1] + meant[i-1:i] + meant[i+1:]
		}
		for what, read := range slips {
			if got := misspelt(number(read), number(meant), 0.5, len(meant)); got != number(meant) {
				t.Errorf("digit %d %s, %s: %v", i, what, read, got)
			}
		}
	}
	for _, by := range []float64{10, 0.1} {
		if got := misspelt(by*number(meant), number(meant), 0.5, len(meant)); got != number(meant) {
			t.Errorf("the point slipped, %v times: %v", by, got)
		}
	}
}
