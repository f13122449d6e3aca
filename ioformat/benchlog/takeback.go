package benchlog

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"

	"fitcoil/ioformat/cells"
)

// TakeBack returns the log content without the reading of a line, as [Log] numbers it:
// the line goes when nothing stands behind it, else the reading is marked as not to be
// used. Every other byte stays.
//
// It fails where the log is at fault, has no column use, or is written in a way in which
// one line can't be changed by itself.
func TakeBack(content []byte, name string, line int) (changed []byte, removed bool, err error) {
	rd, err := read(bytes.NewReader(content), name, Options{Each: true})
	if err != nil {
		return nil, false, err
	}
	begin, end, ok := lineAt(content, line)
	if !ok {
		return nil, false, fmt.Errorf("%s has no line %d", name, line)
	}
	if len(bytes.TrimSpace(content[end:])) == 0 {
		return bytes.Clone(content[:begin]), true, nil
	}
	i := rd.columns.at[use]
	if i < 0 {
		return nil, false, fmt.Errorf("%s has no column for %q: delete line %d by hand, or add the column", name, use.example(), line)
	}
	text := bytes.TrimRight(content[begin:end], "\r\n")
	written, err := marked(text, rd.Table.Delimiter, i)
	if err != nil {
		return nil, false, fmt.Errorf("%s: line %d can't be changed by itself: write no into its column %q by hand", name, line, use.example())
	}
	changed = append(bytes.Clone(content[:begin]), written...)
	changed = append(changed, content[begin+len(text):]...)
	return changed, false, onlyUnused(content, changed, name, line)
}

// lineAt returns where a line begins, and where the next does.
func lineAt(content []byte, line int) (begin, end int, ok bool) {
	for i, c := range content {
		crlf := c == '\r' && bytes.HasPrefix(content[i+1:], []byte("\n"))
		if (c != '\n' && c != '\r' || crlf) && i+1 < len(content) {
			continue
		}
		if line--; line == 0 {
			return begin, i + 1, true
		}
		begin = i + 1
	}
	return 0, 0, false
}

// marked returns the row text with no in cell i.
func marked(text []byte, delimiter rune, i int) ([]byte, error) {
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord = delimiter, -1
	row, err := r.Read()
	if err != nil {
		return nil, err
	}
	if len(row) <= i { // it goes on in the next line
		return nil, errors.New("the row is longer than its line")
	}
	row[i] = "no"
	return []byte(cells.Join(row, delimiter)), nil
}

// onlyUnused checks that a changed log says what it said, but that the reading of one line
// isn't used.
func onlyUnused(before, after []byte, name string, line int) error {
	was, err := Read(bytes.NewReader(before), name, Options{Each: true})
	if err != nil {
		return err
	}
	is, err := Read(bytes.NewReader(after), name, Options{Each: true})
	if err != nil {
		return err
	}
	spoiled := errors.New("the change would spoil the log; write no into the column use of that line by hand")
	if len(was.Readings) != len(is.Readings) {
		return spoiled
	}
	for i := range was.Readings {
		a, b := was.reading(i), is.reading(i)
		if a.Line == line {
			a.Use = false
		}
		if what, _, _ := b.differs(a); what != "" || a.Line != b.Line {
			return spoiled
		}
	}
	return nil
}

// Remark returns the log content with a comment below it, a line that begins with #.
func Remark(content []byte, name, text string) ([]byte, error) {
	rd, err := read(bytes.NewReader(content), name, Options{Each: true})
	if err != nil {
		return nil, err
	}
	longer, err := rd.Table.AppendLine(content, "# "+text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	again, err := read(bytes.NewReader(longer), name, Options{Each: true})
	if err == nil && len(again.log.Readings) != len(rd.log.Readings) {
		err = errors.New("the remark would be read as a reading; word it another way")
	}
	return longer, err
}
