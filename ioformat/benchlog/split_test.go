package benchlog

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

func TestWords(t *testing.T) {
	for text, want := range map[string][]string{
		"":                               nil,
		"bare":                           nil,
		" Bare ":                         nil,
		"added=3.3pF,core=rod":           {"added=3.3pF", "core=rod"},
		"added=lantern roof,  hand=20cm": {"added=lantern roof", "hand=20cm"},
		"core=long rod covered=20..60%":  {"core=long rod", "covered=20..60%"},
		"roof":                           {"roof"},
		"bare core=rod":                  {"core=rod"},
		",5":                             {",5"}, // half a megahertz, or a comma too many: not five
		"added=,5pF , core=rod":          {"added=,5pF", "core=rod"},
	} {
		if got := Words(text); !slices.Equal(got, want) {
			t.Errorf("%q: words %q, want %q", text, got, want)
		}
	}
}

// TestCommasInNumbers: a comma inside a frequency is noticed in every unit, in all
// rows or in some, and whole frequencies are not taken for that.
func TestCommasInNumbers(t *testing.T) {
	for _, log := range []string{
		// between thousands, in all rows and in some
		"frequency [kHz],added [pF],note\n1,523,4.7\n",
		"frequency [kHz],added [pF],note\n2,519,\n1,937,2.2\n1,613,4.7\n1,230,10\n",
		"frequency [kHz],added [pF],note\n2,519,\n1,937,2.2\n1,613,4.7\n888,22,\n874,22,\n",
		"frequency [kHz],added [pF],note\n2519,,\n1,523,4.7\n1230,10,\n",
		"frequency [kHz],added [pF],note\n2519,,\n1,523,\n1230,10,\n888,22,\n",
		"frequency [Hz],added [pF],note\n888123,22,\n632411,22,\n1,523,400\n873911,22,\n",
		"f (Hz),note\n2,519\n1,937\n",
		// decimal
		"frequency [MHz],added [pF],note\n1,523,\n1,401,4.7\n",
		"frequency [MHz],added [pF],note\n2.519,,\n1,937,2.2\n1.613,4.7,\n1.230,10,\n",
		"frequency [GHz],added [pF]\n1,523\n1,401\n",
		"frequency [kHz],added [pF],note\n2519,0,\n1937,2,2.2\n1613,4,4.7\n1230,1,10.0\n",
		"frequency [kHz],added [pF],hand [cm]\n2519,3,\n1937,0,2\n1613,9,4\n1230,8,10\n1059,1,10\n888,2,10\n",
		"frequency [kHz],note\n2519.3,\n1937.2,\n1613,9\n1230,8\n1059,1\n888,2\n",
		// in the cell before it
		"added [pF],frequency [kHz],note\n,2519,\n2,2,1937\n,2519,\n4,7,1613\n",
	} {
		if l, err := Read(strings.NewReader(log), "log.csv", Options{}); err == nil || !strings.Contains(err.Error(), "comma") {
			t.Errorf("%q is read: %v", log, l)
		}
	}
	for _, log := range []string{
		"frequency [kHz],added [pF],note\n888,22,\n1059,10,\n1230,4,\n",
		"frequency [kHz],added [pF]\n120,100\n95,220\n80,470\n",
		"frequency [kHz],added [pF]\n120,\n95,220\n80,470\n60,1000\n",
		"frequency [kHz],added [pF],note\n1523.4,,1\n888,10,2\n702.1,22,3\n",
		"frequency [kHz],added [pF]\n1523.4,\n888,5\n702.1,22\n",
		"frequency [MHz],added [pF]\n2.519,\n2,1\n1.401,4.7\n1.2,10\n",
		"frequency [MHz],added [pF]\n2.5,\n2,1\n1.4,5\n1.2,7\n1,9\n",
		"frequency [MHz],hand [cm]\n14.211,\n14,20\n13.902,10\n13.1,5\n",
		"frequency [kHz],added [pF],core\n2519,1,\n2100,2,\n1900,3,\n1750,4,\n1630,5,\n900,5,rod\n",
		"frequency [Hz],added [pF]\n35120,100\n31200,150\n28111,220\n",
		"frequency [MHz],\n1.5\n",
		"frequency [kHz],run\n120,1\n119,2\n120,3\n118,4\n",
		"frequency [kHz],frequency ± [Hz],added [pF]\n888,300,22\n1059,200,10\n",
	} {
		mustRead(t, []byte(log), Options{})
	}
}

