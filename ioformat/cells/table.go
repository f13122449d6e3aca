package cells

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
)

// Table reads the rows of a file one by one.
type Table struct {
	Dialect
	Faults     Faults
	Header     []string // what stands in the header, trimmed
	Units      []string // what a row of units under the header says, "" or as written; nil when there is no such row
	name       string
	text       *Text
	bound      *bound
	csv        *csv.Reader
	skipped    int // lines in front of what csv sees
	headerLine int
	line       int      // of the current row
	row        []string // trimmed cells of the current row
	ahead      []aheadRow
	above      comment   // the last one above the header
	head       []string  // all of them, without #
	below      []comment // those below it, not yet handed out
	markLine   int       // the line that showed the decimal mark
	markText   string    // and how
	err        error     // what reading failed with
	over       bool      // nothing more can be read
}

// aheadRow is a row that was read, but not yet handed out.
type aheadRow struct {
	line  int
	cells []string
}

// NewTable reads up to the first row of r; name is what messages call the
// file. The error is a [Faults] when the file is at fault, else what r failed
// with.
func NewTable(r io.Reader, name string) (*Table, error) {
	t := &Table{name: name}
	text, err := NewText(r)
	if err != nil {
		return nil, t.fail(err)
	}
	t.text = text
	t.bound = &bound{r: text}
	buffered := bufio.NewReaderSize(t.bound, 1<<15)
	if err := t.chooseDelimiter(buffered); err != nil {
		return nil, err
	}
	t.csv = csv.NewReader(buffered)
	t.csv.Comma = t.Delimiter
	t.csv.Comment = '#'
	t.csv.FieldsPerRecord = -1
	t.csv.ReuseRecord = true
	t.csv.TrimLeadingSpace = t.Delimiter != '\t' // else it would eat empty cells
	if !t.read() {
		if t.err == nil && len(t.Faults.List) == 0 {
			t.Faults.Add(Fault{File: name, Problem: t.nothing(), Expected: "a header, and rows below it"})
		}
		return nil, t.Err()
	}
	t.Header = slices.Clone(t.row)
	t.headerLine = t.line
	t.intact()
	if first := t.Peek(1); len(first) > 0 && unitRow(first[0]) {
		t.Units, t.ahead = first[0], nil
	}
	return t, nil
}

// nothing describes a file without a row.
func (t *Table) nothing() string {
	if t.text.tidy.begun && t.text.tidy.line > 1 {
		return "the file holds no rows, only comments or empty lines"
	}
	return "the file is empty"
}

// fail turns what stopped the reading into an error.
func (t *Table) fail(err error) error {
	if f, ok := Damage(err); ok {
		f.File = t.name
		t.Faults.Add(f)
		return t.Faults.Err()
	}
	return fmt.Errorf("%s: %w", t.name, err)
}

// chooseDelimiter decides from a sep= line or the first lines.
func (t *Table) chooseDelimiter(r *bufio.Reader) error {
	sample, err := r.Peek(r.Size())
	whole := err != nil
	first, _, _ := strings.Cut(string(sample), "\n")
	if d, ok := sepLine(first); ok {
		if d != "," && d != ";" && d != "\t" {
			t.Faults.Add(Fault{File: t.name, Line: 1, Problem: "read " + quantity.Quote(first), Expected: "sep=, or sep=; or sep= and a tab"})
			return t.Faults.Err()
		}
		_, _ = r.Discard(min(len(first)+1, len(sample)))
		t.Delimiter, t.SepLine, t.skipped = rune(d[0]), true, 1
	} else {
		candidates := guess(sampleLines(string(sample), whole))
		if len(candidates) > 1 {
			t.Faults.Add(Fault{File: t.name, Line: 1, Problem: "the cells could be separated by " + nameAll(candidates),
				Do: "say which in a first line such as sep=" + string(candidates[len(candidates)-1])})
			return t.Faults.Err()
		}
		t.Delimiter = candidates[0]
	}
	if t.Delimiter == ',' {
		t.Mark = quantity.Point
	}
	return nil
}

func nameAll(delimiters []rune) string {
	var names []string
	for _, d := range delimiters {
		names = append(names, Dialect{Delimiter: d}.DelimiterName())
	}
	return strings.Join(names, " or ")
}

