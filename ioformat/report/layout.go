package report

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// View says how much of a result is printed, and how wide. The zero value is the
// answer in brief, on 80 columns.
type View struct {
	Full  bool
	Width int // columns of the terminal; 0 where there is none
}

// The columns that text is wrapped to without a terminal, and the fewest (a phone's) and
// the most with one: in longer lines nobody finds the next.
const (
	usualWidth  = 80
	leastWidth  = 40
	widestWidth = 120
)

// briefLines is the most that an answer in brief may have.
const briefLines = 30

func (v View) width() int {
	switch {
	case v.Width == 0:
		return usualWidth
	case !v.Full:
		return max(leastWidth, min(v.Width, usualWidth))
	}
	return max(leastWidth, min(v.Width, widestWidth))
}

// terse is how terse an answer is that has one draft in brief.
func (v View) terse() int {
	if v.Full {
		return everything
	}
	return 0
}

// text is a page of lines, none of which is wider than width.
type text struct {
	strings.Builder
	width  int
	answer *Answer // what is written, where that is wanted as such

	contradicted bool // the numbers follow from what contradicts itself
}

func newText(v View) *text { return &text{width: v.width()} }

// blank puts an empty line between what there is and what follows.
func (t *text) blank() {
	if t.Len() > 0 && !strings.HasSuffix(t.String(), "\n\n") {
		t.WriteByte('\n')
	}
}

// hang writes s behind first, its further lines behind as many spaces as first has
// characters.
func (t *text) hang(first, s string) {
	indent := utf8.RuneCountInString(first)
	for i, line := range Wrap(s, t.width-indent) {
		if i > 0 {
			first = strings.Repeat(" ", indent)
		}
		t.put(first + line)
	}
}

// put writes one line; its no-break spaces have done their work.
func (t *text) put(line string) {
	t.WriteString(strings.TrimRight(strings.ReplaceAll(line, noBreak, " "), " ") + "\n")
}

// noBreak is a space at which no line is broken.
const noBreak = "\u00a0"

// cut is hang with at most so many lines, all of them if most is below one.
func (t *text) cut(first, s string, most int) {
	lines := Wrap(s, t.width-utf8.RuneCountInString(first))
	if most > 0 && len(lines) > most {
		last := lines[most-1]
		for utf8.RuneCountInString(last)+2 > t.width-utf8.RuneCountInString(first) && strings.Contains(last, " ") {
			last = last[:strings.LastIndex(last, " ")]
		}
		s = strings.Join(append(lines[:most-1:most-1], strings.TrimRight(last, " ,;:")+noBreak+"…"), " ")
	}
	t.hang(first, s)
}

// line writes s, wrapped, its further lines indented.
func (t *text) line(s string) {
	for i, line := range Wrap(s, t.width-2) {
		if i > 0 {
			line = "  " + line
		}
		t.put(line)
	}
}

// section begins one with a title.
func (t *text) section(title, note string) {
	t.blank()
	if note != "" {
		title += " (" + note + ")"
	}
	t.line(title)
}

// more says that so many further lines are left to View.Full.
func (t *text) more(n int) {
	if n > 0 {
		t.under(fmt.Sprintf("and %d more: --full", n))
	}
}

func (t *text) bullet(s string) { t.hang("  - ", s) }
func (t *text) under(s string)  { t.hang("  ", s) }

func (t *text) table(tab *Table) { t.WriteString(tab.text(t.width)) }

// outdented writes a table whose first heading is the title of all.
func (t *text) outdented(tab *Table) {
	for i, line := range strings.Split(strings.TrimSuffix(tab.text(t.width), "\n"), "\n") {
		if head := tab.Columns[0].Head; i == 0 && strings.HasPrefix(line, "  "+head) {
			line = strings.TrimRight(head+"  "+line[2+len(head):], " ")
		}
		t.WriteString(line + "\n")
	}
}

// to writes the page.
func (t *text) to(w io.Writer) error {
	_, err := io.WriteString(w, t.String())
	return err
}

// sticks tells whether two words stay on one line: a number and its sign, ± or unit.
func sticks(a, b string) bool {
	last, _ := utf8.DecodeLastRuneInString(a)
	switch {
	case strings.ContainsRune("±=<>×", last):
		return true
	case a == "p" || a == "χ²" || a == "χ²/ν":
		return strings.HasPrefix(b, "=") || strings.HasPrefix(b, "<") || strings.HasPrefix(b, ">")
	}
	return '0' <= last && last <= '9' && (strings.HasPrefix(b, "±") || isUnit(strings.TrimRight(b, ".,;:)")))
}

// isUnit tells whether a word is a unit as numbers have it in answers.
func isUnit(word string) bool {
	switch word {
	case "%", "cm", "in", "σ":
		return true
	}
	base := strings.TrimLeft(word, "fpnµmkM")
	switch base {
	case "F", "Hz", "H", "Ω", "V", "s":
		return len([]rune(word))-len([]rune(base)) <= 1
	}
	return word == "m" || word == "mm"
}

// Wrap breaks s into lines of at most width characters, between words where they
// allow it; no-break spaces hold, and so do those within a number with its unit.
func Wrap(s string, width int) (lines []string) {
	width = max(width, 8)
	line, n := "", 0
	for _, word := range words(s) {
		size := utf8.RuneCountInString(word)
		if line != "" && n+1+size <= width {
			line, n = line+" "+word, n+1+size
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for size > width { // a name without spaces, or what should better hold together
			runes := []rune(word)
			end, next := width, width
			for i := width; i > 0; i-- {
				if runes[i] == '\u00a0' || runes[i] == ' ' {
					end, next = i, i+1
					break
				}
			}
			lines = append(lines, string(runes[:end]))
			word, size = string(runes[next:]), size-next
		}
		line, n = word, size
	}
	return append(lines, line)
}

// words splits s where a line may break.
func words(s string) (list []string) {
	last := ""
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		if n := len(list) - 1; n >= 0 && sticks(last, word) {
			list[n] += " " + word
		} else {
			list = append(list, word)
		}
		last = word
	}
	return list
}
