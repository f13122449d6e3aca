package ringing

// Sole returns which of several voltages of one record is the one of the coil:
// the only one with a tone, or the only one that decays. A voltage without a
// tone has a nil result. ok is false when several are left, or none.
func Sole(results []*Result) (at int, ok bool) {
	var tones, decays []int
	for i, r := range results {
		if r == nil {
			continue
		}
		tones = append(tones, i)
		if r.Kind == Decay {
			decays = append(decays, i)
		}
	}
	switch {
	case len(tones) == 1:
		return tones[0], true
	case len(decays) == 1:
		return decays[0], true
	}
	return 0, false
}
