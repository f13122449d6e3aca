package readings

import "slices"

// leastRaised is the ratio of frequencies from which one counts as raised: no drift or digit makes so much.
const leastRaised = 1.02

// Raised returns two used readings, the second with all on the top that the first has and more, or with a
// hand nearer, and otherwise in the same state, whose frequency is nevertheless the higher one: a
// capacitance added lowers each resonance of a coil (Rayleigh's principle; J. W. Strutt, The Theory of
// Sound, 2nd ed. 1894, § 88, from memory). Of several such pairs it is that of the largest ratio; two zeros
// where there is none.
func Raised(log *Log) (lines [2]int) {
	most := leastRaised
	for i := range log.Readings {
		for k := range log.Readings {
			a, b := &log.Readings[i], &log.Readings[k]
			if ratio := b.Frequency / a.Frequency; a.Use && b.Use && ratio > most && b.beyond(&a.State) {
				most, lines = ratio, [2]int{a.Line, b.Line}
			}
		}
	}
	return lines
}

// beyond tells whether s is the other state with more capacitance on the top, and nothing less.
func (s *State) beyond(other *State) bool {
	if s.Stretch() != other.Stretch() || s.Primary != other.Primary || s.Exact < other.Exact || s.Hand > other.Hand {
		return false
	}
	more := slices.Clone(s.Parts)
	for _, p := range other.Parts {
		at := slices.Index(more, p)
		if at < 0 {
			return false
		}
		more = slices.Delete(more, at, at+1)
	}
	return len(more) > 0 || s.Exact > other.Exact || s.Hand < other.Hand
}
