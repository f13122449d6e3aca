package ringing

import (
	"math"
	"slices"
)

// scan is what the samples show before any tone is looked for.
type scan struct {
	min, max float64
	step     float64 // quantisation step, 0 when none can be seen
	clip     Clipping
}

// Clipping tells where the trace runs flat because it left the screen or the
// converter's range.
type Clipping struct {
	Low, High           bool
	LowLevel, HighLevel float64 // V, samples beyond which count as clipped
	Samples             int     // that are clipped
}

func (c Clipping) any() bool { return c.Low || c.High }

// beyond tells whether y, or y within the margin, is clipped.
func (c Clipping) beyond(y, margin float64) bool {
	return c.High && y > c.HighLevel-margin || c.Low && y < c.LowLevel+margin
}

func scanSamples(y []float64) scan {
	s := scan{min: slices.Min(y), max: slices.Max(y)}
	if s.max > s.min {
		s.step = quantum(y, s.max-s.min)
		s.clip = clipping(y, s)
	}
	return s
}

// quantum returns the step of a coarse converter: nearly all gaps between the
// values that occur are multiples of the smallest. The values may be rounded
// once more by the digits of the file, so multiples are taken with a margin.
func quantum(y []float64, span float64) float64 {
	const most = 1 << 15
	stride := (len(y) + most - 1) / most
	v := make([]float64, 0, len(y)/stride+1)
	for i := 0; i < len(y); i += stride {
		v = append(v, y[i])
	}
	n := len(v)
	slices.Sort(v)
	v = slices.CompactFunc(v, func(a, b float64) bool { return math.Abs(b-a) < 1e-9*span })
	if len(v) < 3 || len(v) > n/4 {
		return 0
	}
	gaps := make([]float64, len(v)-1)
	for i := range gaps {
		gaps[i] = v[i+1] - v[i]
	}
	slices.Sort(gaps)
	least := gaps[0]
	small := gaps[:0:0]
	for _, g := range gaps {
		if g < 1.5*least {
			small = append(small, g)
		}
	}
	unit := small[len(small)/2]
	odd, steps := 0, 0.0
	for _, g := range gaps {
		k := math.Round(g / unit)
		if math.Abs(g/unit-k) > 0.25 {
			odd++
		}
		steps += k
	}
	if 10*odd > len(gaps) {
		return 0
	}
	return (v[len(v)-1] - v[0]) / steps
}

// clipping compares how many samples lie within one step of each extreme with
// how many lie within eight. A sine spends √(1/8) = 0.35 as long in the first
// as in the second, whatever its phase; a flat top spends most of it there.
// Runs of at least three keep apart a sine that is sampled in step with itself
// and so meets its crest in every cycle. No source: geometry of the sine.
func clipping(y []float64, s scan) (c Clipping) {
	const levels, depth, share, fewest = 512, 8, 0.55, 6
	w := math.Max(s.step, (s.max-s.min)/levels)
	if s.max-s.min < 3*depth*w {
		return c // so few codes that every crest is flat
	}
	half := w / 2
	if s.step < w { // no visible codes: the whole bin
		half = w
	}
	rail := func(sign, extreme float64) (level float64, n int) { // sign 1 above, −1 below
		level, within := extreme-sign*half, extreme-sign*depth*w
		flat := func(v float64) bool { return sign*v > sign*level }
		deep := 0
		for _, v := range y {
			if sign*v > sign*within {
				deep++
				if flat(v) {
					n++
				}
			}
		}
		if n < fewest || float64(n) <= share*float64(deep) || !inRuns(y, flat, n) {
			return 0, 0
		}
		return level, n
	}
	var high, low int
	c.HighLevel, high = rail(1, s.max)
	c.LowLevel, low = rail(-1, s.min)
	c.High, c.Low, c.Samples = high > 0, low > 0, high+low
	return c
}

// inRuns tells whether most of the n samples that meet the condition stand in
// runs of three or more.
func inRuns(y []float64, in func(float64) bool, n int) bool {
	run, sum := 0, 0
	for _, v := range y {
		if in(v) {
			run++
			continue
		}
		if run >= 3 {
			sum += run
		}
		run = 0
	}
	if run >= 3 {
		sum += run
	}
	return 2*sum > n
}
