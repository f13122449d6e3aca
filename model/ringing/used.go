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

// shifted reports whether a ring was fitted after turning it back.
func (r *ring) shifted() bool { return r.fit.series.im != nil }

// modes picks the tones that are modes of what rings: the strongest, and those
// near it that decay too, with the covariance of their frequencies and quality
// factors.
func (r *Result) modes(e estimator, relative float64) {
	if r.Kind != Decay {
		return
	}
	const brief = 5 // times the strongest's damping: a spark's; without it nothing changes in 232 captures
	tones := e.ring.fit.tones
	if e.ring.shifted() {
		tones = tones[:1] // the others are not carried on to the end
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
	var rows [][]float64
	for _, k := range picked {
		t := e.ring.fit.tones[k]
		natural := math.Hypot(t.omega, t.alpha)
		f, q := make([]float64, len(e.ring.cov)), make([]float64, len(e.ring.cov))
		f[2*k], f[2*k+1] = t.omega/natural/(2*math.Pi), t.alpha/natural/(2*math.Pi)
		q[2*k] = t.omega / (2 * t.alpha * natural)
		q[2*k+1] = -t.omega * t.omega / (2 * t.alpha * t.alpha * natural)
		rows = append(rows, f, q)
	}
	for i, g := range rows {
		row := make([]float64, len(rows))
		for j, h := range rows {
			for x, c := range e.ring.cov {
				for y, v := range c {
					row[j] += g[x] * v * h[y]
				}
			}
			if i%2 == 0 && j%2 == 0 { // the time base is common to the frequencies
				row[j] += relative * relative * r.Modes[i/2].Natural.Value * r.Modes[j/2].Natural.Value
			}
		}
		r.Covariance = append(r.Covariance, row)
	}
}
