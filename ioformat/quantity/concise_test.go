package quantity

import "testing"

// The first is that of JCGM 100:2008, 7.2.2, example 2: m_S = 100,02147(35) g.
func TestConcise(t *testing.T) {
	for _, c := range []struct {
		text Text
		want string
	}{
		{Text{"100.02147", "0.00035", "g"}, "100.02147(35) g"},
		{Text{"770.3", "1.2", "µH"}, "770.3(12) µH"},
		{Text{"269", "97", "fF"}, "269(97) fF"},
		{Text{"1.9717", "0.0045", ""}, "1.9717(45)"},
		{Text{"-0.5", "2.0", "Hz"}, "-0.5(20) Hz"},
		{Text{"1.2e-7", "3e-9", ""}, "1.2e-7 ± 3e-9"},
		{Text{"1.0e-4", "5.0e-4", ""}, "1.0(50)e-4"},
		{Text{Value: "3", Unit: "pF"}, "3 pF"},
		{Text{Value: Undetermined}, Undetermined},
	} {
		if got := c.text.Concise(); got != c.want {
			t.Errorf("%v: %s, want %s", c.text, got, c.want)
		}
	}
}
