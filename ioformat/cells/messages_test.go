package cells

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
)

// errorOf reads all of a text.
func errorOf(text string) string {
	table, err := NewTable(strings.NewReader(text), "t.csv")
	if err != nil {
		return err.Error()
	}
	for table.Next() {
	}
	if err := table.Err(); err != nil {
		return err.Error()
	}
	return ""
}

// What is wrong with a file is told with its place and with what to do.
func TestFaultsWordForWord(t *testing.T) {
	const export = "; open it in the program that wrote it and save it as CSV (UTF-8)"
	const inside = `; write inches as in, or put the cell in quotes and double the mark: "8"""`
	long := strings.Repeat("x", 1<<20+1)
	for _, c := range []struct{ text, want string }{
		{"", "t.csv: the file is empty, expected a header, and rows below it"}, {"\ufeff", "t.csv: the file is empty, expected a header, and rows below it"}, {"\n\n", "t.csv: the file holds no rows, only comments or empty lines, expected a header, and rows below it"}, {"# a\n", "t.csv: the file holds no rows, only comments or empty lines, expected a header, and rows below it"},
		{" , \n", "t.csv: the file holds no rows, only comments or empty lines, expected a header, and rows below it"},
		{"sep=|\na|b\n", `t.csv:1: read "sep=|", expected sep=, or sep=; or sep= and a tab`},
		{"a;b,c\n1;2,3\n", "t.csv:1: the cells could be separated by comma or semicolon; say which in a first line such as sep=;"}, {"a\tb,c\n1\t2,3\n", "t.csv:1: the cells could be separated by comma or tab; say which in a first line such as sep=\t"},
		{"a,b\n1,8\"\n2,3\n", `t.csv:2:2 (column B, "b"): there is a quotation mark inside the cell` + inside}, {"a,b\n1,\"x\"y\n2,3\n", `t.csv:2:2 (column B, "b"): the quotation marks of this cell don't match; put one mark at each end of the cell, and double those inside`},
		{"a,b\n1,\"x\n2,3\n", `t.csv:2:2 (column B, "b"): the quotation mark that opens this cell is not closed up to line 3; close it, or take it away`}, {"sep=,\na,b\n\"1\n2\",8\"\n", `t.csv:4:2 (column B, "b"): there is a quotation mark inside the cell` + inside},
		{"a,\"b\n", "t.csv:1:2 (column B): the quotation marks of this cell don't match; put one mark at each end of the cell, and double those inside"},
		{"a,b\n<<<<<<< ours\n1,2\n=======\n>>>>>>> theirs\n|||||||\n", "t.csv:2: this is the mark of a merge conflict; decide which of the two versions holds, and delete the marks\nt.csv:4: this is the mark of a merge conflict; decide which of the two versions holds, and delete the marks\n" +
			"t.csv:5: this is the mark of a merge conflict; decide which of the two versions holds, and delete the marks\nt.csv:6: this is the mark of a merge conflict; decide which of the two versions holds, and delete the marks"},
		{"a,b\n1,2,3\n", "t.csv:2: the row has 3 cells, expected 2 as in the header; if the comma is a decimal mark, use ; between cells; if it belongs to a text, put that cell in quotes"}, {"a;b\n1;2;\n", "t.csv:2: the row has 3 cells, expected 2 as in the header; put a cell that holds the delimiter in quotes"},
		{"a,b\n1\n2,3\n", "t.csv:2: the row has 1 cell, expected 2 as in the header; write the delimiter for empty cells too"}, {"a,b,c\n1,2,3\n4,5", "t.csv:3: the file ends inside this row: it has 2 cells, expected 3 as in the header; complete the row or delete it"},
		{"a,b,c\n1,2,3\n4,é", "t.csv:3: the file ends inside this row: it has 2 cells, expected 3 as in the header; complete the row or delete it"},
		{"a,b,c\n1,2,3\n4,é\n", "t.csv:3: the row has 2 cells, expected 3 as in the header; write the delimiter for empty cells too"},
		{"a,b,c\n1,2,3\n4,5\n", "t.csv:3: the row has 2 cells, expected 3 as in the header; write the delimiter for empty cells too"},
		{"a,b,\n1,2\n1\n", "t.csv:3: the row has 1 cell, expected 2 as in the header; write the delimiter for empty cells too"},
		{"a,b\n1,\"x\n2,3\"\n", `t.csv:2:2 (column B, "b"): the quotation mark that opens this cell closes only on line 3, behind what looks like another row; close it where the cell ends, or take it away`},
		{"a,b\n1,\"x\ny\"\n2,\"x\n3\"\n", ""}, {"a\n\"x\n2\"\n", ""},
		{"a,µ\n1,x\xff\n", `t.csv:2:2 (column B, "µ"): read "x<U+FFFD>", expected characters in UTF-8; save the file in one encoding, best UTF-8`},
		{"a,b\n1,x\ufffd\n2,é\n", `t.csv:2:2 (column B, "b"): read "x<U+FFFD>", expected characters in UTF-8; save the file in one encoding, best UTF-8`}, // written so by a program before
		{"a,b\n1,x\x1ay\n2,3\n", `t.csv:2:2 (column B, "b"): read "x<U+001A>y", expected no Ctrl-Z, the old mark of the end of a file, inside the table; delete it, and check whether two files were joined`}, {"a,b\n1,2\n\x1a\x1a", ""},
		{"a,b\n1,x\x00\n", "t.csv:2: there is a byte of zero, which no text has; check that this is the right file, or save it anew"}, {"a,b\n" + long + "\n", "t.csv:2: this line is longer than a million characters; check that this is the right file"},
		{"PK\x03\x04xx", "t.csv: this is a spreadsheet, not a text file" + export}, {"\xd0\xcf\x11\xe0", "t.csv: this is a spreadsheet, not a text file" + export}, {"\x1f\x8bxx", "t.csv: this is a compressed file; unpack it first"}, {"%PDF-1.3", "t.csv: this is a PDF, not a text file" + export},
		{"a\x00,\x00b\x00\n\x00", "t.csv: this looks like UTF-16 without its byte order mark; save it as UTF-8"}, {"\x00a\x00,\x00b\x00\n", "t.csv: this looks like UTF-16 without its byte order mark; save it as UTF-8"}, {"ab\x00,c\n", "t.csv:1: there is a byte of zero, which no text has; check that this is the right file, or save it anew"},
	} {
		if got := errorOf(c.text); got != c.want {
			t.Errorf("%.60q: %s\nwant %s", c.text, got, c.want)
		}
	}
	if got := errorOf("a,b\n" + strings.Repeat("1\n", 25)); strings.Count(got, "\n") != 20 || !strings.HasSuffix(got, "\nand 5 more") {
		t.Errorf("%s", got)
	}
	for _, head := range []string{"PK\x03\x04xx", "a,b\n1,x\x00\n"} { // what a caller says around it changes nothing
		text, err := NewText(strings.NewReader(head))
		if err == nil {
			_, err = io.ReadAll(text)
		}
		want := Fault{Line: 0, Problem: "this is a spreadsheet, not a text file", Do: export[2:]}
		if text != nil {
			want = Fault{Line: 2, Problem: "there is a byte of zero, which no text has", Do: "check that this is the right file, or save it anew"}
		}
		for _, e := range []error{err, fmt.Errorf("around: %w", err)} {
			if f, ok := Damage(e); !ok || f != want {
				t.Errorf("%v: %+v, %v", e, f, ok)
			}
		}
	}
	if f, ok := Damage(io.ErrUnexpectedEOF); ok || f != (Fault{}) {
		t.Errorf("%+v", f)
	}
	broken := errors.New("broken")
	if _, err := NewTable(iotest.ErrReader(broken), "t.csv"); !errors.Is(err, broken) || err.Error() != "t.csv: broken" {
		t.Error(err)
	}
	table, err := NewTable(io.MultiReader(strings.NewReader("a,b\n1,2\n"), iotest.ErrReader(broken)), "t.csv")
	for err == nil && table.Next() {
	}
	if err == nil {
		err = table.Err()
	}
	if !errors.Is(err, broken) {
		t.Error(err)
	}
	endless := io.MultiReader(strings.NewReader("a,b\n1,2\n"), bufio.NewReaderSize(io.LimitReader(remarks{}, 1<<25), 1<<16))
	table, err = NewTable(endless, "t.csv")
	for err == nil && table.Next() {
	}
	if err != nil || table.Err() == nil || table.Err().Error() != "t.csv:2: behind this row there are more than 16 million characters without another; check that this is the right file" {
		t.Errorf("%v, %v", err, table.Err())
	}
}

