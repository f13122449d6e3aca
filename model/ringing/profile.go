package ringing

import "slices"

// profile sums up a capture in blocks of half the shortest chunk, so that any
// chunk's loudness follows from two entries: each is of all blocks before it.
type profile struct {
	y                   []float64
	sum, squares, slope []float64 // V, V² and V² of differences of neighbours
}

const profileBlock = shortestChunk / 2

func profileOf(y []float64) profile {
	n := len(y)/profileBlock + 1
	p := profile{y: y, sum: make([]float64, n), squares: make([]float64, n), slope: make([]float64, n)}
	before := y[0]
	for i := 1; i < n; i++ {
		var s, q, d float64
		for _, v := range y[(i-1)*profileBlock : i*profileBlock] {
			x := v - y[0] // so that an offset cancels no digits
			s += x
			q += x * x
			d += (v - before) * (v - before)
			before = v
		}
		p.sum[i], p.squares[i], p.slope[i] = p.sum[i-1]+s, p.squares[i-1]+q, p.slope[i-1]+d
	}
	return p
}

// chunk returns the variance and the squared slopes of the rows from block i on.
func (p profile) chunk(i, rows int) (variance, slope float64) {
	k, n := i+rows/profileBlock, float64(rows)
	s, q := p.sum[k]-p.sum[i], p.squares[k]-p.squares[i]
	return (q - s*s/n) / n, p.slope[k] - p.slope[i]
}

// loudest returns the starts of the half-overlapping chunks of so many rows with
// the greatest variance, and of those whose slopes have the greatest: what is
// slow and lasts drowns a ring in the one, not in the other. Rows that are fewer
// than the capture are a multiple of shortestChunk. The last chunk, which a whole
// number of halves doesn't reach, is looked at besides.
func (p profile) loudest(rows int) (starts []int) {
	if len(p.y) <= rows {
		return []int{0}
	}
	var byVariance, bySlope top
	step := rows / 2 / profileBlock
	for i := 0; (i*profileBlock)+rows <= len(p.y); i += step {
		v, d := p.chunk(i, rows)
		byVariance.add(i*profileBlock, v)
		bySlope.add(i*profileBlock, d)
	}
	if rest := len(p.y) - rows; rest%(rows/2) != 0 {
		last := profileOf(p.y[rest:])
		v, d := last.chunk(0, rows)
		byVariance.add(rest, v)
		bySlope.add(rest, d)
	}
	for _, from := range append(byVariance.from[:min(loudest, byVariance.n)], bySlope.from[:min(loudest, bySlope.n)]...) {
		if !slices.Contains(starts, from) {
			starts = append(starts, from)
		}
	}
	return starts
}

// top keeps the greatest values, the first of equals first.
type top struct {
	from  [loudest + 1]int
	value [loudest + 1]float64
	n     int
}

func (t *top) add(from int, value float64) {
	k := min(t.n, loudest)
	t.from[k], t.value[k] = from, value
	for ; k > 0 && t.value[k] > t.value[k-1]; k-- {
		t.from[k], t.from[k-1] = t.from[k-1], t.from[k]
		t.value[k], t.value[k-1] = t.value[k-1], t.value[k]
	}
	t.n = min(t.n+1, loudest)
}

// brief reports whether a short part of the capture is far louder than most of
// it: a blow, or a ring that is over at once.
func (p profile) brief() bool {
	const far = 3 // of the variance; noise in a block scatters by an eighth of its own, and so gets nowhere near
	var list []float64
	for i := range len(p.sum) - 1 {
		v, _ := p.chunk(i, profileBlock)
		list = append(list, v)
	}
	slices.Sort(list)
	return len(list) > 3 && list[len(list)-1] > far*list[len(list)/2]
}
