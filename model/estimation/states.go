package estimation

import (
	"slices"

	"fitcoil/model/forward"
	"fitcoil/model/readings"
)

// stateTable keeps the frequency and the gradient of each state that readings
// have in common, at the x worked out last: in a long log many readings share
// few states.
type stateTable struct {
	states []readings.State
	of     []int     // state of each data row
	x      []float64 // where the rest holds
	f      []float64 // Hz
	grad   []float64 // ∂ln f/∂x, one row a state
}

// worthwhile is how many readings a state must have on average for a table to
// pay.
const worthwhile = 4

// newStateTable lists the states of the used readings; nil where they differ too
// much for a table to pay.
func newStateTable(log readings.Log, rows []int) *stateTable {
	t := &stateTable{}
	alike := map[readings.StateKey][]int{} // states to compare with
	for _, i := range rows {
		s := &log.Readings[i].State
		c := s.Key()
		k := slices.IndexFunc(alike[c], func(k int) bool { return readings.Same(&t.states[k], s) && t.states[k].Exact == s.Exact })
		if k >= 0 {
			k = alike[c][k]
		} else {
			k = len(t.states)
			t.states = append(t.states, *s)
			alike[c] = append(alike[c], k)
		}
		t.of = append(t.of, k)
		if len(t.states) > len(rows)/worthwhile {
			return nil
		}
	}
	return t
}

// at brings the table to x.
func (t *stateTable) at(f *forward.Model, x []float64) {
	if slices.Equal(t.x, x) {
		return
	}
	n := f.Width()
	if t.x == nil {
		t.x, t.f, t.grad = make([]float64, f.N), make([]float64, len(t.states)), make([]float64, len(t.states)*n)
	}
	copy(t.x, x)
	for k := range t.states {
		t.f[k] = f.Ideal(x, &t.states[k], t.grad[k*n:(k+1)*n])
	}
}
