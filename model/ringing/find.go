package ringing

import (
	"math"
	"slices"
)

const (
	chunkRows    = 1 << 14 // samples in one look at the spectrum
	loudest      = 3       // chunks looked at in each resolution
	coarsening   = 4       // samples averaged from one resolution to the next
	fewestCycles = 3
	hannSquares  = 3.0 / 8 // mean square of the Hann window
)

// candidate is a spectral peak.
type candidate struct {
	omega  float64 // rad per sample
	power  float64 // over the floor of its spectrum
	cycles float64 // in the chunk that it was found in
	noise  float64 // V², variance of a sample of white noise as dense as the floor
}

// find looks for the strongest tone with at least three cycles: in the
// loudest chunks of the capture, then in the capture averaged by 4, 16, …,
// so that a short burst and a slow tone are both seen whole. slow is the strongest peak of fewer than three cycles.
func find(y []float64) (best, slow candidate) {
	for factor := 1; ; factor *= coarsening {
		slow = candidate{} // what looks slow in a chunk may have more cycles in the whole
		for _, from := range loudestChunks(y) {
			chunk := slices.Clone(y[from:min(from+chunkRows, len(y))])
			look(chunk, float64(factor), &best, &slow)
		}
		if len(y) <= chunkRows {
			return best, slow
		}
		y = averaged(y, coarsening)
	}
}

// look searches one chunk.
func look(chunk []float64, factor float64, best, slow *candidate) {
	n := float64(len(chunk))
	s := hannSpectrum(chunk)
	// The Hann window's main lobe is two bins of the unpadded transform wide:
	// below 2.5 cycles a peak can't be told from the trend.
	split := int(2.5 * 2 * math.Pi / n / s.binWidth)
	floor := s.floor(len(s.power)/2, len(s.power)/2)
	try := func(k int, into *candidate) {
		if k < 0 || s.power[k] == 0 {
			return
		}
		// A capture free of noise has no floor but rounding's.
		if p := s.power[k] / math.Max(floor, 1e-24*s.power[k]); p > into.power {
			theta := s.refine(k)
			*into = candidate{
				omega:  theta / factor,
				power:  p,
				cycles: theta * n / (2 * math.Pi),
				noise:  factor * floor / (n * hannSquares),
			}
		}
	}
	try(s.peak(1, split), slow)
	from := split
	for from+1 < len(s.power) && s.power[from] < s.power[from-1] {
		from++ // down the flank of what is slower
	}
	try(s.peak(from, len(s.power)), best)
}

// loudestChunks returns the starts of the half-overlapping chunks with the
// greatest variance.
func loudestChunks(y []float64) []int {
	if len(y) <= chunkRows {
		return []int{0}
	}
	const half = chunkRows / 2
	type chunk struct {
		from     int
		variance float64
	}
	var list []chunk
	for from := 0; from+chunkRows <= len(y); from += half {
		list = append(list, chunk{from, variance(y[from : from+chunkRows])})
	}
	if rest := len(y) - chunkRows; rest%half != 0 {
		list = append(list, chunk{rest, variance(y[rest:])})
	}
	slices.SortFunc(list, func(a, b chunk) int {
		switch {
		case a.variance > b.variance:
			return -1
		case a.variance < b.variance:
			return 1
		}
		return a.from - b.from
	})
	starts := make([]int, 0, loudest)
	for _, c := range list[:min(loudest, len(list))] {
		starts = append(starts, c.from)
	}
	return starts
}

// variance is taken about the first sample, then shifted: one pass, and the
// offset does not cancel digits.
func variance(y []float64) float64 {
	var s, q float64
	y0 := y[0]
	for _, v := range y {
		d := v - y0
		s += d
		q += d * d
	}
	n := float64(len(y))
	return (q - s*s/n) / n
}

// averaged returns the means of each block of samples; a last, incomplete
// block is dropped.
func averaged(y []float64, block int) []float64 {
	out := make([]float64, len(y)/block)
	for i := range out {
		var s float64
		for _, v := range y[i*block : (i+1)*block] {
			s += v
		}
		out[i] = s / float64(block)
	}
	return out
}
