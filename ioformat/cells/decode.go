package cells

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// Encoding is how the characters of a file are written in bytes.
type Encoding int

// The encodings that are understood. ASCII is what all of them share.
const (
	ASCII Encoding = iota
	UTF8
	UTF16LE
	UTF16BE
	Windows1252
)

// String returns the name of e.
func (e Encoding) String() string {
	return [...]string{"ASCII", "UTF-8", "UTF-16", "UTF-16", "Windows-1252"}[e]
}

// damage is what makes reading on pointless.
type damage struct {
	line        int
	problem, do string
}

func (d *damage) Error() string { return fmt.Sprintf("line %d: %s", d.line, d.problem) }

// Damage returns what is wrong with the bytes of a file by an error of a [Text]; ok is false for
// any other error.
func Damage(err error) (f Fault, ok bool) {
	var d *damage
	if !errors.As(err, &d) {
		return f, false
	}
	return Fault{Line: d.line, Problem: d.problem, Do: d.do}, true
}

// Text decodes a file to UTF-8 with one line feed behind each line. Bytes that
// are no characters become U+FFFD, which sets Damaged.
type Text struct {
	io.Reader
	tidy *tidy
}

// NewText looks at the first bytes of r to learn how it is encoded. It refuses
// files that are no text.
func NewText(r io.Reader) (*Text, error) {
	src := bufio.NewReaderSize(r, 1<<12)
	head, err := src.Peek(64)
	if err != nil && !errors.Is(err, io.EOF) && len(head) == 0 {
		return nil, err
	}
	if d := notText(head); d != nil {
		return nil, d
	}
	t := &tidy{line: 1}
	var decoded io.Reader = src
	switch {
	case bytes.HasPrefix(head, []byte("\xff\xfe")):
		t.encoding = UTF16LE
	case bytes.HasPrefix(head, []byte("\xfe\xff")):
		t.encoding = UTF16BE
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		t.encoding = UTF8
	}
	if t.encoding == UTF16LE || t.encoding == UTF16BE {
		// the byte order given here is overruled by the mark, which is there
		decoded = transform.NewReader(src, unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder())
	}
	return &Text{transform.NewReader(decoded, t), t}, nil
}

// Encoding returns how the part read so far is encoded.
func (t *Text) Encoding() Encoding { return t.tidy.encoding }

// notText recognises files that only look like tables to their owner.
func notText(head []byte) *damage {
	const export = "open it in the program that wrote it and save it as CSV (UTF-8)"
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")), bytes.HasPrefix(head, []byte("\xd0\xcf\x11\xe0")):
		return &damage{0, "this is a spreadsheet, not a text file", export}
	case bytes.HasPrefix(head, []byte("\x1f\x8b")):
		return &damage{0, "this is a compressed file", "unpack it first"}
	case bytes.HasPrefix(head, []byte("%PDF")):
		return &damage{0, "this is a PDF, not a text file", export}
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("\xfe\xff")):
		return nil
	}
	var zeros [2]int
	for i, b := range head {
		if b == 0 {
			zeros[i%2]++
		}
	}
	if half := len(head) / 2; half > 1 && (zeros[0] == 0 && zeros[1] >= half-1 || zeros[1] == 0 && zeros[0] >= half-1) {
		return &damage{0, "this looks like UTF-16 without its byte order mark", "save it as UTF-8"}
	}
	return nil
}

// longestLine is the bound on a line, in bytes: a longer one is no table, and
// would have to be kept in memory whole.
const longestLine = 1 << 20

// tidy is the transformer behind Text. From UTF-16, x/text has made UTF-8
// already; of the other encodings it finds out by the first byte that is not
// ASCII which one it is.
type tidy struct {
	encoding Encoding
	begun    bool // something was read
	line     int
	length   int  // bytes of the current line so far
	damaged  bool // a U+FFFD was written
	ctrlZ    bool // a Ctrl-Z was left inside the text
	crlf     int  // lines that ended with CRLF
	cr       int  // lines that ended with CR
	lf       int  // lines that ended with LF
	ended    bool // the last thing written was an end of line
	comments comments
}

func (t *tidy) Reset() {}

