package benchlog

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestUnitChoice: whichever units a log is written in, it says the same, to the
// last bit.
func TestUnitChoice(t *testing.T) {
	type unit struct {
		symbol string
		exp    int
	}
	frequencies := []unit{{"Hz", 0}, {"kHz", 3}, {"MHz", 6}, {"GHz", 9}}
	capacitances := []unit{{"fF", -15}, {"pF", -12}, {"nF", -9}, {"µF", -6}}
	lengths := []unit{{"mm", -3}, {"cm", -2}, {"m", 0}}
	rapid.Check(t, func(t *rapid.T) {
		type row struct{ f, u, c, h int }
		var rows []row
		for range rapid.IntRange(1, 4).Draw(t, "rows") {
			rows = append(rows, row{rapid.IntRange(1000, 99999).Draw(t, "f"), rapid.IntRange(1, 99).Draw(t, "u"),
				rapid.IntRange(1, 99).Draw(t, "c"), rapid.IntRange(1, 99).Draw(t, "h")})
		}
		write := func(f, u, c, h unit, inCells bool) string {
			var b strings.Builder
			in := func(s string) string { return " [" + s + "]" }
			behind := func(string) string { return "" }
			if inCells {
				in, behind = behind, func(s string) string { return " " + s }
			}
			fmt.Fprintf(&b, "frequency%s,frequency ±%s,added%s,hand%s\n", in(f.symbol), in(u.symbol), in(c.symbol), in(h.symbol))
			for _, r := range rows { // f in 100 Hz, u in 10 Hz, c in 0.1 pF, h in mm
				fmt.Fprintf(&b, "%de%d%s,%de%d%s,%de%d%s,%de%d%s\n", r.f, 2-f.exp, behind(f.symbol), r.u, 1-u.exp, behind(u.symbol),
					r.c, -13-c.exp, behind(c.symbol), r.h, -3-h.exp, behind(h.symbol))
			}
			return b.String()
		}
		read := func(text string) *Log {
			l, err := Read(strings.NewReader(text), "log.csv", Options{})
			if err != nil {
				t.Fatalf("%s%v", text, err)
			}
			for i := range l.Parts {
				l.Parts[i].Name = "" // as it was written
			}
			return l
		}
		draw := func(list []unit) unit { return rapid.SampledFrom(list).Draw(t, "unit") }
		want := read(write(frequencies[2], frequencies[1], capacitances[1], lengths[1], false))
		text := write(draw(frequencies), draw(frequencies), draw(capacitances), draw(lengths), rapid.Bool().Draw(t, "in cells"))
		if got := read(text); !reflect.DeepEqual(bare(got.Log), bare(want.Log)) {
			t.Fatalf("%sreads as %+v, not %+v", text, got.Log, want.Log)
		}
	})
}
