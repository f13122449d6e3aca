package cells

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
)

// rows reads a table to its end: its rows, joined, or what is wrong.
func rows(text string) string {
	t, err := NewTable(strings.NewReader(text), "a.csv")
	if err != nil {
		return err.Error()
	}
	var list []string
	for t.Next() {
		list = append(list, fmt.Sprintf("%d:%s", t.Line(), strings.Join(t.Row(), "|")))
	}
	if err := t.Err(); err != nil {
		return err.Error()
	}
	return strings.Join(list, " ")
}

// Each limit of what is read as text, from both sides.
func TestLimitsOfText(t *testing.T) {
	line := func(n int) string { return "a,b\n1," + strings.Repeat("x", n-3) + ",\n" }
	for _, c := range []struct{ read, refused, says string }{
		{"a,b\n1," + strings.Repeat("x", 1<<20-2), "a,b\n1," + strings.Repeat("x", 1<<20-1), "a.csv:2: this line is longer than a million characters"},
		{"a,b\n1," + strings.Repeat("é", 1<<19-1), "a,b\n1," + strings.Repeat("é", 1<<19) + "\n", "a.csv:2: this line is longer than a million characters"}, // of two bytes each
		{"a,é\n1,ÿ", "a,é\xff\n1,2\n", "a.csv:1:2 (column B): read \"é<U+FFFD>\", expected characters in UTF-8"},
		{"a,b\n" + strings.Repeat("1,"+strings.Repeat("x", 1<<19)+"\n", 3), line(1<<20 + 1), "a.csv:2: this line is longer"},
		{"a,b\n1,\"" + strings.Repeat(strings.Repeat("x", 1<<19)+"\n", 20) + "\"\n", "a,b\n1,\"" + strings.Repeat(strings.Repeat("x", 1<<19)+"\n", 40), "is not closed up to line 34"},
		{"a,b\n1,2\x1a\x1a", "a,b\n1,\x1a2\n", "no Ctrl-Z"},
		{"a,b\n1,2\n" + strings.Repeat("\x1a", 500), "a,b\n1,2\n" + strings.Repeat("\x1a", 5000) + ",4\n", "no Ctrl-Z"},
		{"a,b\n1,é\n", "a,b\n1,é\n2,\xe9\n", "a.csv:3:2 (column B, \"b\")"},
		{"a,b\n1,é\n", "a,b\n1,é\ufffd\n", "characters in UTF-8"},
		{"\ufeffa,b\n1,2\n", "a,b\x00\n1,2\n", "a.csv:1: there is a byte of zero"},
		{"a,b\n1,2\n", "a,b\n1,2\n3,\x00", "a.csv:3: there is a byte of zero"},
		{"1,2", "1\x002\x00", "UTF-16 without its byte order mark"},
		{"1,2", "\x001\x002", "UTF-16 without its byte order mark"},
		{"\xff\xfea\x00\n\x001\x00", "PK\x03\x04abc", "this is a spreadsheet"},
		{"\xfe\xff\x00a\x00\n\x001", "\x1f\x8babc", "this is a compressed file"},
		{"a\n1", "\xd0\xcf\x11\xe0abc", "this is a spreadsheet"},
		{"a\n1", "%PDF-1.7", "this is a PDF"},
		{"sep=;\na;b\n1;2", "sep=|\na|b\n", "sep=, or sep=; or sep= and a tab"},
		{"a;b,c\n1;2\n", "a;b,c;d,e\n1;2,3;4,5\n", "the cells could be separated by comma or semicolon; say which in a first line such as sep=;"},
		{"\"a;b;c\",d\n1;2;3,4\n", "a;b\tc\n1;2\t3\n", "semicolon or tab"},
		{"# 1;2\na;b,c\n\n1;2\n", "a;b,c\n# 1\n1;2,3\n", "comma or semicolon"},
		{"a,b,\n1,2\n", "a,b,c\n1,2", "a.csv:2: the file ends inside this row: it has 2 cells"},
		{"a,b\n1,2\n" + strings.Repeat("#"+strings.Repeat("x", 1<<19)+"\n", 20) + "3,4\n", "a,b\n1,2\n" + strings.Repeat("#"+strings.Repeat("x", 1<<19)+"\n", 40) + "3,4\n", "a.csv:2: behind this row there are more than 16 million characters without another"},
		{"a,b,\n1,2,\n", "a,b,\n1\n", "the row has 1 cell, expected 2 as in the header; write the delimiter for empty cells too"},
		{"a,b\n1,2\n", "a,b\n1,2,\n", "the row has 3 cells, expected 2 as in the header; if the comma is a decimal mark"},
		{"a;b\n1;2\n", "a;b\n1;2;\n", "put a cell that holds the delimiter in quotes"},
		{"a,b\n1,<<<<<<<\n", "a,b\n<<<<<<< mine\n1,2\n", "a.csv:2: this is the mark of a merge conflict"},
		{"a,b\n1,\"x\n2 3\"\n", "a,b\n1,\"x\n2,3\"\n", "a.csv:2:2 (column B, \"b\"): the quotation mark that opens this cell closes only on line 3"},
		{"a,b\n\"1,x\",2\n", "a,b\n1,2\"\n", "a.csv:2:2 (column B, \"b\"): there is a quotation mark inside the cell"},
		{"a,b\n\"1\n\",2\n", "a,b\n\"1\n\",\"2\n3,4\n", "a.csv:3:2 (column B, \"b\"): the quotation mark that opens this cell is not closed up to line 4"},
		{"sep=,\na,b\n1,2\n", "sep=,\na,b\n1,\"2\n", "a.csv:3:2 (column B, \"b\"): the quotation marks of this cell don't match"},
		{"a,b\n1,\"x\"\n", "a,b\n1,\"x\"y\n", "don't match"},
		{"a,b,\n1,2\n3,4,5", "a,b,c\n1,2\n3,4,5", "a.csv:2: the row has 2 cells, expected 3 as in the header; write the delimiter"},
		{"a,b\n\"1,2\nx\",3\n", "a,b\n\"x\n1,2\",3\n", "closes only on line 3"},
		{"sep=,\na,b\n1,\"x\"\n", "sep=,\na,b\n1,\"2\n3,4\n", "a.csv:3:2 (column B, \"b\"): the quotation mark that opens this cell is not closed up to line 4"},
		{"a,b\n1,2\n", "# nothing\n", "only comments or empty lines"},
		{"a,b\n1,2\n", "\n", "only comments or empty lines"},
		{"a,b\n1,2\n", " ", "the file is empty"},
	} {
		if got := rows(c.read); strings.Contains(got, "a.csv") {
			t.Errorf("%.60q: %.200s", c.read, got)
		}
		if got := rows(c.refused); !strings.Contains(got, c.says) || strings.Count(got, "a.csv") != 1 {
			t.Errorf("%.60q: %.200s, want %q", c.refused, got, c.says)
		}
	}
	for text, want := range map[string]string{
		"a,b\n1,x\ufeffy\n":       "2:1|x\ufeffy",
		"a,b\n1,\x80\n":           "2:1|€", // Windows-1252, first and last of what is no ASCII
		"a,b\n1,\xff\x82\n":       "2:1|ÿ‚",
		"a\tb\n\t#2\n1\t2\n":      "2:|#2 3:1|2",
		"a,b\n #2,3\n1,2\n":       "3:1|2",
		"a,b\n\"1\n#2\",3\n1,2\n": "2:1\n#2|3 4:1|2",
		"sep=;\na;b\n1;2\n":       "3:1|2",
		"a,b\nMHz,-\n1,2\n":       "3:1|2",
		"a,b\nMHz,x\n1,2\n":       "2:MHz|x 3:1|2",
		"a\tb\tc\n1\t\t3\n":       "2:1||3",
		"a,b\n  1 ,\t2 \n":        "2:1|2",
	} {
		if got := rows(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A comment is handed out once, and none that is the cell of a row.
func TestCommentsOnce(t *testing.T) {
	table := must.Get(NewTable(strings.NewReader("#top\n # above\na\tb\n# c\td\n\t#2\n#e\t\"g\th\"\n1\t\"x\n#y\"\n#f\n\"2\n#z\"\t3\n#i\"\t\"j\n"), "a.csv")).In(t)
	var got []string
	for more := true; more; {
		more = table.Next()
		for _, x := range table.Comments() {
			got = append(got, fmt.Sprintf("%d:%s", x.Line, strings.Join(x.Cells, "|")))
		}
	}
	if above := table.Above(); strings.Join(got, " ") != "4:# c|d 6:#e|g\th 9:#f 12:#i\"|j" || strings.Join(table.Head(), "|") != "top|above" || above.Line != 2 || above.Cells[0] != "# above" {
		t.Errorf("%q below, %q above, the last %+v", got, table.Head(), above)
	}
}

// A new line ends as most lines do; of as many of two kinds, as those of Windows, then as those of Unix.
func TestEndsOfLines(t *testing.T) {
	for text, want := range map[string]string{
		"a\n1\n": "\n", "a\r\n1\r\n": "\r\n", "a\r1\r": "\r", "a\r\n1\n": "\n", "a\r1\n": "\n", "a\r\n1\r": "\r\n", "a\r\n1\r\n2\n": "\r\n", "a\r1\r2\n": "\r", "a\n1\n2\r": "\n", "a": "\n",
	} {
		table := must.Get(NewTable(strings.NewReader(text), "a.csv")).In(t)
		for table.Next() {
		}
		got := string(must.Get(table.AppendLine([]byte(text), "# z")).In(t))
		before := ""
		if !strings.HasSuffix(text, "\n") && !strings.HasSuffix(text, "\r") {
			before = want
		}
		if got != text+before+"# z"+want {
			t.Errorf("%q becomes %q", text, got)
		}
	}
	for _, text := range []string{"\xff\xfea\x00,\x00b\x00\n\x001\x00,\x002\x00\n\x00", "\xfe\xff\x00a\x00,\x00b\x00\n\x001\x00,\x002\x00\n", "a,b\n\xe9,2\n", "a,b\né,2\n\x1a"} {
		table := must.Get(NewTable(strings.NewReader(text), "a.csv")).In(t)
		for table.Next() {
		}
		longer := string(must.Get(table.Append([]byte(text), []string{"3", "4 \"é\", 5"})).In(t))
		if got := rows(longer); !strings.HasSuffix(got, ` 3:3|4 "é", 5`) || !strings.HasPrefix(longer, strings.TrimSuffix(text, "\x1a")) {
			t.Errorf("%q becomes %q", text, got)
		}
	}
}

// Faults come in the order of lines and columns, no more than 20 of them; the letters are those of spreadsheets.
func TestFaultsInOrder(t *testing.T) {
	for n, want := range map[int]string{1: "A", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA"} {
		if got := Letter(n); got != want {
			t.Errorf("column %d is %s, want %s", n, got, want)
		}
	}
	var f Faults
	for i := range 22 {
		f.Add(Fault{File: "a", Line: 30 - i, Column: 1 + i%2, Problem: "p"})
	}
	f.List[0].Line, f.List[1].Line = 5, 5
	f.List[0].Column = 3
	var got Faults
	if !errors.As(f.Err(), &got) || len(got.List) != 20 || got.More != 2 || got.List[0].Column != 2 || got.List[1].Column != 3 || got.List[2].Line != 11 {
		t.Errorf("%+v", got)
	}
	if text := got.Error(); strings.Count(text, "\n") != 20 || !strings.HasSuffix(text, "\nand 2 more") {
		t.Error(text)
	}
	if text := (Fault{Problem: ""}).describe(&quantity.Error{Read: " \u00a0", Expected: "x"}).Error(); text != ": the cell is empty, expected x" {
		t.Error(text)
	}
	table := must.Get(NewTable(strings.NewReader("a;b\n1;2\n3;4,5\n"), "a.csv")).In(t)
	table.Next()
	table.Next()
	if mark, err := table.Number("4,5"); mark != quantity.Comma || err != nil {
		t.Errorf("%c, %v", mark, err)
	}
	if point := must.Get(NewTable(strings.NewReader("a,b\n\"1,5\",2\n"), "a.csv")).In(t); point.Mark != quantity.Point || !point.Next() {
		t.Errorf("%c beside commas", point.Mark)
	} else if mark, err := point.Number("1,5"); mark != quantity.Point || err != nil { // which the reader of numbers refuses
		t.Errorf("%c, %v", mark, err)
	}
	for text, want := range map[string]quantity.Mark{".5": quantity.Point, ",5": quantity.Comma, "5.": quantity.Point, "5,": quantity.Comma, "5": 0} {
		first := must.Get(NewTable(strings.NewReader("a;b\n1;2\n"), "a.csv")).In(t)
		first.Next()
		if mark, err := first.Number(text); mark != want || err != nil || first.Mark != want {
			t.Errorf("%q: %c, %v, want %c", text, mark, err, want)
		}
	}
	const twice = "a.csv:2:2 (column B, \"b\"): there is a quotation mark inside the cell; write inches as in, or put the cell in quotes and double the mark: \"8\"\"\""
	if got := rows("a,b\n1,8\"\n2,3\n4,9\"\n5\n"); got != twice+"\n"+strings.Replace(twice, ":2:", ":4:", 1)+"\na.csv:5: the row has 1 cell, expected 2 as in the header; write the delimiter for empty cells too" {
		t.Errorf("faults of three rows: %s", got)
	}
	for text, says := range map[string]string{"4.5": `the same decimal mark as in line 3 ("4,5")`, "1.234,5": "a number with one decimal mark"} {
		if _, err := table.Number(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// What is refused stands where it was read: a cell of the row, a header, or all headers.
func TestRefused(t *testing.T) {
	table := must.Get(NewTable(strings.NewReader("# x\na;b\n1;2\n"), "a.csv")).In(t)
	table.Next()
	if table.Refuse(1, "2", "3", "do") {
		t.Error("a refusal is true")
	}
	table.RefuseHeader(1, "c", "")
	table.RefuseHeader(-1, "d", "do")
	const want = "a.csv:2: read \"a;b\", expected d; do\na.csv:2:2 (column B): read \"b\", expected c\na.csv:3:2 (column B, \"b\"): read \"2\", expected 3; do"
	if err := table.Err(); err == nil || err.Error() != want {
		t.Error(err)
	}
}
