package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Problem is the least-squares problem of a session, with what stands behind
// each of its rows.
type Problem struct {
	fit.Problem
	*forward.Model
	Rows       []int        // index in Log.Readings of each data row
	Weighed    []float64    // standard uncertainty of each data row [Hz]
	stated     []float64    // the same before scatter enlarged it; nil where it didn't
	factors    []float64    // factor on the uncertainty of each data row, see roundings; nil: 1
	Origins    []Origin     // of each prior row
	Assumed    []Assumption // what each prior row assumes, but for known values
	PriorOf    []int        // index in Log.Parts of each prior row that is the tolerance of a part; −1 for others
	Anchors    int          // see Priors
	Wide       float64      // factor on the tolerances of parts, see Widen
	BenchFixed bool         // there is next to no lead and drift, see room
	Loose      []int        // unknowns whose priors the readings contradict, see loosen
	Earlier    []Earlier
	Knowns     []knownRow
	Log        readings.Log
	moments    []float64                // of each reading, from −½ for the first to ½ for the last
	table      *stateTable              // nil where readings share few states
	placed     map[readings.Stretch]int // number of data rows with a core partly in, by where it is
	model      []float64                // what the model errs by in each data row, relative, where that is an unknown; nil without any
}

// knownRow is the prior row of a known value.
type knownRow struct {
	quantities.Known
	q     forward.Quantity
	Drawn bool // computed from the drawing
}

// long is the number of readings from which on it pays to look for states that
// they have in common all over the log, not just one after the other.
const long = 50

// Knows tells whether a value is known of the quantity.
func (p *Problem) Knows(name string) bool {
	return slices.ContainsFunc(p.Knowns, func(k knownRow) bool { return k.Name == name })
}

// room returns the standard deviation of the prior of unknown k, in its own units. Readings
// so muddled that no fit converges are tried again with next to none.
func (p *Problem) room(k int) float64 {
	switch {
	case p.BenchFixed:
		return 1e-3
	case slices.Contains(p.Loose, k):
		return looser
	}
	return 1
}

// Factor is by what the uncertainty of data row k counts larger because other rows share
// its error.
func (p *Problem) Factor(k int) float64 {
	if p.factors == nil {
		return 1
	}
	return p.factors[k]
}

// ownOf returns which of the parts of their own has a name, −1 for none.
func (p *Problem) ownOf(name string) int {
	for i, k := range p.PartAt {
		if name != "" && k >= p.Common() && p.Parts[i].Name == name {
			return k - p.Common()
		}
	}
	return -1
}

// onBench tells whether inductance and capacitance at x are within what bounds allows, which
// straightened coordinates don't see to: with nothing to tell one from the other, a step may
// go anywhere along their product.
func (p *Problem) onBench(x []float64) bool {
	within := func(i int) bool { return x[i] >= p.Lower[i] && x[i] <= p.Upper[i] }
	return within(forward.AtL) && within(forward.AtC)
}

// Plain tells whether a state has only parts of known value on the top, nobody near and
// no primary that does anything.
func (p *Problem) Plain(s *readings.State) bool {
	for _, i := range s.Parts {
		if !p.Parts[i].Known {
			return false
		}
	}
	return math.IsInf(s.Hand, 1) && s.Primary.Kind == readings.PrimaryOpen
}

// Where readings contradict that there is hardly a lead or a drift, the readings count: the
// prior then is looser by a factor, lest it take a real drift for scatter.
const (
	looser      = 40
	contradicts = 0.8 // level of confidence with which readings contradict a prior: a loose one costs nothing where they tell more
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
