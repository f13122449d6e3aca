package ringing

import "math"

// use works out what of the capture went into the result.
func (a *analysis) use(r *Result, rings []*ring) {
	n := len(a.signal.Samples)
	used, end := 0, 0
	leave := func(from, to int, why Why) {
		if to > from {
			r.Left = append(r.Left, Left{a.signal.time(float64(from)), a.signal.time(float64(to)), why})
		}
	}
	for i, g := range rings {
		w := g.whole()
		cycle := 2 * math.Pi / (g.fit.tones[0].omega * a.signal.Interval)
		onset := max(end, g.from-int(math.Round(g.skipped*cycle)))
		why := BetweenRings
		if i == 0 {
			why = BeforeRing
		}
		leave(end, onset, why)
		leave(onset, g.from, FirstCycles)
		if r.Bursts[i].Apart {
			leave(g.from, w.to, OtherRing)
		} else {
			used += w.to - g.from
		}
		end = w.to
	}
	leave(end, n, DiedAway)
	r.Used = float64(used) / float64(n)
}

// modes picks the tones that are modes of what rings: the strongest, and those
// near it that decay too, with the covariance of their frequencies and quality
// factors.
func (r *Result) modes(e estimator, relative float64) {
	if r.Kind != Decay {
		return
	}
	const brief = 5 // times the strongest's damping: a spark's; without it nothing changes in 232 captures
	tones := e.ring.fit.tones
	if e.ring.fit.series.im != nil { // turned back: the others are not carried on to the end
		tones = tones[:1]
	}
	var picked []int
	for k := range tones {
		t := r.Tones[k]
		mode := t.Relation == Near || t.Relation == Other
		if t.Quality.Determined && (k == 0 || mode && tones[k].alpha < brief*tones[0].alpha) {
			picked = append(picked, k)
			r.Modes = append(r.Modes, t)
		}
	}
	var gradients []gradient
	for _, k := range picked {
		gradients = append(gradients, naturalGradient(k, tones[k]), qualityGradient(k, tones[k]))
	}
	for i, g := range gradients {
		row := make([]float64, len(gradients))
		for j, h := range gradients {
			row[j] = e.ring.covariance(g, h)
			if i%2 == 0 && j%2 == 0 { // the time base is common to the frequencies
				row[j] += relative * relative * r.Modes[i/2].Natural.Value * r.Modes[j/2].Natural.Value
			}
		}
		r.Covariance = append(r.Covariance, row)
	}
}