// Each limit of that judgement from both sides, on logs that differ in one number.
func TestLimitsOfCommas(t *testing.T) {
	many := "frequency [MHz],added [pF],note\n" + strings.Repeat("2.519,1.5,\n", 1999)
	pairs := func(n, against int) string { // of frequencies and capacitances that should fall with each other
		var b strings.Builder
		b.WriteString("frequency [kHz],added [pF]\n")
		for i := range n {
			c := 500 - i
			if i < against {
				c = 1000 + i
			}
			fmt.Fprintf(&b, "%d,%d\n", 1000+10*i, c)
		}
		return b.String()
	}
	equal := func(n int, row string) string { // with the row that is above all
		log := "frequency [kHz],added [pF]\n1050,50\n"
		for i := range n {
			log += fmt.Sprintf(row, i)
		}
		return log
	}
	for _, c := range []struct{ read, refused string }{
		{many + "2.519,1.5,\n1,937,\n", many + "1,937,2.2\n"},                                                                        // the 2001st row
		{"frequency [kHz],added [pF],note\n2519,,\n1613,,\n90,523,\n", "frequency [kHz],added [pF],note\n2519,,\n1613,,\n80,523,\n"}, // 1/30 of the middle
		{"frequency [kHz],added [pF],note\n2519,,\n2400,,\n60,470,\n", "frequency [kHz],added [pF],note\n2519,,\n2400,,\n60,485,\n"}, // a fifth of the lowest
		{"frequency [Hz],added [pF],note\n500,,\n400,,\n3,060,\n", "frequency [Hz],added [pF],note\n500,,\n400,,\n2,060,\n"},         // five times the highest
		{pairs(4, 4), pairs(5, 5)},                                                                           // of at least ten pairs
		{equal(9, "10%02d,5\n"), equal(10, "10%02d,5\n")}, {equal(9, "1000,1%d\n"), equal(10, "1000,1%d\n")}, // rows of one capacitance, or of one frequency, are no pair
		{pairs(10, 6), pairs(10, 7)}, // 15 and 21 of 45 pairs: more than a third
		{"frequency [kHz],note\n52.1,\n47.3,\n61,4\n", "frequency [kHz],note\n52.311,\n47.333,\n61,423\n"},                                  // one of ten is whole by chance, one of a thousand is not
		{"frequency [MHz],added [pF]\n100,4\n90,5\n", "frequency [MHz],added [pF]\n10,4\n90,5\n12,7\n"},                                     // three digits
		{"frequency [kHz],added [pF]\n1523,471\n1374,823\n", "frequency [kHz],added [pF]\n523,471\n374,823\n"},                              // of thousands at most three digits stand in front
		{"frequency [kHz],added [pF]\n523,471\n374,82\n", "frequency [kHz],added [pF]\n523,471\n374,823\n"},                                 // and three behind
		{"frequency [kHz],added [pF]\n1,520\n1,370\n", "frequency [kHz],added [pF]\n1,523\n1,370\n"},                                        // round ones are sold
		{"frequency [kHz],added [pF],note\n15,2,1.5\n14,3,\n15.1,4,2.5\n", "frequency [kHz],added [pF],note\n15,2,1.5\n14.2,3,\n15.1,4,\n"}, // notes that are numbers
		{"frequency [kHz],added [pF]\n0,5\n1.1,4\n1.2,4\n", "frequency [kHz],added [pF],note\n900,,\n800,,\n1,234,567\n"},
	} {
		if got := said(c.read, Options{}); strings.Contains(got, "comma") {
			t.Errorf("%q: %s", c.read[max(0, len(c.read)-80):], got)
		}
		if got := said(c.refused, Options{}); !strings.Contains(got, "comma") {
			t.Errorf("%q is read: %s", c.refused[max(0, len(c.refused)-80):], got)
		}
	}
	s := &splits{rows: 40}
	for n, want := range []float64{1, 0.4, 0.08, 0.4 * 0.2 * 0.4 / 3} { // 40 rows, a hundredth of them round: 0.4 expected, 0.4ⁿ/n! for n or more (Poisson's leading term)
		if got := s.chance(2, n); math.Abs(got-want) > 1e-12 {
			t.Errorf("chance of %d: %g, want %g", n, got, want)
		}
	}
}