// remarks are comments without an end.
type remarks struct{}

func (remarks) Read(p []byte) (int, error) {
	line := "#" + strings.Repeat(" ", 1022) + "\n"
	n := 0
	for len(p)-n >= len(line) {
		n += copy(p[n:], line)
	}
	return n, nil
}

// A number that contradicts the decimal mark of the file says which line showed it.
func TestMarksWordForWord(t *testing.T) {
	table, err := NewTable(strings.NewReader("a;b\n1;2\n1,5;2\n2.5;3\nx;1.234,5\n;\n"), "t.csv")
	if err != nil {
		t.Fatal(err)
	}
	var values []float64
	for table.Next() {
		for i := range 2 {
			if q, ok := table.Quantity(i, quantity.Form{}); ok {
				values = append(values, q.Value)
			}
		}
	}
	want := `t.csv:4:1 (column A, "a"): read "2.5", expected the same decimal mark as in line 3 ("1,5"); use one mark in the whole file
t.csv:5:1 (column A, "a"): read "x", expected a number
t.csv:5:2 (column B, "b"): read "1.234,5", expected a number with one decimal mark; write the digits without marks between them`
	if got := table.Err(); got == nil || got.Error() != want || !slices.Equal(values, []float64{1, 2, 1.5, 2, 3}) {
		t.Errorf("%v\n%v", got, values)
	}
	table, err = NewTable(strings.NewReader("f,g\nMHz,[pF]\n1,\n"), "t.csv")
	if err != nil || !table.Next() || table.Line() != 3 || table.HeaderLine() != 1 || table.Unit(0) != "MHz" || table.Unit(1) != "pF" || table.Unit(2) != "" {
		t.Errorf("%v, %+v", err, table)
	}
	if _, ok := table.Quantity(1, quantity.Form{}); ok || table.Err().Error() != `t.csv:3:2 (column B, "g"): the cell is empty, expected a number` {
		t.Error(table.Err())
	}
	table.Faults = Faults{}
	table.ReportAt(1, 0, errors.New("odd"))
	table.ReportAt(3, -1, &quantity.Error{Read: "x", Expected: "y", Do: "z"})
	if got := table.Err().Error(); got != "t.csv:1:1 (column A): odd\nt.csv:3: read \"x\", expected y; z" {
		t.Error(got)
	}
}

