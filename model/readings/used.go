package readings

import (
	"iter"
	"math"
	"slices"
)

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

// mostHands is the number of distances of a hand that are told of.
const mostHands = 12

// Hands lists the distances [m] at which log has a hand, the smallest first: some
// of them where it has a great many, the smallest and the largest among these.
func Hands(log Log) []float64 {
	return Thinned(Distances(func(yield func(*State) bool) {
		for i := range log.Readings {
			if !yield(&log.Readings[i].State) {
				return
			}
		}
	}))
}

// Distances lists those of the hands in states, in order.
func Distances(states iter.Seq[*State]) []float64 {
	seen := map[float64]struct{}{}
	var list []float64
	for s := range states {
		if _, known := seen[s.Hand]; known || math.IsInf(s.Hand, 1) {
			continue
		}
		seen[s.Hand] = struct{}{}
		list = append(list, s.Hand)
	}
	slices.Sort(list)
	return list
}

// Thinned takes mostHands of a longer list, evenly by their place in it.
func Thinned(list []float64) []float64 {
	if len(list) <= mostHands {
		return list
	}
	few := make([]float64, mostHands)
	for i := range few {
		few[i] = list[i*(len(list)-1)/(mostHands-1)]
	}
	return few
}

// moment returns when reading i was taken, in hours or in readings.
func (l *Log) moment(i int) float64 {
	if l.Moments != nil {
		return l.Moments[i]
	}
	return float64(i)
}

// Span returns the moments of the first and the last reading used.
func (l *Log) Span() (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i := range l.Readings {
		if l.Readings[i].Use {
			from, to = math.Min(from, l.moment(i)), math.Max(to, l.moment(i))
		}
	}
	return from, to
}

// RelativeMoments returns when each reading was taken, from −½ for the first one used to ½ for the
// last.
func (l *Log) RelativeMoments() []float64 {
	from, to := l.Span()
	out := make([]float64, len(l.Readings))
	if !(to > from) {
		return out
	}
	for i := range out {
		out[i] = (l.moment(i)-from)/(to-from) - 0.5
	}
	return out
}
