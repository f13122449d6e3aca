package waveform

import (
	"bytes"
	"errors"
	"io"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
)

// headSize is how much of a file is looked at to learn its shape.
const headSize = 1 << 17

// head is the beginning of a file.
type head struct {
	lines []string // up to the last whole one
	bytes int      // that the lines take
}

// decode returns r as UTF-8 with LF or CRLF at the end of lines, and the
// beginning of it. Plain files go through untouched, which is twice as fast.
func decode(r io.Reader) (io.Reader, []byte, error) {
	start, err := beginning(r)
	if err != nil {
		return nil, nil, err
	}
	whole := io.MultiReader(bytes.NewReader(start), r)
	if plainText(start) {
		return whole, start, nil
	}
	text, err := cells.NewText(whole)
	if err != nil {
		return nil, nil, err
	}
	decoded, err := beginning(text)
	return io.MultiReader(bytes.NewReader(decoded), text), decoded, err
}

// beginning reads headSize bytes, or less where there is no more.
func beginning(r io.Reader) ([]byte, error) {
	start := make([]byte, headSize)
	n, err := io.ReadFull(r, start)
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = nil
	}
	return start[:n], err
}

// plainText tells whether bytes are ASCII with line feeds.
func plainText(b []byte) bool {
	feeds := false
	for i, c := range b {
		switch {
		case c == '\n':
			feeds = true
		case c == '\r':
			if i+1 < len(b) && b[i+1] != '\n' {
				return false
			}
		case c == '\t':
		case c < ' ' || c >= 0x7f:
			return false
		}
	}
	return feeds
}

func newHead(b []byte, whole bool) head {
	if cut := bytes.LastIndexByte(b, '\n'); !whole && cut >= 0 {
		b = b[:cut]
	}
	h := head{bytes: len(b)}
	for line := range strings.SplitSeq(strings.TrimSuffix(string(b), "\n"), "\n") {
		h.lines = append(h.lines, strings.TrimSuffix(line, "\r"))
	}
	return h
}

func blank(line string) bool { return quantity.Trim(strings.Trim(line, ",;")) == "" }
