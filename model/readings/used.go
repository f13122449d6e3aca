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

// All goes through the states of one list after another.
func All(lists ...iter.Seq[*State]) iter.Seq[*State] {
	return func(yield func(*State) bool) {
		for _, list := range lists {
			for s := range list {
				if !yield(s) {
					return
				}
			}
		}
	}
}

// Of picks the parts on the top in s from those that it refers to.
func (s *State) Of(parts []Part) (list []Part) {
	for _, p := range s.Parts {
		list = append(list, parts[p])
	}
	return list
}

// Names lists those of parts.
func Names(parts []Part) (names []string) {
	for i := range parts {
		names = append(names, parts[i].Name)
	}
	return names
}

// Open tells whether a part has an unknown of its own.
func (p *Part) Open() bool { return !p.Known || p.Uncertainty > 0 && p.Common < 1 }

// Shares tells whether some of p's error is that of its lot.
func (p *Part) Shares() bool { return p.Known && p.Uncertainty > 0 && p.Lot != "" && p.Common > 0 }