// Next goes to the next row. It is false at the end of the file; then [Table.Err]
// tells whether all was well.
func (t *Table) Next() bool {
	for len(t.ahead) > 0 {
		t.line, t.row = t.ahead[0].line, t.ahead[0].cells
		t.ahead = t.ahead[1:]
		if t.fits() {
			return true
		}
	}
	for t.read() {
		if t.fits() {
			return true
		}
	}
	return false
}

// Peek returns the next rows, up to n, without going there. They may not fit the
// header: see Next.
func (t *Table) Peek(n int) (rows [][]string) {
	line, row := t.line, slices.Clone(t.row)
	for len(t.ahead) < n && t.read() {
		t.ahead = append(t.ahead, aheadRow{t.line, slices.Clone(t.row)})
	}
	t.line, t.row = line, row
	for _, a := range t.ahead[:min(n, len(t.ahead))] {
		rows = append(rows, a.cells)
	}
	return rows
}

// Err returns the faults found so far as a [Faults], or what reading failed
// with; nil when there is neither.
func (t *Table) Err() error {
	if t.err != nil {
		return t.err
	}
	return t.Faults.Err()
}

// Line returns the line on which the current row begins.
func (t *Table) Line() int { return t.line }

// Cell returns the text of column i (from 0) of the current row, without the
// white space around it.
func (t *Table) Cell(i int) string { return t.row[i] }

// Row returns the cells of the current row. They are overwritten by Next.
func (t *Table) Row() []string { return t.row }

// read fetches the next row that is not blank, and reports what csv cannot
// read.
func (t *Table) read() bool {
	for t.err == nil && !t.over {
		record, err := t.csv.Read()
		if err != nil {
			if !t.survives(err, record) {
				return false
			}
			continue
		}
		t.bound.since = 0
		t.line, _ = t.csv.FieldPos(0)
		t.line += t.skipped
		t.row = record
		blank := true
		for i, cell := range record {
			t.row[i] = quantity.Trim(cell)
			blank = blank && t.row[i] == ""
		}
		if len(t.text.tidy.comments.list) > 0 && t.isComment() {
			continue
		}
		if !blank {
			return true
		}
	}
	return false
}

// survives says whether reading can go on behind err, met with the cells of
// record read.
func (t *Table) survives(err error, record []string) bool {
	var parse *csv.ParseError
	switch {
	case err == io.EOF:
		t.text.tidy.comments.end(t.text.tidy.line)
		t.passed(t.text.tidy.line+1, t.text.tidy.line)
		if t.bound.cut && len(t.Faults.List) == 0 {
			t.err = t.fail(&damage{t.line, "behind this row there are more than 16 million characters without another", "check that this is the right file"})
		}
		return false
	case errors.As(err, &parse):
		t.quoteFault(parse, record)
		return true
	}
	t.over = true
	if err = t.fail(err); !errors.As(err, new(Faults)) {
		t.err = err
	}
	return false
}

// quoteFault reports a quote that csv stumbled on. complete are the cells in
// front of it.
func (t *Table) quoteFault(e *csv.ParseError, complete []string) {
	f := Fault{File: t.name, Line: e.StartLine + t.skipped, Column: len(complete) + 1, Header: t.header(len(complete))}
	for _, cell := range complete {
		f.Line += strings.Count(cell, "\n")
	}
	switch {
	case e.Err == csv.ErrBareQuote:
		f.Problem = "there is a quotation mark inside the cell"
		f.Do = `write inches as in, or put the cell in quotes and double the mark: "8"""`
	case e.Line+t.skipped > f.Line:
		f.Problem = fmt.Sprintf("the quotation mark that opens this cell is not closed up to line %d", e.Line+t.skipped)
		f.Do = "close it, or take it away"
	default:
		f.Problem = "the quotation marks of this cell don't match"
		f.Do = "put one mark at each end of the cell, and double those inside"
	}
	t.Faults.Add(f)
}

func (t *Table) header(i int) string {
	if i < len(t.Header) {
		return t.Header[i]
	}
	return ""
}