// A row is appended in the delimiter, the encoding and the ends of line that a file has.
func TestAppendKeepsTheFile(t *testing.T) {
	encode := func(text string, e interface{ String(string) (string, error) }) string {
		return must.Get(e.String(text)).In(t)
	}
	le, be := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), unicode.UTF16(unicode.BigEndian, unicode.UseBOM)
	for _, c := range []struct{ before, after string }{
		{"a,b\n1,2\n", "a,b\n1,2\nµ,\"x,y\"\n"}, {"a,b\n1,2", "a,b\n1,2\nµ,\"x,y\"\n"}, {"a,b\n1,é", "a,b\n1,é\nµ,\"x,y\"\n"}, {"a,b\n1,é\n", "a,b\n1,é\nµ,\"x,y\"\n"}, {"a;b\r\n1;2\r\n", "a;b\r\n1;2\r\nµ;x,y\r\n"}, {"a;b\r1;2\r", "a;b\r1;2\rµ;x,y\r"}, {"a\tb\n1\t2\n\x1a", "a\tb\n1\t2\nµ\tx,y\n"}, {"a;b\r\n1;2\n3;4\n", "a;b\r\n1;2\n3;4\nµ;x,y\n"}, {"a;b\r\n1;2\r\n3;4\n", "a;b\r\n1;2\r\n3;4\nµ;x,y\r\n"},
		{"a;b\r1;2\r\n3;4\r\n", "a;b\r1;2\r\n3;4\r\nµ;x,y\r\n"}, {"a;b\r1;2\r3;4\n", "a;b\r1;2\r3;4\nµ;x,y\r"},
		{encode("a;µ\n1;2\n", charmap.Windows1252.NewEncoder()), encode("a;µ\n1;2\nµ;x,y\n", charmap.Windows1252.NewEncoder())},
		{encode("a;b\n1;2\n", le.NewEncoder()), encode("a;b\n1;2\nµ;x,y\n", le.NewEncoder())}, {encode("a;b\n1;2\n", be.NewEncoder()), encode("a;b\n1;2\nµ;x,y\n", be.NewEncoder())},
	} {
		table, _, _ := all(t, strings.NewReader(c.before))
		after, err := table.Append([]byte(c.before), []string{"µ", "x,y"})
		if err != nil || string(after) != c.after {
			t.Errorf("%q: %q, %v, want %q", c.before, after, err, c.after)
		}
	}
	table, _, _ := all(t, strings.NewReader("a;\xb5\n1;2"))
	if _, err := table.Append([]byte("x"), []string{"灯"}); err == nil || err.Error() != "the file is in Windows-1252, which cannot write all characters of the new row; save it as UTF-8 first" {
		t.Error(err)
	}
	if after, err := table.AppendLine([]byte("a;\xb5\n1;2"), "# µ"); err != nil || string(after) != "a;\xb5\n1;2\n# \xb5\n" {
		t.Errorf("%q, %v", after, err)
	}
	table, _, _ = all(t, strings.NewReader("a,b\n1,2\n"))
	if after, err := table.AppendLine([]byte("a,b\n1,2\n"), "# x"); err != nil || string(after) != "a,b\n1,2\n# x\n" {
		t.Errorf("%q, %v", after, err)
	}
	for text, want := range map[string]string{"a,b\n1,2\n": "", "a,µ\n": "", "a;\xb5\n1;2\n": "Windows-1252", encode("a\n", le.NewEncoder()): "UTF-16", encode("a\n", be.NewEncoder()): "UTF-16"} {
		if table, _, _ := all(t, strings.NewReader(text)); table.EncodingName() != want {
			t.Errorf("%q: %q", text, table.EncodingName())
		}
	}
	for e, want := range map[Encoding]string{ASCII: "ASCII", UTF8: "UTF-8", UTF16LE: "UTF-16", UTF16BE: "UTF-16", Windows1252: "Windows-1252"} {
		if e.String() != want {
			t.Errorf("%s", e)
		}
	}
	for d, want := range map[rune]string{',': "comma", ';': "semicolon", '\t': "tab"} {
		if got := (Dialect{Delimiter: d}).DelimiterName(); got != want {
			t.Errorf("%q is %s", d, got)
		}
	}
}

