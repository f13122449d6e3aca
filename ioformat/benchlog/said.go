package benchlog

// said keeps rows as they were written, block by block.
type said []saidBlock

type saidBlock struct {
	text []byte
	ends []int // of each row in text
}

// block is how many rows are kept in one piece: what grows by blocks is not
// copied over and over when a log has a million rows.
const block = 4096

// add keeps one more row.
func (s *said) add(row []string, delimiter rune) {
	last := len(*s) - 1
	if last < 0 || len((*s)[last].ends) == block {
		next := saidBlock{}
		if last >= 0 { // as long as the one before, likely
			next = saidBlock{make([]byte, 0, len((*s)[last].text)+64), make([]int, 0, block)}
		}
		*s = append(*s, next)
		last++
	}
	b := &(*s)[last]
	for i, cell := range row {
		if i > 0 {
			b.text = append(b.text, string(delimiter)...)
		}
		b.text = append(b.text, cell...)
	}
	b.ends = append(b.ends, len(b.text))
}

// meanRow returns the mean length of the rows kept, with their ends of line.
func (s said) meanRow() float64 {
	bytes, rows := 0, 0
	for _, b := range s {
		bytes, rows = bytes+len(b.text)+len(b.ends), rows+len(b.ends)
	}
	return float64(bytes) / float64(rows)
}

// row returns row i.
func (s said) row(i int) string {
	b, k := s[i/block], i%block
	begin := 0
	if k > 0 {
		begin = b.ends[k-1]
	}
	return string(b.text[begin:b.ends[k]])
}
