package ringing

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/stable"
)

// candidate is a spectral peak.
type candidate struct {
	omega     float64 // rad per sample
	power     float64 // over the floor of its spectrum
	cycles    float64 // in the chunk that it was found in
	noise     float64 // V², variance of a sample of white noise as dense as the floor
	amplitude float64 // V, the mean over the chunk under its window
}

// weight orders candidates. The harmonics of what is bent or switched fall by
// 1/n or faster, so that their weights fall; hum is as strong as the ring that
// rides on it, and slow.
func (c candidate) weight() float64 { return c.amplitude * math.Sqrt(c.omega) }

// find looks for tones of at least three cycles: in the loudest chunks of the
// capture, long and short ones, then in the capture decimated by 4, 16, …, so
// that a short burst beside a lasting tone and a slow tone are seen. It returns
// the peaks that pass need, the weightiest first. slow is the strongest peak of
// fewer than three cycles.
func find(y []float64, need float64) (list []candidate, slow candidate) {
	for factor := 1; ; factor *= coarsening {
		slow = candidate{} // what looks slow in a chunk may have more cycles in the whole
		p := profileOf(y)
		longest := true
		for rows := chunkRows; rows >= shortestChunk; rows /= chunkStep {
			if rows/chunkStep >= len(y) {
				continue
			}
			for _, from := range p.loudest(min(rows, len(y))) {
				chunk := slices.Clone(y[from:min(from+rows, len(y))])
				seen, s := look(chunk, float64(factor), need)
				list = append(list, seen...)
				if longest && s.power > slow.power {
					slow = s
				}
			}
			longest = false
		}
		if len(y) <= chunkRows {
			return distinct(list), slow
		}
		y = decimate(y)
	}
}

// distinct leaves out peaks that are another one seen in another chunk.
func distinct(list []candidate) (out []candidate) {
	stable.Sort(list, func(a, b candidate) int { return cmp.Compare(b.power, a.power) })
	for _, c := range list {
		same := slices.IndexFunc(out, func(o candidate) bool {
			return math.Abs(c.omega-o.omega) < sideLobes*math.Max(c.omega/c.cycles, o.omega/o.cycles)
		})
		if same < 0 {
			out = append(out, c)
			continue
		}
		out[same].amplitude = math.Max(out[same].amplitude, c.amplitude)
	}
	stable.Sort(out, func(a, b candidate) int { return cmp.Compare(b.weight(), a.weight()) })
	return out
}

// look searches one chunk, decimated by factor: peaks of less than half the
// band, above which decimation folds, unless there was none.
func look(chunk []float64, factor, need float64) (list []candidate, slow candidate) {
	n := float64(len(chunk))
	s := hannSpectrum(chunk)
	// The Hann window's main lobe is two bins of the unpadded transform wide:
	// below 2.5 cycles a peak can't be told from the trend.
	split := int(2.5 * 2 * math.Pi / n / s.binWidth)
	make := func(k int, floor float64) candidate {
		// A capture free of noise has no floor but rounding's.
		floor = math.Max(floor, 1e-24*s.power[k])
		theta := s.refine(k)
		return candidate{
			omega:     theta / factor,
			power:     s.power[k] / floor,
			cycles:    theta * n / (2 * math.Pi),
			noise:     factor * floor / (n * hannSquares),
			amplitude: 4 * math.Sqrt(s.power[k]) / n,
		}
	}
	floors := s.floors()
	end := len(s.power)
	if factor > 1 {
		end /= 2
	}
	for k := split; k+1 < end; k++ {
		if p := s.power[k]; p > s.power[k-1] && p >= s.power[k+1] {
			if c := make(k, floors(k)); c.power > need {
				list = append(list, c)
			}
		}
	}
	stable.Sort(list, func(a, b candidate) int { return cmp.Compare(b.power, a.power) })
	list = list[:min(len(list), peaksInChunk)]
	if k := s.peak(1, split); k > 0 && s.power[k] > 0 {
		slow = make(k, s.floor(len(s.power)/2, len(s.power)/2))
	}
	return list, slow
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
