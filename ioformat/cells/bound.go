package cells

import "io"

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
