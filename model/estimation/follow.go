package estimation

import (
	"iter"
	"slices"

	"fitcoil/model/forward"
	"fitcoil/model/readings"
)

// earlier is what s has of earlier sessions for its unknowns.
func (s *Session) earlier() (e forward.Earlier) {
	for i := range s.Earlier {
		e.States = append(e.States, s.Earlier[i].States...)
		e.Benches = max(e.Benches, s.Earlier[i].Bench)
	}
	return e
}

// StatesRead lists the states of the readings used, and of those of earlier sessions.
func (s *Session) StatesRead() iter.Seq[*readings.State] {
	lists := []iter.Seq[*readings.State]{s.Log.Used()}
	for i := range s.Earlier {
		lists = append(lists, readings.Each(s.Earlier[i].States))
	}
	return readings.All(lists...)
}

// Follow has s follow an earlier session, whose parts and cores go by the names of this one:
// parts that the log of s doesn't have join it, as they were stated then, and so does the value
// of one that has none here. Known values join those of s, one that both have only once.
func (s *Session) Follow(e Earlier) {
	s.Log.Parts = slices.Clone(s.Log.Parts)
	index := make([]int, len(e.Parts))
	for i, part := range e.Parts {
		at := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Name == part.Name })
		switch {
		case at < 0:
			at = len(s.Log.Parts)
			s.Log.Parts = append(s.Log.Parts, part)
		case !s.Log.Parts[at].Known:
			s.Log.Parts[at] = part
		}
		index[i] = at
	}
	e.States = slices.Clone(e.States)
	for i := range e.States {
		list := make([]int, len(e.States[i].Parts))
		for k, p := range e.States[i].Parts {
			list[k] = index[p]
		}
		e.States[i].Parts = list
	}
	for _, k := range e.Known {
		if !slices.Contains(s.Known, k) {
			s.Known = append(slices.Clip(s.Known), k)
		}
	}
	e.root = e.whiten()
	s.Earlier = append(slices.Clip(s.Earlier), e)
}
