package report

import (
	"strings"
	"unicode/utf8"
)

type align int

const (
	left align = iota
	right
)

// table lines up columns by the number of characters.
type table struct {
	indent string
	align  []align
	rows   [][]string
}

func newTable(indent string, align ...align) *table {
	return &table{indent: indent, align: align}
}

func (t *table) row(cells ...string) { t.rows = append(t.rows, cells) }

func (t *table) String() string {
	width := make([]int, len(t.align))
	for _, r := range t.rows {
		for i, c := range r {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	var b strings.Builder
	for _, r := range t.rows {
		line := t.indent
		for i, c := range r {
			if width[i] == 0 {
				continue
			}
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if t.align[i] == right {
				line += pad + c + "  "
			} else {
				line += c + pad + "  "
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}