// What is said of a comma inside a frequency: of each row that was taken apart its own digits and line, of a log of
// nothing else the first row; that a comma stands between thousands only where the unit has thousands.
func TestWordsOfCommas(t *testing.T) {
	const (
		decimal   = "if the comma is the decimal mark, use ; between cells; "
		thousands = "if it stands between thousands, take it away; "
	)
	all := func(place, unit, may, first string) string {
		return `log.csv:` + place + `: read "whole ` + unit + ` in all rows", expected frequencies with a decimal point; ` + decimal + may + "if the frequencies are whole, write them as in " + first + ".0"
	}
	one := func(place, read, whole string) string {
		return `log.csv:` + place + `: read "` + read + `", expected a frequency like those of the other rows, in one cell; ` + decimal + thousands + "if the frequency is whole, write " + whole + ".0"
	}
	for text, want := range map[string][]string{
		"frequency [kHz],added [pF],note\n1,523,4.7\n2,519,\n":                                   {all(`2:1 (column A, "frequency [kHz]")`, "kHz", thousands, "1")},
		"f [Hz],note\n2,519\n1,937\n":                                                            {all(`2:1 (column A, "f [Hz]")`, "Hz", thousands, "2")},
		"# comment\nnote,frequency [MHz],added [pF]\nx,2,523\ny,1,401\n":                         {all(`3:2 (column B, "frequency [MHz]")`, "MHz", "", "2")},
		"frequency [GHz],added [pF]\n1,523\n1,401\n":                                             {all(`2:1 (column A, "frequency [GHz]")`, "GHz", "", "1")},
		"frequency [kHz],added [pF],note\n2519,,\n1,523,4.7\n1230,10,\n1,401,5.1\n":              {one(`3:1 (column A, "frequency [kHz]")`, "1,523", "1"), one(`5:1 (column A, "frequency [kHz]")`, "1,401", "1")},
		"note,f [MHz],added [pF],hand [cm]\nx,2.519,,\ny,1,937,2.2\nx,1.613,4.7,\ny,1.230,10,\n": {one(`3:2 (column B, "f [MHz]")`, "1,937", "1")},
		"frequency [kHz],note\n2519.3,\n1937.2,\n1613,9\n1230,8\n1059,1\n888,2\n":                {one(`4:1 (column A, "frequency [kHz]")`, "1613,9", "1613"), one(`5:1 (column A, "frequency [kHz]")`, "1230,8", "1230"), one(`6:1 (column A, "frequency [kHz]")`, "1059,1", "1059"), one(`7:1 (column A, "frequency [kHz]")`, "888,2", "888")},
		"frequency [Hz],added [pF],note\n888123,22,\n632411,22,\n1,523,400\n873911,22,\n":        {one(`4:1 (column A, "frequency [Hz]")`, "1,523", "1")},
	} {
		if got := said(text, Options{}); got != strings.Join(want, "\n") {
			t.Errorf("%q: %s\nwant %s", text, got, strings.Join(want, "\n"))
		}
	}
}
