package report

import (
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf8"
)

// Lines hold as many words as fit and no more, lose none, and keep a number with its unit.
func TestWrapFillsLines(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	vocabulary := []string{"a", "coil", "2.5", "± 0.1", "3 pF", "χ²/ν = 1.2", "resonance", "no\u00a0break", "× 2", "12 %"}
	for range 200 {
		var list []string
		for range 1 + r.IntN(30) {
			list = append(list, vocabulary[r.IntN(len(vocabulary))])
		}
		s, width := strings.Join(list, " "), 20+r.IntN(40)
		lines := Wrap(s, width)
		if strings.Join(lines, " ") != s {
			t.Fatalf("%q became %q", s, lines)
		}
		for i, l := range lines {
			if utf8.RuneCountInString(l) > width {
				t.Errorf("a line of %d in %d: %q", utf8.RuneCountInString(l), width, l)
			}
			if i+1 == len(lines) {
				break
			}
			next := words(lines[i+1])[0]
			if utf8.RuneCountInString(l)+1+utf8.RuneCountInString(next) <= width {
				t.Errorf("%q would hold %q in %d", l, next, width)
			}
			last := l[strings.LastIndex(l, " ")+1:]
			if sticks(last, strings.Fields(lines[i+1])[0]) {
				t.Errorf("broken between %q and %q", last, lines[i+1])
			}
		}
	}
	long := strings.Repeat("x", 50)
	if lines := Wrap("a "+long+" b", 20); strings.Join(lines, "") != "a"+long+"b" && strings.Join(lines, " ") != "a "+long[:20]+" "+long[20:40]+" "+long[40:]+" b" {
		t.Errorf("a long word: %q", lines)
	}
	for word, want := range map[string]bool{"pF": true, "MHz": true, "Ω": true, "kV": true, "mm": true, "%": true, "σ": true, "core": false, "F2": false, "mmF": false} {
		if isUnit(word) != want {
			t.Errorf("%q is a unit: %v", word, !want)
		}
	}
}

// Cells of a column stand under one another: those of words begin together, those of numbers
// end together; an empty column takes no room, and words give way where a line is too wide.
func TestTableLinesUp(t *testing.T) {
	tab := newTable(left("name"), right("value"), left(""), left(""))
	tab.row("a", "1.25", "", "µH")
	tab.row("longer", "100", "", "pF")
	const want = "  name    value\n  a        1.25  µH\n  longer    100  pF\n"
	if got := tab.text(80); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	tab = newTable(left(""), right("n"))
	tab.row("some words that have to give way", "12345")
	tab.row("b", "7")
	lines := strings.Split(strings.TrimSuffix(tab.text(30), "\n"), "\n")
	if len(lines) < 3 || !strings.HasSuffix(lines[1], "  12345") || !strings.HasSuffix(lines[0], "      n") {
		t.Errorf("%q", lines)
	}
	for _, l := range lines {
		if utf8.RuneCountInString(l) > 30 {
			t.Errorf("%q is wider than 30", l)
		}
	}
	if last := lines[len(lines)-1]; strings.Index(last, "7") != strings.Index(lines[1], "5") || last[2] != 'b' {
		t.Errorf("%q under %q", last, lines[1])
	}
	tab = newTable(left("head"), right("none"), right("some"))
	tab.row("a", "0", "0")
	tab.row("b", "0", "1")
	tab.dropZeroColumns()
	if got := tab.text(80); got != "  head  some\n  a        0\n  b        1\n" {
		t.Errorf("without columns of zeros: %q", got)
	}
}

// A text has the width of its terminal between a phone's and what can be read, and what is cut
// says so.
func TestTextWidth(t *testing.T) {
	for v, want := range map[View]int{{}: 80, {Width: 20}: 40, {Width: 60}: 60, {Width: 100}: 80, {Full: true, Width: 100}: 100, {Full: true, Width: 300}: 120, {Full: true, Width: 10}: 40} {
		if got := v.width(); got != want {
			t.Errorf("%+v: %d, want %d", v, got, want)
		}
	}
	out := newText(View{Width: 40})
	out.cut("> ", strings.Repeat("many words ", 20), 2)
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != 2 || strings.Count(out.String(), "\n") != 2 || !strings.HasPrefix(lines[0], "> many") || !strings.HasPrefix(lines[1], "  ") || !strings.HasSuffix(lines[1], " …") {
		t.Errorf("cut to %q", lines)
	}
	for _, l := range lines {
		if utf8.RuneCountInString(l) > 40 || utf8.RuneCountInString(l) < 28 {
			t.Errorf("%d characters: %q", utf8.RuneCountInString(l), l)
		}
	}
	out = newText(View{Width: 40})
	out.cut("> ", "few words", 2)
	out.blank()
	out.section("Title", "note")
	out.bullet("point")
	out.under("below")
	if got := out.String(); got != "> few words\n\nTitle (note)\n  - point\n  below\n" {
		t.Errorf("%q", got)
	}
	tab := newTable(left("All of it"), right("n"))
	tab.row("a", "1")
	out = newText(View{})
	out.outdented(tab)
	if got := out.String(); got != "All of it    n\n  a          1\n" {
		t.Errorf("outdented: %q", got)
	}
}
