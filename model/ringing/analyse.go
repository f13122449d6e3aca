package ringing

import "math"

// Analyse finds the tone in a signal. The error of a signal that doesn't
// determine a frequency is a [*Refusal].
func Analyse(signal Signal, set Settings) (*Result, error) {
	if err := signal.check(); err != nil {
		return nil, err
	}
	a := &analysis{signal: signal, set: set}
	a.scan = scanSamples(signal.Samples)
	a.progress(0.1)
	if err := a.hopeless(); err != nil {
		return nil, err
	}
	list, slow := find(signal.Samples, a.need())
	a.progress(0.2)
	f, err := a.choose(list)
	if err != nil {
		return nil, a.tooFew(err, list, slow)
	}
	a.progress(0.9)
	r := a.result(f)
	r.Drawing = a.draw(r, f.rings)
	a.progress(1)
	return r, nil
}

// hopeless refuses what needs no fit to be refused.
func (a *analysis) hopeless() error {
	if a.scan.max == a.scan.min {
		return &Refusal{Reason: Flat}
	}
	const mostFlat = 0.6 // with 0.3 a clipped steady tone is refused, with 0.9 nothing changes
	if share := float64(a.scan.clip.Samples) / float64(len(a.signal.Samples)); share > mostFlat {
		return &Refusal{Reason: TooMuchClipped, Got: share}
	}
	return nil
}

// tooFew turns a missing tone or fit into too few cycles where there was a
// slower and stronger peak, or something brief.
func (a *analysis) tooFew(err error, list []candidate, slow candidate) error {
	r, ok := err.(*Refusal)
	if !ok || r.Reason != NoTone && r.Reason != NoFit {
		return err
	}
	for _, c := range list {
		if c.power > slow.power {
			return err
		}
	}
	if slow.power > r.Need*r.Need/2 {
		return &Refusal{Reason: TooFewCycles, Got: slow.cycles, Need: fewestCycles, Short: Slow}
	}
	if len(list) == 0 && profileOf(a.signal.Samples).brief() {
		return &Refusal{Reason: TooFewCycles, Need: fewestCycles, Short: Over}
	}
	return err
}

const mostCandidates = 5 // tried, a fit each

// choose fits the candidates in turn and returns the one that decays with the
// most energy: a steady tone is a drive's, or a station's, and a spark is short.
// Where none decays, it is the first that can be fitted, and a ring may show
// when that is taken off.
func (a *analysis) choose(list []candidate) (best finding, err error) {
	const close = 0.1 // of the weight of the candidate that decays; half of it changes nothing, twice one capture a little
	if len(list) == 0 {
		need := a.need()
		return best, &Refusal{Reason: NoTone, Need: math.Sqrt(2 * need)}
	}
	var seen []tone
	tried, energy, weight := 0, 0.0, 0.0
	for _, c := range list {
		if tried == mostCandidates || c.weight() < close*weight {
			break
		}
		if a.accounted(c, seen) {
			continue
		}
		tried++
		rings, found, e := a.rings(c)
		a.like = tone{}
		if e != nil {
			if err == nil {
				err = e
			}
			continue
		}
		f := finding{rings: rings, found: found}
		if f.decays(a.signal.Interval) {
			t := f.loudest().fit.tones[0]
			if v := f.loudest().fit.size(0); v*v/t.alpha > energy {
				best, energy = f, v*v/t.alpha
			}
			weight = math.Max(weight, c.weight())
		} else if best.rings == nil {
			best = f
		}
		for _, r := range rings {
			seen = append(seen, r.principal(c.omega/a.signal.Interval)...)
		}
	}
	if best.rings == nil {
		return best, err
	}
	if energy == 0 {
		best, _ = a.behind(best)
	}
	return best, nil
}
