package benchlog

import (
	"fmt"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// Each limit of what is a sweep of the drive, from both sides, worked out by hand: of a peak of 100, a twentieth
// is 5, and an end at 77 is below 1/1.3 of it.
func TestLimitsOfSweeps(t *testing.T) {
	sweep := func(rows string) bool {
		var b strings.Builder
		b.WriteString("f [kHz],amplitude,hand [cm],added [pF]\n")
		for i, amplitude := range strings.Fields(rows) {
			f, a, ok := strings.Cut(amplitude, ":")
			if !ok {
				f, a = fmt.Sprint(1000+i), amplitude
			}
			fmt.Fprintf(&b, "%s.5,%s\n", f, a+strings.Repeat(",", 2-strings.Count(a, ",")))
		}
		return must.Get(Read(strings.NewReader(b.String()), "log.csv", Options{})).In(t).IsSweep()
	}
	for _, c := range [][2]string{
		{"10 50 100 50 10", "10 100 50 10"},
		{"10 50 45.1 100 50 10", "10 50 44.9 100 50 10"},
		{"10 100 50 54.9 10", "10 100 50 55.1 10"},
		{"76 80 100 80 76", "76 80 100 80 77"},
		{"76 80 100 80 76", "77 80 100 80 76"},
		{"10 100 90 80 70", "100 90 80 70 60"},
		{"10 20 30 100 40", "10 20 30 40 100"},
		{"1000:10 1001:50 1002:100 1003:50 1004:10", "1000:10 1001:50 1002:100 1002:50 1004:10"},
		{"1004:10 1003:50 1002:100 1001:50 1000:10", "1004:10 1003:50 1002:100 1003:50 1000:10"},
		{"1004:10 1003:50 1002:100 1001:50 1000:10", "1004:10 1003:50 1002:100 1002:50 1000:10"},
		{"10 50 100 50 10", "10 50 100 50,5 10"},
		{"10 50 100 50 10", "10 50 100 50,,4.7 10"},
		{"10 50 100 50 10", "10 50 100 50,,clip 10"},
	} {
		if !sweep(c[0]) {
			t.Errorf("%s is no sweep", c[0])
		}
		if sweep(c[1]) {
			t.Errorf("%s is a sweep", c[1])
		}
	}
}
