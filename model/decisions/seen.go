package decisions

import (
	"math"
	"slices"

	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// readSoFar is what the used readings have in them.
type readSoFar struct {
	states map[readings.StateKey][]*readings.State
	parts  map[int]bool
	most   float64 // largest capacitance on the top [F]
}

func newReadSoFar(r *estimation.Result) readSoFar {
	o := readSoFar{states: map[readings.StateKey][]*readings.State{}, parts: map[int]bool{}}
	for s := range r.Session.StatesRead() {
		o.states[s.Key()] = append(o.states[s.Key()], s)
		for _, p := range s.Parts {
			o.parts[p] = true
		}
		o.most = math.Max(o.most, r.Problem.Added(r.Solution.X, s))
	}
	return o
}

// state tells whether a used reading has the state s.
func (o *readSoFar) state(s *readings.State) bool {
	return slices.ContainsFunc(o.states[s.Key()], func(other *readings.State) bool { return readings.Same(other, s) })
}
