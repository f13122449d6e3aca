package ringing

import (
	"cmp"
	"math"
	"slices"
)

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

const mostBursts = 32 // analysed; the loudest

// analysis is one run of Analyse.
type analysis struct {
	signal Signal
	set    Settings
	scan   scan
	like   tone // of the ring fitted last: the next, of the same coil, lasts as long
}

// Analyse finds the tone in a signal. The error of a signal that doesn't
// determine a frequency is a [*Refusal].
func Analyse(signal Signal, set Settings) (*Result, error) {
	if err := signal.check(); err != nil {
		return nil, err
	}
	a := &analysis{signal: signal, set: set}
	a.scan = scanSamples(signal.Samples)
	a.progress(0.1)
	c, slow, err := a.candidate()
	if err != nil {
		return nil, err
	}
	a.progress(0.2)
	rings, found, err := a.rings(c)
	if err != nil {
		return nil, tooSlow(err, c, slow)
	}
	a.progress(0.9)
	r := a.result(rings, found)
	r.Drawing = a.draw(rings)
	a.progress(1)
	return r, nil
}

func (a *analysis) progress(done float64) {
	if a.set.Progress != nil {
		a.set.Progress(done)
	}
}

// candidate looks for the tone and refuses what needs no fit to be refused.
func (a *analysis) candidate() (best, slow candidate, err error) {
	if a.scan.max == a.scan.min {
		return best, slow, &Refusal{Reason: Flat}
	}
	const mostFlat = 0.6
	if share := float64(a.scan.clip.Samples) / float64(len(a.signal.Samples)); share > mostFlat {
		return best, slow, &Refusal{Reason: TooMuchClipped, Got: share}
	}
	best, slow = find(a.signal.Samples)
	const chance = 1e-3 // that noise gets past; the fit decides
	if need := math.Log(float64(len(a.signal.Samples)) / chance); best.power < need {
		if slow.power > need {
			return best, slow, &Refusal{Reason: TooFewCycles, Got: slow.cycles, Need: fewestCycles}
		}
		// The peak's power over the noise's is half the square of amplitude
		// over its standard uncertainty.
		return best, slow, &Refusal{Reason: NoTone, Got: math.Sqrt(2 * best.power), Need: math.Sqrt(2 * need)}
	}
	return best, slow, nil
}

// tooSlow turns a missing tone or fit into too few cycles where there was a
// slower and stronger peak.
func tooSlow(err error, best, slow candidate) error {
	if r, ok := err.(*Refusal); ok && (r.Reason == NoTone || r.Reason == NoFit) && slow.power > best.power {
		return &Refusal{Reason: TooFewCycles, Got: slow.cycles, Need: fewestCycles}
	}
	return err
}

// rings fits the bursts, the loudest first, and returns those that hold a
// tone in order of time, with the number of bursts that there are. When none
// does, the error is that of the loudest.
func (a *analysis) rings(c candidate) (rings []*ring, found int, err error) {
	list := a.bursts(c)
	found = len(list)
	slices.SortStableFunc(list, func(s, t stretch) int {
		return cmp.Compare(a.loudness(t), a.loudness(s))
	})
	for i, st := range list[:min(found, mostBursts)] {
		r, e := a.ring(st, c)
		switch {
		case e == nil:
			rings = append(rings, r)
		case err == nil:
			err = e
		}
		a.progress(0.2 + 0.7*float64(i+1)/float64(min(found, mostBursts)))
	}
	if len(rings) == 0 {
		if err == nil {
			err = &Refusal{Reason: TooFewCycles, Need: fewestCycles}
		}
		return nil, found, err
	}
	slices.SortFunc(rings, func(r, q *ring) int { return r.from - q.from })
	return rings, found, nil
}

// bursts finds where the tone sets in, first roughly, then to a quarter cycle.
func (a *analysis) bursts(c candidate) []stretch {
	y := a.signal.Samples
	e := follow(y, c)
	e.clipped = a.scan.clip.any()
	list := e.bursts(len(y))
	cycle := int(2 * math.Pi / c.omega)
	for i, st := range list {
		if st.from == 0 || e.width < 2*cycle {
			continue
		}
		near := stretch{max(0, st.from-2*e.width), min(st.to, st.from+2*e.width)}
		fine := follow(y[near.from:near.to], c)
		if on := fine.onsets(); len(on) > 0 {
			list[i].from = near.from + on[0]*fine.hop
		}
	}
	return list
}

// loudness is the mean square of the beginning of a stretch about its mean.
func (a *analysis) loudness(s stretch) float64 {
	const beginning = 4096
	return variance(a.signal.Samples[s.from:min(s.to, s.from+beginning)])
}

// ring fits one stretch and refuses one that holds no tone.
func (a *analysis) ring(st stretch, c candidate) (*ring, error) {
	r, err := a.ringAt(st, c)
	if err != nil {
		return nil, err
	}
	const chance = 1e-4 // that the strongest of so many independent bins is noise
	need := math.Sqrt(2 * math.Log(float64(r.fit.series.used())/chance))
	if v, u := r.amplitude(0); !(v > need*u) {
		// What noise of this size, if it were white, could not do either.
		if v > 2*need*r.rms*math.Sqrt(2/float64(r.fit.series.used())) {
			return nil, &Refusal{Reason: NoFit}
		}
		return nil, &Refusal{Reason: NoTone, Got: v / u, Need: need}
	}
	if n := r.cycles(); n < fewestCycles {
		return nil, &Refusal{Reason: TooFewCycles, Got: n, Need: fewestCycles}
	}
	r.long = a.extend(r, st.to)
	a.like = r.fit.tones[0]
	return r, nil
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
