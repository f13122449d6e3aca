package report

import (
	"strings"
	"unicode/utf8"
)

// Table is rows of text under headings: one value that every surface prints in
// its own way. All rows have one cell for each column.
type Table struct {
	Columns []Column
	Rows    [][]string
}

// Column is the heading of a column, empty for none, and the side that its
// cells keep to.
type Column struct {
	Head  string
	Right bool
}

func left(head string) Column  { return Column{Head: head} }
func right(head string) Column { return Column{Head: head, Right: true} }

func newTable(columns ...Column) *Table { return &Table{Columns: columns} }

func (t *Table) row(cells ...string) { t.Rows = append(t.Rows, cells) }

// text lines up the columns by the number of characters, and leaves out those
// that are empty.
func (t *Table) text() string {
	rows := t.Rows
	if head := t.head(); strings.Join(head, "") != "" {
		rows = append([][]string{head}, rows...)
	}
	width := make([]int, len(t.Columns))
	for _, r := range rows {
		for i, c := range r {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	var b strings.Builder
	for _, r := range rows {
		line := "  "
		for i, c := range r {
			if width[i] == 0 {
				continue
			}
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if t.Columns[i].Right {
				line += pad + c + "  "
			} else {
				line += c + pad + "  "
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

func (t *Table) head() []string {
	head := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = c.Head
	}
	return head
}
