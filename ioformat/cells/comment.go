package cells

import (
	"encoding/csv"
	"strings"

	"fitcoil/ioformat/quantity"
)

// comment is a line that begins with #, perhaps behind white space.
type comment struct {
	line int
	text string // cut after longestComment bytes
}

// What is kept of comments: a reading is shorter, and what lies between two rows
// is handed out before more is read.
const (
	longestComment = 1 << 10
	mostComments   = 1 << 12
	mostHead       = 100
)

// comments collects the comments among the lines that a tidy writes.
type comments struct {
	list  []comment
	text  []byte
	state byte // of the line: 0 nothing but white space yet, # a comment, x another
}

// see takes a piece of the current line.
func (c *comments) see(piece []byte) {
	if c.state == 0 {
		for len(piece) > 0 && (piece[0] == ' ' || piece[0] == '\t') {
			piece = piece[1:]
		}
		if len(piece) == 0 {
			return
		}
		c.state = 'x'
		if piece[0] == '#' {
			c.state = '#'
		}
	}
	if c.state == '#' && len(c.text) < longestComment {
		c.text = append(c.text, piece[:min(len(piece), longestComment-len(c.text))]...)
	}
}

// end closes the line.
func (c *comments) end(line int) {
	if c.state == '#' {
		if len(c.list) == mostComments {
			c.list = append(c.list[:0], c.list[mostComments/2:]...)
		}
		c.list = append(c.list, comment{line, string(c.text)})
		c.text = c.text[:0]
	}
	c.state = 0
}

// passed hands the comments in front of line to the user of the table, and
// forgets those up to line last: they are inside of cells.
func (t *Table) passed(line, last int) {
	c := &t.text.tidy.comments
	n := 0
	for ; n < len(c.list) && c.list[n].line <= last; n++ {
		if x := c.list[n]; x.line < line {
			t.comment(x)
		}
	}
	c.list = append(c.list[:0], c.list[n:]...)
}

// isComment says whether the current row is a comment behind white space, and
// hands out the comments in front of it.
func (t *Table) isComment() bool {
	last := t.line
	for _, cell := range t.row {
		last += strings.Count(cell, "\n")
	}
	own := false
	for _, x := range t.text.tidy.comments.list {
		own = own || x.line == t.line && strings.HasPrefix(t.row[0], "#")
	}
	if own {
		t.passed(t.line+1, last)
	} else {
		t.passed(t.line, last)
	}
	return own
}

// comment keeps the last comment above the header, and those below it.
func (t *Table) comment(x comment) {
	if t.Header == nil {
		t.above = x
		if len(t.head) < mostHead {
			t.head = append(t.head, quantity.Trim(strings.TrimLeft(quantity.Trim(x.text), "#")))
		}
		return
	}
	if len(t.below) < mostComments { // nobody asks for more
		t.below = append(t.below, x)
	}
}

// Head returns the first comments above the header, without # and white space around.
func (t *Table) Head() []string { return t.head }

// A Comment is a line that begins with #, as cells.
type Comment struct {
	Line  int
	Cells []string
}

// Comments returns the comments between the header and the current row that it
// has not returned before.
func (t *Table) Comments() (list []Comment) {
	for _, x := range t.below {
		list = append(list, Comment{x.line, t.split(x.text)})
	}
	t.below = t.below[:0]
	return list
}

// split returns the cells of one line.
func (t *Table) split(line string) []string {
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = t.Delimiter, true, -1
	cells, err := r.Read()
	if err != nil {
		cells = strings.Split(line, string(t.Delimiter))
	}
	for i := range cells {
		cells[i] = quantity.Trim(cells[i])
	}
	return cells
}

// Above returns the last comment above the header ; it has no
// cells when there is none.
func (t *Table) Above() Comment {
	if t.above.line == 0 {
		return Comment{}
	}
	return Comment{t.above.line, t.split(t.above.text)}
}
