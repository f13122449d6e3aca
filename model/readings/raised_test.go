package readings

import (
	"math"
	"testing"
)

// A frequency that rose though something was added is found, and none that fell, or that another core
// or primary may have raised.
func TestRaised(t *testing.T) {
	read := func(line int, f float64, hand float64, core string, parts ...int) Reading {
		s := Bare()
		s.Parts, s.Hand = parts, hand
		if core != "" {
			s.Core, s.To = core, 1
		}
		return Reading{State: s, Line: line, Frequency: f, Use: true}
	}
	away := math.Inf(1)
	for _, c := range []struct {
		what     string
		readings []Reading
		want     [2]int
	}{
		{"as it should", []Reading{read(2, 2e6, away, ""), read(3, 1.6e6, away, "", 0), read(4, 1.2e6, away, "", 0, 1), read(5, 1.9e6, 0.1, "")}, [2]int{}},
		{"a part", []Reading{read(2, 2e6, away, ""), read(3, 4.5e6, away, "", 0)}, [2]int{2, 3}},
		{"a second part, the worst of two", []Reading{read(2, 2e6, away, ""), read(3, 1.6e6, away, "", 0), read(4, 2.1e6, away, "", 1, 0)}, [2]int{3, 4}},
		{"a part twice", []Reading{read(2, 1.6e6, away, "", 0), read(3, 1.8e6, away, "", 0, 0)}, [2]int{2, 3}},
		{"one of two alike for another", []Reading{read(2, 1.2e6, away, "", 0, 0), read(3, 1.6e6, away, "", 0, 1)}, [2]int{}},
		{"a part, once more", []Reading{read(2, 1.2e6, away, "", 0), read(3, 1.6e6, away, "", 0)}, [2]int{}},
		{"another part", []Reading{read(2, 1.2e6, away, "", 0), read(3, 1.6e6, away, "", 1)}, [2]int{}},
		{"a hand that came nearer", []Reading{read(2, 1.9e6, 0.2, ""), read(3, 2e6, 0.1, "")}, [2]int{2, 3}},
		{"a hand that went", []Reading{read(2, 1.9e6, 0.1, ""), read(3, 2e6, 0.2, "")}, [2]int{}},
		{"a hand nearer and a part less", []Reading{read(2, 1.6e6, 0.2, "", 0), read(3, 1.9e6, 0.1, "")}, [2]int{}},
		{"a part, with a core out", []Reading{read(2, 1.5e6, away, "rod"), read(3, 1.8e6, away, "", 0)}, [2]int{}},
		{"a drift", []Reading{read(2, 2e6, away, ""), read(3, 2.01e6, 1, "")}, [2]int{}},
		{"a hand that went and a part that came", []Reading{read(2, 1.9e6, 0.1, ""), read(3, 2e6, 0.2, "", 0)}, [2]int{}},
		{"by 2.1 %", []Reading{read(2, 1e6, away, ""), read(3, 1.021e6, away, "", 0)}, [2]int{2, 3}},
		{"by 1.9 %", []Reading{read(2, 1e6, away, ""), read(3, 1.019e6, away, "", 0)}, [2]int{}},
		{"once more", []Reading{read(2, 2e6, away, ""), read(3, 2.5e6, away, "")}, [2]int{}},
	} {
		if got := Raised(&Log{Readings: c.readings}); got != c.want {
			t.Errorf("%s: lines %v, want %v", c.what, got, c.want)
		}
		if len(c.readings) == 2 {
			c.readings[1].Use = false
			if got := Raised(&Log{Readings: c.readings}); got != [2]int{} {
				t.Errorf("%s, not used: lines %v", c.what, got)
			}
		}
	}
}
