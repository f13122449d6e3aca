package ringing

import "fitcoil/model/quantities"

// disclaim marks what the tones say as without an uncertainty where they leave
// far more than noise: what else is in the capture moves them by nobody knows
// how much.
func (r *Result) disclaim() {
	for _, n := range r.Notes {
		r.Unclaimed = r.Unclaimed || n.Kind == NotOneSine && n.Values[0] > NoUncertainty
	}
	if !r.Unclaimed {
		return
	}
	for _, e := range []*quantities.Estimate{&r.Resonance, &r.Frequency, &r.Quality, &r.Damping, &r.Amplitude, &r.Offset} {
		e.Unclaimed = true
	}
	r.eachTone(func(t *Tone) {
		for _, e := range []*quantities.Estimate{&t.Frequency, &t.Natural, &t.Damping, &t.Quality, &t.Amplitude} {
			e.Unclaimed = true
		}
		t.QualityAtLeast = 0
	})
	r.QualityAtLeast, r.Covariance = 0, nil
}

// eachTone calls do with all tones, modes and bursts' tones.
func (r *Result) eachTone(do func(*Tone)) {
	for _, list := range [][]Tone{r.Tones, r.Modes} {
		for i := range list {
			do(&list[i])
		}
	}
	for i := range r.Bursts {
		do(&r.Bursts[i].Tone)
	}
}