// fits checks that the current row belongs to the header above it.
func (t *Table) fits() bool {
	f := Fault{File: t.name, Line: t.line}
	named := len(t.Header)
	for named > 0 && t.Header[named-1] == "" {
		named--
	}
	switch {
	case conflictMarker(t.row[0]):
		f.Problem = "this is the mark of a merge conflict"
		f.Do = "decide which of the two versions holds, and delete the marks"
	case len(t.row) > len(t.Header): // be it empty cells: a decimal comma may have made them
		f.Problem = fmt.Sprintf("the row has %s", quantity.Count(len(t.row), "cell"))
		f.Expected = fmt.Sprintf("%d as in the header", len(t.Header))
		f.Do = "put a cell that holds the delimiter in quotes"
		if t.Delimiter == ',' {
			f.Do = "if the comma is a decimal mark, use ; between cells; if it belongs to a text, put that cell in quotes"
		}
	case len(t.row) < named:
		f.Problem = fmt.Sprintf("the row has %s", quantity.Count(len(t.row), "cell"))
		f.Expected = fmt.Sprintf("%d as in the header", named)
		f.Do = "write the delimiter for empty cells too"
		if t.line == t.text.tidy.line { // no end of line was met behind it
			f.Problem = fmt.Sprintf("the file ends inside this row: it has %s", quantity.Count(len(t.row), "cell"))
			f.Do = "complete the row or delete it"
		}
	default:
		return t.intact()
	}
	t.Faults.Add(f)
	return false
}

func conflictMarker(s string) bool {
	return slices.ContainsFunc([]string{"<<<<<<<", "=======", ">>>>>>>", "|||||||"}, func(mark string) bool { return strings.HasPrefix(s, mark) })
}

// intact reports cells whose characters were damaged, and cells in quotes that
// have swallowed rows.
func (t *Table) intact() bool {
	ok := true
	for i, cell := range t.row {
		if end, swallowed := t.swallows(cell); swallowed {
			t.Faults.Add(Fault{File: t.name, Line: t.line, Column: i + 1, Header: t.header(i),
				Problem: fmt.Sprintf("the quotation mark that opens this cell closes only on line %d, behind what looks like another row", end),
				Do:      "close it where the cell ends, or take it away"})
			ok = false
		}
		if t.text.tidy.damaged && strings.ContainsRune(cell, '\ufffd') {
			t.Refuse(i, cell, "characters in "+t.text.Encoding().String(), "save the file in one encoding, best UTF-8")
			ok = false
		}
		if t.text.tidy.ctrlZ && strings.ContainsRune(cell, 0x1a) {
			t.Refuse(i, cell, "no Ctrl-Z, the old mark of the end of a file, inside the table", "delete it, and check whether two files were joined")
			ok = false
		}
	}
	return ok
}

// swallows says whether a cell of several lines holds a line that looks like a
// row: it begins with a digit and has all delimiters.
func (t *Table) swallows(cell string) (end int, yes bool) {
	if strings.IndexByte(cell, '\n') < 0 {
		return 0, false
	}
	for _, line := range strings.Split(cell, "\n")[1:] {
		if line != "" && '0' <= line[0] && line[0] <= '9' && strings.Count(line, string(t.Delimiter)) >= len(t.Header)-1 && len(t.Header) > 1 {
			yes = true
		}
	}
	return t.line + strings.Count(cell, "\n"), yes
}

// Report adds a fault in column i of the current row. err is best a
// [quantity.Error].
func (t *Table) Report(i int, err error) {
	t.ReportAt(t.line, i, err)
}

// Refuse is Report with the words of a [quantity.Error]. It is false.
func (t *Table) Refuse(i int, read, expected, do string) bool {
	t.Report(i, &quantity.Error{Read: read, Expected: expected, Do: do})
	return false
}

// RefuseHeader is Refuse for column i of the header, -1 for all of it.
func (t *Table) RefuseHeader(i int, expected, do string) {
	read := strings.Join(t.Header, string(t.Delimiter))
	if i >= 0 {
		read = t.Header[i]
	}
	t.ReportAt(t.headerLine, i, &quantity.Error{Read: read, Expected: expected, Do: do})
}

// ReportAt adds a fault in column i (-1: the whole row) of the row that begins
// on line.
func (t *Table) ReportAt(line, i int, err error) {
	f := Fault{File: t.name, Line: line, Column: i + 1}
	if i >= 0 && line != t.headerLine {
		f.Header = t.header(i)
	}
	t.Faults.Add(f.describe(err))
}

// HeaderLine returns the line on which the header stands.
func (t *Table) HeaderLine() int { return t.headerLine }

// EncodingName returns the encoding when it is an unusual one, else "".
func (t *Table) EncodingName() string {
	switch e := t.text.Encoding(); e {
	case UTF16LE, UTF16BE, Windows1252:
		return e.String()
	}
	return ""
}
