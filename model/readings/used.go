package readings

import "iter"

// Used lists the states of the readings used.
func (log *Log) Used() iter.Seq[*State] {
	return func(yield func(*State) bool) {
		for i := range log.Readings {
			if r := &log.Readings[i]; r.Use && !yield(&r.State) {
				return
			}
		}
	}
}

// Each goes through states.
func Each(states []State) iter.Seq[*State] {
	return func(yield func(*State) bool) {
		for i := range states {
			if !yield(&states[i]) {
				return
			}
		}
	}
}

// Open tells whether a part has an unknown of its own.
func (p *Part) Open() bool { return !p.Known || p.Uncertainty > 0 && p.Common < 1 }

// Shares tells whether some of p's error is that of its lot.
func (p *Part) Shares() bool { return p.Known && p.Uncertainty > 0 && p.Lot != "" && p.Common > 0 }
