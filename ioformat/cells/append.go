package cells

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/unicode"
)

// Append returns content, from which t was read to its end, with one more row:
// in its delimiter, encoding and ends of line. It fails when a cell holds a
// character that the encoding lacks.
func (t *Table) Append(content []byte, row []string) ([]byte, error) {
	return t.AppendLine(content, Join(row, t.Delimiter))
}

// Join returns a row as a line, without its end.
func Join(row []string, delimiter rune) string {
	var line strings.Builder
	w := csv.NewWriter(&line)
	w.Comma = delimiter
	_ = w.WriteAll([][]string{row}) // a Builder takes all, and the delimiter was read before
	return strings.TrimSuffix(line.String(), "\n")
}

// AppendLine is Append for a line of text, such as a comment.
func (t *Table) AppendLine(content []byte, text string) ([]byte, error) {
	text += "\n"
	if !t.text.tidy.ended {
		text = "\n" + text
	}
	encoded, err := t.encoder().String(strings.ReplaceAll(text, "\n", t.lineEnd()))
	if err != nil {
		return nil, fmt.Errorf("the file is in %s, which cannot write all characters of the new row; save it as UTF-8 first", t.text.Encoding())
	}
	whole := bytes.TrimRight(content, "\x1a") // the row would stand behind the end of the file
	return append(bytes.Clone(whole), encoded...), nil
}

// lineEnd returns what most lines end with.
func (t *Table) lineEnd() string {
	switch y := t.text.tidy; {
	case y.crlf > y.lf && y.crlf >= y.cr:
		return "\r\n"
	case y.cr > y.lf:
		return "\r"
	}
	return "\n"
}

func (t *Table) encoder() *encoding.Encoder {
	switch t.text.Encoding() {
	case UTF16LE:
		return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewEncoder()
	case UTF16BE:
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM).NewEncoder()
	case Windows1252:
		return windows1252()
	}
	return encoding.Nop.NewEncoder()
}