// Comments are handed out once, with their lines, those above the header apart; what looks like one
// inside of a cell is none.
func TestComments(t *testing.T) {
	const text = "# one\n#  two ##\n\na,b\n# above 1, x\n1,\"in\n# side\"\n  # behind, y\n\t# z\n2,3\n# last"
	// a # further on in a row, behind a character that is not ASCII, makes none of it, wherever the file is cut
	for row, want := range map[string]string{"\"#2\",µ #5": "#2|µ #5", "\"#2\",µ,": "#2|µ", "\" #2\",\tµ#": "#2|µ#", "x,µ# y": "x|µ# y", " #2,µ #5": ""} {
		for _, r := range []io.Reader{strings.NewReader("a,b,\n" + row + "\n"), iotest.OneByteReader(strings.NewReader("a,b,\n" + row + "\n"))} {
			table, rows, _ := all(t, r)
			if want == "" && (len(rows) > 0 || len(table.Comments()) != 1) || want != "" && (len(rows) != 1 || strings.Trim(strings.Join(rows[0], "|"), "|") != want) {
				t.Errorf("%q is read as %q", row, rows)
			}
		}
	}
	for _, r := range []io.Reader{strings.NewReader(text), iotest.OneByteReader(strings.NewReader(text))} {
		table := must.Get(NewTable(r, "t.csv")).In(t)
		if got := table.Head(); !slices.Equal(got, []string{"one", "two ##"}) {
			t.Errorf("%q", got)
		}
		if above := table.Above(); above.Line != 2 || !slices.Equal(above.Cells, []string{"#  two ##"}) {
			t.Errorf("%+v", above)
		}
		var got []string
		for table.Next() {
			for _, c := range table.Comments() {
				got = append(got, fmt.Sprintf("before %d: %d %q", table.Line(), c.Line, c.Cells))
			}
		}
		for _, c := range table.Comments() {
			got = append(got, fmt.Sprintf("at the end: %d %q", c.Line, c.Cells))
		}
		want := []string{`before 6: 5 ["# above 1" "x"]`, `before 10: 8 ["# behind" "y"]`, `before 10: 9 ["# z"]`, `at the end: 11 ["# last"]`}
		if !slices.Equal(got, want) {
			t.Errorf("%q\nwant %q, %v", got, want, table.Err())
		}
		if more := table.Comments(); more != nil {
			t.Errorf("twice: %v", more)
		}
	}
	for _, r := range []io.Reader{strings.NewReader("# é, ü\na\n1\n"), iotest.OneByteReader(strings.NewReader("# é, ü\na\n1\n"))} {
		if got := must.Get(NewTable(r, "t.csv")).In(t).Head(); !slices.Equal(got, []string{"é, ü"}) {
			t.Errorf("%q", got)
		}
	}
	table := must.Get(NewTable(strings.NewReader("# one, two\na\n1\n"), "t.csv")).In(t)
	if above := table.Above(); above.Line != 1 || !slices.Equal(above.Cells, []string{"# one", "two"}) {
		t.Errorf("%+v", above)
	}
	table, _, _ = all(t, strings.NewReader("a\n1\n"))
	if above := table.Above(); above.Line != 0 || above.Cells != nil || table.Head() != nil {
		t.Errorf("%+v", above)
	}
	long := "#" + strings.Repeat("x", 2000)
	table, _, _ = all(t, strings.NewReader(strings.Repeat(long+"\n", 150)+"a\n1\n"))
	if h := table.Head(); len(h) != 100 || len(h[0]) != 1023 || table.Above().Line != 150 {
		t.Errorf("%d comments of %d letters", len(h), len(h[0]))
	}
	table, _, _ = all(t, strings.NewReader("a\n"+strings.Repeat("# x\n", 5000)+"1\n"))
	if n := len(table.Comments()); n > 4096 || n < 2048 {
		t.Errorf("%d comments are kept", n)
	}
}

