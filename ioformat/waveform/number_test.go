package waveform

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"fitcoil/internal/must"
)

// The quick reading of numbers against the standard library's, bit for bit.
func TestScanNumber(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	texts := []string{"0", "-0", "+1.5", ".5", "5.", "1e3", "1.25E-07", "-1.000000e-05", "9007199254740993", "123456789.123456", "1e22", "1e-22", "1e23", "0e99"}
	for range 20000 {
		x := rng.NormFloat64() * math.Pow(10, float64(rng.IntN(40)-20))
		texts = append(texts, strconv.FormatFloat(x, "efg"[rng.IntN(3)], rng.IntN(17), 64))
	}
	quick := 0
	for _, s := range texts {
		want := must.Get(strconv.ParseFloat(s, 64)).In(t)
		got, _, n := scanNumber([]byte(s), '.')
		if n == 0 {
			continue // the slow way's
		}
		quick++
		if n != len(s) || math.Float64bits(got) != math.Float64bits(want) {
			t.Errorf("%q: read %v in %d bytes, want %v", s, got, n, want)
		}
	}
	if quick < len(texts)/2 {
		t.Errorf("only %d of %d are read the quick way", quick, len(texts))
	}
	for _, s := range []string{"", "-", ".", "e5", "nan", "inf", "-.e1", "1e", "1e+", "1e12345"} {
		if _, _, n := scanNumber([]byte(s), '.'); n != 0 {
			t.Errorf("%q passes for a number", s)
		}
	}
	for s, want := range map[string]int{"1.25e-07": -9, "12": 0, "1.50": -2, "2e3": 3} {
		if _, last, _ := scanNumber([]byte(s), '.'); last != want {
			t.Errorf("%q: last digit at 10^%d, want 10^%d", s, last, want)
		}
	}
}
