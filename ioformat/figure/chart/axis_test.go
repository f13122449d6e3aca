package chart

import (
	"math"
	"strings"
	"testing"
)

func labels(a Axis) string {
	var s []string
	for _, t := range a.Ticks {
		s = append(s, t.Label)
	}
	return strings.Join(s, " ")
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
		want   string
	}{
		{0, 22, 8, "0 5 10 15 20"},
		{0.67, 1.92, 7, "0.8 1.0 1.2 1.4 1.6 1.8"},
		{-3, 3, 6, "−3 −2 −1 0 1 2 3"},
		{-0.05, 0.05, 4, "−0.05 0.00 0.05"},
		{1.23456, 1.23460, 5, "1.23456 1.23457 1.23458 1.23459 1.23460"},
		{0, 0, 5, "−1.0 −0.5 0.0 0.5 1.0"},
		{7, 7, 4, "6.8 7.0 7.2"},
		{-120, 380, 5, "−100 0 100 200 300"},
	} {
		if got := labels(Over("", c.lo, c.hi, c.n)); got != c.want {
			t.Errorf("%g to %g: ticks %q, want %q", c.lo, c.hi, got, c.want)
		}
	}
}

// Whatever the range, ticks lie in it, there are at least two and not many more
// than asked for, and their labels differ and say where they are.
func TestTicksOfAnyRange(t *testing.T) {
	for exp := -12; exp <= 6; exp++ {
		for _, m := range []float64{1, 1.7, 2.3, 4.99, 9.99} {
			for _, from := range []float64{0, -0.3, 0.9, 25} {
				width := m * math.Pow10(exp)
				a := Over("", from*width, (from+1)*width, 6)
				if len(a.Ticks) < 2 || len(a.Ticks) > 7 {
					t.Fatalf("%g wide: %d ticks", width, len(a.Ticks))
				}
				seen := map[string]bool{}
				for _, k := range a.Ticks {
					if k.At < a.Min-1e-9*width || k.At > a.Max+1e-9*width || seen[k.Label] {
						t.Fatalf("%g wide: tick %v", width, k)
					}
					seen[k.Label] = true
				}
			}
		}
	}
}

func TestCounts(t *testing.T) {
	if got, want := labels(Counts("", 3, 10)), "1 2 3"; got != want {
		t.Errorf("ticks %q, want %q", got, want)
	}
	if got, want := labels(Counts("", 20, 10)), "2 4 6 8 10 12 14 16 18 20"; got != want {
		t.Errorf("ticks %q, want %q", got, want)
	}
	if a := Counts("", 1, 10); a.Min >= 1 || a.Max <= 1 || labels(a) != "1" {
		t.Errorf("axis of one %v", a)
	}
}

func TestLogTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi, shift float64
		want          string
	}{
		{0, 400, 3, "0 5 10 20 50 100 200"},
		{0, 10000, 3, "0  10   100   1000   10000"},
		{0.04, 3, 0, "0.05 0.1 0.2 0.5 1 2"},
		{7, 60, 0, "10 20 50"},
	} {
		a := LogOver("", c.lo, c.hi, c.shift)
		if got := labels(a); got != c.want {
			t.Errorf("from %g to %g above %g: %q, want %q", c.lo, c.hi, c.shift, got, c.want)
		}
		if a.share(c.lo) != 0 || a.share(c.hi) != 1 {
			t.Errorf("the ends lie at %g and %g", a.share(c.lo), a.share(c.hi))
		}
		if middle := math.Sqrt((c.lo+c.shift)*(c.hi+c.shift)) - c.shift; !(math.Abs(a.share(middle)-0.5) <= 1e-12) {
			t.Errorf("%g lies at %g, want the middle", middle, a.share(middle))
		}
	}
}