// Transform implements [transform.Transformer].
func (t *tidy) Transform(dst, src []byte, atEOF bool) (nDst, nSrc int, err error) {
	for nSrc < len(src) {
		begin := nDst
		n := copy(dst[nDst:], src[nSrc:nSrc+plainRun(src[nSrc:])])
		nDst, nSrc, t.length = nDst+n, nSrc+n, t.length+n
		if n > 0 {
			t.begun, t.ended = true, false
		}
		if t.comments.state != 'x' {
			t.comments.see(dst[begin:nDst])
		}
		if t.length > longestLine {
			return nDst, nSrc, &damage{t.line, "this line is longer than a million characters", "check that this is the right file"}
		}
		if nSrc == len(src) {
			break
		}
		if len(dst)-nDst < utf8.UTFMax {
			return nDst, nSrc, transform.ErrShortDst
		}
		wrote, read, err := t.special(dst[nDst:], src[nSrc:], atEOF)
		if t.comments.state != 'x' && !t.ended {
			t.comments.see(dst[nDst : nDst+wrote])
		}
		nDst, nSrc = nDst+wrote, nSrc+read
		if err != nil {
			return nDst, nSrc, err
		}
	}
	return nDst, nSrc, nil
}

// plainRun returns how many bytes at the front of src are copied as they are.
func plainRun(src []byte) int {
	for i, b := range src {
		if b >= utf8.RuneSelf || b < ' ' && b != '\t' {
			return i
		}
	}
	return len(src)
}

// special writes what the first character of src stands for, when that is a
// control or not ASCII. dst has room for any character.
func (t *tidy) special(dst, src []byte, atEOF bool) (wrote, read int, err error) {
	switch b := src[0]; {
	case b == '\n' || b == '\r':
		return t.endLine(dst, src, atEOF)
	case b == 0:
		return 0, 0, &damage{t.line, "there is a byte of zero, which no text has", "check that this is the right file, or save it anew"}
	case b == 0x1a:
		rest := bytes.TrimLeft(src, "\x1a")
		if len(rest) == 0 && !atEOF && len(src) < 1024 {
			return 0, 0, transform.ErrShortSrc
		}
		if len(rest) == 0 && atEOF {
			return 0, len(src), nil // the end of the file, as in CP/M and DOS
		}
		t.ctrlZ = true
	case b >= utf8.RuneSelf:
		return t.character(dst, src, atEOF)
	}
	dst[0] = src[0]
	t.begun, t.ended = true, false
	return 1, 1, nil
}

// endLine writes one line feed for LF, CRLF or CR.
func (t *tidy) endLine(dst, src []byte, atEOF bool) (wrote, read int, err error) {
	read = 1
	switch {
	case src[0] == '\n':
		t.lf++
	case len(src) == 1 && !atEOF:
		return 0, 0, transform.ErrShortSrc
	case len(src) > 1 && src[1] == '\n':
		t.crlf++
		read = 2
	default:
		t.cr++
	}
	dst[0] = '\n'
	t.comments.end(t.line)
	t.line++
	t.length = 0
	t.begun, t.ended = true, true
	return 1, read, nil
}

// character writes one character that is not ASCII.
func (t *tidy) character(dst, src []byte, atEOF bool) (wrote, read int, err error) {
	if !atEOF && !utf8.FullRune(src) && t.encoding != Windows1252 {
		return 0, 0, transform.ErrShortSrc
	}
	r, size := utf8.DecodeRune(src)
	valid := r != utf8.RuneError || size > 1
	if t.encoding == ASCII {
		t.encoding = Windows1252
		if valid {
			t.encoding = UTF8
		}
	}
	if t.encoding == Windows1252 {
		r, size = character(src[0]), 1
	}
	if r == '\ufeff' && !t.begun {
		t.begun = true
		return 0, size, nil
	}
	if r == utf8.RuneError {
		t.damaged = true
	}
	n := utf8.EncodeRune(dst, r)
	t.length += n
	t.begun, t.ended = true, false
	return n, size, nil
}

// longestRow is the bound on a row, in bytes, with comments and empty lines in
// front of it: a quotation mark that is never closed makes a row of all that
// follows.
const longestRow = 1 << 24

// bound ends a file where a row gets too long.
type bound struct {
	r     io.Reader
	since int  // bytes read since the last row
	cut   bool // the file was ended here
}

func (b *bound) Read(p []byte) (int, error) {
	if b.since > longestRow {
		b.cut = true
		return 0, io.EOF
	}
	n, err := b.r.Read(p)
	b.since += n
	return n, err
}