// Rows may be looked at before they are read, and their lines stay right.
func TestPeekAhead(t *testing.T) {
	table := must.Get(NewTable(strings.NewReader("a,b\n1,2\n3\n4,5\n6,7\n"), "t.csv")).In(t)
	if got := fmt.Sprint(table.Peek(2)); got != "[[1 2] [3]]" || table.Line() != 1 {
		t.Errorf("%s in line %d", got, table.Line())
	}
	if got := fmt.Sprint(table.Peek(1)); got != "[[1 2]]" {
		t.Error(got)
	}
	var lines []int
	for table.Next() {
		lines = append(lines, table.Line())
		if table.Line() == 2 {
			if got := fmt.Sprint(table.Peek(9), table.Row(), table.Cell(1)); got != "[[3] [4 5] [6 7]] [1 2]2" {
				t.Error(got)
			}
		}
	}
	if !slices.Equal(lines, []int{2, 4, 5}) || table.Err().Error() != "t.csv:3: the row has 1 cell, expected 2 as in the header; write the delimiter for empty cells too" {
		t.Errorf("%v, %v", lines, table.Err())
	}
	// A guess by the first lines leaves out the one that the sample has cut.
	cut := "a;b\n" + strings.Repeat("1;2\n", 1<<13-2) + "1,5;" + strings.Repeat("2", 50) + "\n"
	table, rows, _ := all(t, strings.NewReader(cut))
	if table.Delimiter != ';' || len(rows) != 1<<13-1 || table.Err() != nil {
		t.Errorf("%q, %d rows, %v", table.Delimiter, len(rows), table.Err())
	}
	if got := sampleLines("a\n# x\n\nb\nc", false); !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("%q", got)
	}
	if got := sampleLines("a\nb", true); !slices.Equal(got, []string{"a", "b"}) {
		t.Errorf("%q", got)
	}
	if got := sampleLines("a", false); !slices.Equal(got, []string{"a"}) {
		t.Errorf("%q", got)
	}
	for line, want := range map[string]string{"sep=;": ";", `"sep=,"`: ",", "SEP=\t\r": "\t", "sep=": "", "sepx;": "", "": ""} {
		if d, ok := sepLine(line); d != want || ok != (want != "") {
			t.Errorf("%q: %q, %v", line, d, ok)
		}
	}
	for header, want := range map[string][2]string{"f -/+ [kHz]": {"f ±", "kHz"}, "f +- (kHz)": {"f ±", "kHz"}, "a]b[c": {"a]b[c", ""}, "a_b/MHz": {"a b", "MHz"}, "a/b_MHz": {"a/b", "MHz"}, "MHz/a": {"mhz/a", ""}, "added±[pF]": {"added ±", "pF"}, "/MHz": {"", "MHz"}, "_pF": {"", "pF"}, "[MHz]": {"", "MHz"}, "(MHz) f": {"f", "MHz"}} {
		if name, unit := SplitUnit(header); name != want[0] || unit != want[1] {
			t.Errorf("%q: %q, %q", header, name, unit)
		}
	}
	var b bytes.Buffer
	if _, err := io.Copy(&b, iotest.OneByteReader(strings.NewReader(""))); err != nil {
		t.Error(err)
	}
}
