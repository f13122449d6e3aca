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
	for _, list := range [][]Tone{r.Tones, r.Modes} {
		for i := range list {
			list[i].disclaim()
		}
	}
	for i := range r.Bursts {
		r.Bursts[i].Tone.disclaim()
	}
	r.QualityAtLeast, r.Covariance = 0, nil
}

func (t *Tone) disclaim() {
	for _, e := range []*quantities.Estimate{&t.Frequency, &t.Natural, &t.Damping, &t.Quality, &t.Amplitude} {
		e.Unclaimed = true
	}
	t.QualityAtLeast = 0
}
