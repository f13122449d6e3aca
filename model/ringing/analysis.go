package ringing

import (
	"cmp"
	"math"
	"slices"
)

// company is a steady tone, with what belongs to it, that was taken off the
// capture before a ring showed: a drive's, or a station's.
type company struct {
	fit  *projection
	from int // the sample where its time begins
	ring *ring
}

// add adds sign times the company to y, the samples from index first of the
// capture on. Beyond the stretch where it was fitted its offset doesn't count.
func (c *company) add(y []float64, first int, sign float64) {
	if c == nil {
		return
	}
	tones := *c.fit
	n := 2 * len(c.fit.tones)
	tones.coef = append(slices.Clone(c.fit.coef[:n]), 0)
	tones.add(y, first-c.from, sign)
}

// analysis is one run of Analyse.
type analysis struct {
	signal Signal
	set    Settings
	scan   scan
	like   tone // of the ring fitted last: the next, of the same coil, lasts as long

	done    float64   // as told to Progress
	first   int       // sample where the first burst begins
	whole   []float64 // V, the samples before the company was taken off; nil if none was
	company *company
}

func (a *analysis) progress(done float64) {
	if a.set.Progress != nil && done > a.done {
		a.done = done
		a.set.Progress(done)
	}
}

// need is the power over the floor that a peak must have: one in a thousand
// captures of noise gets past; the fit decides.
func (a *analysis) need() float64 {
	const chance = 1e-3
	return math.Log(float64(len(a.signal.Samples)) / chance)
}

// rms returns the root mean square of the residuals of the single samples of
// a ring that are not clipped.
func (a *analysis) rms(r *ring) float64 {
	const block = 4096
	buf := make([]float64, block)
	var sum float64
	n := 0
	for from := r.from; from < r.to; from += block {
		y := buf[:copy(buf, a.signal.Samples[from:min(from+block, r.to)])]
		r.fit.add(y, from-r.from, -1)
		for i, v := range y {
			if s := r.fit.series; s.skip != nil && s.skip[from-r.from+i] {
				continue
			}
			sum += v * v
			n++
		}
	}
	return math.Sqrt(sum / float64(max(n, 1)))
}

// Settings steers Analyse. The zero value works.
type Settings struct {
	// Timebase is the relative standard uncertainty of the scope's time base.
	// It goes into every frequency.
	Timebase float64
	// Columns is the number of points of a drawing; 0 means 1000.
	Columns int
	// Progress is called now and then with the share of the work done, 0 to 1.
	Progress func(done float64)
}

// finding is what was made of one candidate.
type finding struct {
	rings []*ring // in order of time
	found int     // bursts that there are
}

// loudest returns the ring that begins with the greatest amplitude.
func (f finding) loudest() *ring {
	return slices.MaxFunc(f.rings, func(r, q *ring) int { return cmp.Compare(r.fit.size(0), q.fit.size(0)) })
}

// decays reports whether the loudest of the rings dies away.
func (f finding) decays(interval float64) bool {
	if f.loudest().fit.tones[0].alpha <= 0 { // a steady tone, whatever pulls at it later on
		return false
	}
	r := f.loudest().whole()
	t := r.fit.tones[0]
	return falls(t.alpha, math.Sqrt(r.cov[1][1]), float64(r.len())*interval)
}
