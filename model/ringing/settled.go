package ringing

import "math"

// loudness is the mean square of the beginning of a stretch about its mean.
func (a *analysis) loudness(s stretch) float64 {
	const beginning = 4096
	return variance(a.signal.Samples[s.from:min(s.to, s.from+beginning)])
}

// ring fits one stretch and refuses one that holds no tone.
func (a *analysis) ring(st stretch, c candidate) (*ring, error) {
	r, err := a.decay(st, c)
	if err != nil {
		return nil, err
	}
	return a.settled(r, st, c)
}

// settled finds the beginning of a ring fitted from the first sample of a
// stretch on, and refuses one that holds no tone.
func (a *analysis) settled(r *ring, st stretch, c candidate) (*ring, error) {
	r = a.begin(r, st, c)
	if a.first == st.from { // nothing rings before
		cycle := int(2 * math.Pi / c.omega)
		r.before = stretch{0, max(0, st.from-2*cycle)}
	}
	if r.excess = a.excess(r, st); r.excess > notOneSine {
		if h, ok := r.halves(); ok {
			r.spread(h)
		}
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
		why := RecordEnds
		if all := float64(st.len()) * c.omega / (2 * math.Pi); all >= 2*fewestCycles {
			why = Dies
		}
		return nil, &Refusal{Reason: TooFewCycles, Got: n, Need: fewestCycles, Short: why}
	}
	r.long = a.extend(r, st.to)
	a.like = r.fit.tones[0]
	return r, nil
}
