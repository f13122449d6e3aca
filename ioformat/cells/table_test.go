package cells

import (
	"bytes"
	"errors"
	"io"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"fitcoil/internal/must"
	"fitcoil/ioformat/quantity"
)

// all reads every row of a table.
func all(t *testing.T, r io.Reader) (*Table, [][]string, []int) {
	t.Helper()
	table := must.Get(NewTable(r, "t.csv")).In(t)
	var rows [][]string
	var lines []int
	for table.Next() {
		rows = append(rows, append([]string(nil), table.Row()...))
		lines = append(lines, table.Line())
	}
	return table, rows, lines
}

func TestLinesAreCounted(t *testing.T) {
	const text = "# comment\n\na,b\n1,\"two\nlines\"\n# comment\n\n2,x\n,\n  # another\n\t# a third\n3,y"
	for name, s := range map[string]string{
		"LF": text, "CRLF": strings.ReplaceAll(text, "\n", "\r\n"), "CR": strings.ReplaceAll(text, "\n", "\r"),
	} {
		// byte by byte too: the two of CRLF may come in two pieces
		for _, r := range []io.Reader{strings.NewReader(s), iotest.OneByteReader(strings.NewReader(s))} {
			table, rows, lines := all(t, r)
			if err := table.Err(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if want := [][]string{{"1", "two\nlines"}, {"2", "x"}, {"3", "y"}}; !reflect.DeepEqual(rows, want) {
				t.Errorf("%s: %q", name, rows)
			}
			if want := []int{4, 8, 12}; !reflect.DeepEqual(lines, want) {
				t.Errorf("%s: lines %v, want %v", name, lines, want)
			}
		}
	}
}

// TestEncodings writes one text with x/text and reads it back, a byte at a time
// as well, since a character may be cut anywhere.
func TestEncodings(t *testing.T) {
	const text = "f [MHz],f ± [µs]\n1.5,é½\n"
	cp1252 := must.Get(charmap.Windows1252.NewEncoder().String(text)).In(t)
	le, _ := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().String(text)
	be, _ := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().String(text)
	for _, c := range []struct {
		content string
		want    Encoding
	}{{text, UTF8}, {"\ufeff" + text, UTF8}, {cp1252, Windows1252}, {le, UTF16LE}, {be, UTF16BE}} {
		for _, r := range []io.Reader{strings.NewReader(c.content), iotest.OneByteReader(strings.NewReader(c.content)), iotest.DataErrReader(strings.NewReader(c.content))} {
			table, rows, _ := all(t, r)
			if err := table.Err(); err != nil {
				t.Errorf("%v: %v", c.want, err)
			}
			if got := table.text.Encoding(); got != c.want || table.Header[0] != "f [MHz]" || table.Header[1] != "f ± [µs]" || rows[0][1] != "é½" {
				t.Errorf("%v was read as %v: %q, %q", c.want, got, table.Header, rows)
			}
		}
	}
}

func TestDelimiter(t *testing.T) {
	for _, c := range []struct {
		text string
		want rune // 0: refused
	}{
		{"a,b\n1,2\n", ','},
		{"a;b\n1,5;2\n", ';'},
		{"a\tb\n1,5\t2\n", '\t'},
		{"a\n1\n", ','},
		{"a;\"b, c\";d\n1;2;3\n", ';'},           // a comma in quotes is text
		{"\"a\";b\n\"1\";2\n", ';'},              // what stands behind quotes is none
		{"\"a,a\";b\n\"1,1\";2\n", ';'},          // in the first cell
		{"a;\"b,b\"\n1;\"2,2\"\n", ';'},          // and in the last
		{"a;b,c\n1;\"2,3\"\n", ';'},              // in the rows alone
		{"a;b, c\n1;2\n", ';'},                   // a comma in the header alone
		{"a;b,c\n1;2,3\n", 0},                    // either would do
		{"a;b,c\n", 0},                           // nothing to tell by
		{"sep=;\na;b,c\n1;2,3\n", ';'},           // until it is said
		{"\ufeffsep=;\r\na;b\r\n1;2\r\n", ';'},   // as spreadsheets do
		{"SEP=\t\na\tb,c\n1\t2\n", '\t'},         //
		{"# a;b;c, with 1,2,3\na,b\n1,2\n", ','}, // comments don't count
		{"sep=|\na|b\n", 0},
	} {
		table, err := NewTable(strings.NewReader(c.text), "t.csv")
		switch {
		case c.want == 0:
			if _, ok := errors.AsType[Faults](err); !ok {
				t.Errorf("%q was read: %v", c.text, err)
			}
		case err != nil:
			t.Errorf("%q: %v", c.text, err)
		case table.Delimiter != c.want:
			t.Errorf("%q: delimiter %q, want %q", c.text, table.Delimiter, c.want)
		}
	}
}

func TestDecimalMark(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string // the mark that each number is read with, or "refused"
	}{
		{"a,b\n1.5,2\n", []string{".", "."}},
		{"a;b\n1;1,5\n2;3\n", []string{"", ",", ",", ","}},
		{"a;b\n1.5;2\n2,5;3\n", []string{".", ".", "refused", "."}},
		{"a;b\n1.234,5;2\n", []string{"refused", ""}},
	} {
		table := must.Get(NewTable(strings.NewReader(c.text), "t.csv")).In(t)
		var got []string
		for table.Next() {
			for _, cell := range table.Row() {
				mark, err := table.Number(cell)
				s := "refused"
				if err == nil {
					s = strings.Trim(string(rune(mark)), "\x00")
				}
				got = append(got, s)
			}
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}

func TestSplitUnit(t *testing.T) {
	for header, want := range map[string][2]string{
		"f [MHz]":               {"f", "MHz"},
		"f[MHz]":                {"f", "MHz"},
		"Frequency (kHz)":       {"frequency", "kHz"},
		"frequency_MHz":         {"frequency", "MHz"},
		"frequency_±_kHz":       {"frequency ±", "kHz"},
		"f/MHz":                 {"f", "MHz"},
		"f +/- [kHz]":           {"f ±", "kHz"},
		"f+/-/kHz":              {"f ±", "kHz"},
		"f (kHz) ±":             {"f ±", "kHz"},
		"quality_factor":        {"quality factor", ""},
		"quality factor":        {"quality factor", ""},
		"covered_%":             {"covered", "%"},
		"hand_in":               {"hand", "in"},
		"frequency_mhz":         {"frequency", "mhz"}, // in doubt, but meant as a unit
		" QUALITY   Factor ":    {"quality factor", ""},
		"±":                     {"±", ""},
		"on/off":                {"on/off", ""},
		"distance (from above)": {"distance", "from above"},
	} {
		name, unit := SplitUnit(header)
		if name != want[0] || unit != want[1] {
			t.Errorf("%q: %q, %q, want %q", header, name, unit, want)
		}
	}
}

func TestUnitRow(t *testing.T) {
	for _, c := range []struct {
		row  []string
		want bool
	}{
		{[]string{"MHz", "", "pF"}, true},
		{[]string{"[MHz]", "(%)", "-"}, true},
		{[]string{"mhz", "", ""}, true},
		{[]string{"1.5", "", "pF"}, false},
		{[]string{"", "", ""}, false},
		{[]string{"-", "", ""}, false},
		{[]string{"MHz", "rod", ""}, false},
	} {
		if got := unitRow(c.row); got != c.want {
			t.Errorf("%q: %v", c.row, got)
		}
	}
}

func TestLetter(t *testing.T) {
	for n, want := range map[int]string{1: "A", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA"} {
		if got := Letter(n); got != want {
			t.Errorf("column %d is %s, want %s", n, got, want)
		}
	}
}

func TestFault(t *testing.T) {
	f := Fault{File: "log.csv", Line: 7, Column: 3, Header: "frequency [MHz]"}.describe(&quantity.Error{
		Read: "1,234", Expected: "a number in MHz", Do: "if the comma is a decimal mark, use ; between cells"})
	want := `log.csv:7:3 (column C, "frequency [MHz]"): read "1,234", expected a number in MHz; if the comma is a decimal mark, use ; between cells`
	if f.Error() != want {
		t.Errorf("%s\nwant %s", f.Error(), want)
	}
	var faults Faults
	for i := range 23 {
		faults.Add(Fault{File: "log.csv", Line: 100 - i, Problem: "p"})
	}
	lines := strings.Split(faults.Err().Error(), "\n")
	if len(lines) != 21 || lines[0] != "log.csv:81: p" || lines[20] != "and 3 more" {
		t.Errorf("%q", lines)
	}
}

func FuzzTable(f *testing.F) {
	for _, s := range []string{"a,b\n1,2\n", "sep=;\na;b\n", "\xff\xfea\x00,\x00", "a\t\"b\nc\"\r\n1\t2\x1a", "\xb5,\xb1\r\r\n", "a,b\n\"1,2\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		read := func(r io.Reader) (rows [][]string, err error) {
			table, err := NewTable(r, "t.csv")
			if err != nil {
				return nil, err
			}
			for table.Next() {
				if len(table.Row()) > len(table.Header) {
					t.Errorf("row %q under %q", table.Row(), table.Header)
				}
				rows = append(rows, append([]string(nil), table.Row()...))
			}
			return rows, table.Err()
		}
		rows, err := read(bytes.NewReader(content))
		var faults Faults
		if err != nil && !errors.As(err, &faults) {
			t.Errorf("not a list of faults: %v", err)
		}
		slowly, errSlowly := read(iotest.OneByteReader(bytes.NewReader(content)))
		if !reflect.DeepEqual(rows, slowly) || (err == nil) != (errSlowly == nil) || err != nil && err.Error() != errSlowly.Error() {
			t.Errorf("read in one go: %q, %v; byte by byte: %q, %v", rows, err, slowly, errSlowly)
		}
	})
}

// A row that doesn't fit its header says how many cells it has, and what to do about it.
func TestRowsThatDoNotFit(t *testing.T) {
	for text, words := range map[string][]string{
		"a,b\n1,2,3\n4,5\n":   {"t.csv:2", "3 cells", "expected 2", "decimal mark, use ;", "quotes"},
		"a;b\n1;2;3\n4;5\n":   {"t.csv:2", "3 cells", "expected 2", "delimiter in quotes"},
		"a,b,c\n1,2\n4,5,6\n": {"t.csv:2", "2 cells", "expected 3", "empty cells too"},
		"a,b,c\n1,2,3\n4,5":   {"t.csv:3", "ends inside", "2 cells", "expected 3", "complete the row or delete it"},
	} {
		table, _, _ := all(t, strings.NewReader(text))
		err := table.Err()
		if err == nil {
			t.Errorf("%q is read", text)
			continue
		}
		rest := err.Error()
		for _, w := range words {
			_, behind, ok := strings.Cut(rest, w)
			if !ok {
				t.Errorf("%q: %v: lacks %q in this place", text, err, w)
			}
			rest = behind
		}
	}
}
