package report

import (
	"encoding/csv"
	"io"
	"math"
	"slices"
	"strconv"
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

// text lines up the columns by the number of characters, leaves out those that are
// empty, and wraps the cells of the widest columns of words where a line would have
// more than width characters.
func (t *Table) text(width int) string {
	rows := t.Rows
	if head := t.head(); strings.Join(head, "") != "" {
		rows = append([][]string{head}, rows...)
	}
	widths := make([]int, len(t.Columns))
	for _, r := range rows {
		for i, c := range r {
			widths[i] = max(widths[i], utf8.RuneCountInString(c))
		}
	}
	least := make([]int, len(t.Columns)) // first no narrower than the longest word
	for _, r := range rows {
		for i, c := range r {
			for _, word := range strings.Fields(c) {
				least[i] = max(least[i], min(utf8.RuneCountInString(word), longestWord))
			}
		}
	}
	t.narrow(widths, least, width)
	t.narrow(widths, make([]int, len(t.Columns)), width)
	var b strings.Builder
	for _, r := range rows {
		t.writeRow(&b, r, widths)
	}
	return b.String()
}

// leastColumn is how narrow a column of words is made at most, and longestWord how long a
// word is kept whole.
const (
	leastColumn = 12
	longestWord = 24
)

// narrow takes from the widest columns of words what makes a line wider than width, as
// long as they stay at their least.
func (t *Table) narrow(widths, least []int, width int) {
	for {
		sum, widest := 0, -1
		for i, w := range widths {
			if w == 0 {
				continue
			}
			sum += w + 2
			if !t.Columns[i].Right && w > max(leastColumn, least[i]) && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if sum <= width || widest < 0 {
			return
		}
		widths[widest]--
	}
}

// writeRow writes one row, on as many lines as its longest cell needs.
func (t *Table) writeRow(b *strings.Builder, cells []string, widths []int) {
	wrapped, height := make([][]string, len(cells)), 1
	for i, c := range cells {
		if widths[i] == 0 {
			continue
		}
		wrapped[i] = []string{c}
		if utf8.RuneCountInString(c) > widths[i] {
			wrapped[i] = Wrap(c, widths[i])
		}
		height = max(height, len(wrapped[i]))
	}
	for k := range height {
		line := "  "
		for i := range cells {
			if widths[i] == 0 {
				continue
			}
			c := ""
			if k < len(wrapped[i]) {
				c = wrapped[i][k]
			}
			pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(c))
			if t.Columns[i].Right {
				line += pad + c + "  "
			} else {
				line += c + pad + "  "
			}
		}
		b.WriteString(strings.TrimRight(strings.ReplaceAll(line, noBreak, " "), " ") + "\n")
	}
}

func (t *Table) head() []string {
	head := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		head[i] = c.Head
	}
	return head
}

// dropZeroColumns empties the columns in which all cells are 0.
func (t *Table) dropZeroColumns() {
	for i := range t.Columns {
		if slices.ContainsFunc(t.Rows, func(r []string) bool { return r[i] != "0" }) {
			continue
		}
		t.Columns[i].Head = ""
		for _, r := range t.Rows {
			r[i] = ""
		}
	}
}

// writeCSV writes a table as RFC 4180 has it, with line feeds.
func writeCSV(w io.Writer, head []string, rows [][]string) error {
	c := csv.NewWriter(w)
	if err := c.Write(head); err != nil {
		return err
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	return c.Error()
}

// csvNumber writes v with all its digits; nothing where it is no number.
func csvNumber(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
