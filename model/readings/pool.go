package readings

// Pool gathers the readings of a long log by state, in memory that grows with
// the number of states and hardly with that of readings. The zero value is
// empty.
//
// Least squares sees no difference: Σ(fᵢ − f)²/uᵢ² over readings of one state is
// that of their weighted mean, and a constant. What differs is that the scatter
// within a state, and the model's failing between states, are told apart: a
// million readings prove a model no better than the states they were taken in.
//
// A Robust pool keeps a few numbers of each reading, for means that misread ones don't
// move (see sample).
type Pool struct {
	Robust bool
	groups []*group
	at     map[poolKey][]int // indexes of the groups that may be meant
}

type poolKey struct {
	StateKey
	exact float64
	use   bool
}

// Add takes one reading in that was taken at a moment (see Log.Moments).
func (p *Pool) Add(r Reading, moment float64) {
	key := poolKey{r.Key(), r.Exact, r.Use}
	for _, k := range p.at[key] {
		if g := p.groups[k]; Same(&g.State, &r.State) {
			g.add(&r)
			g.moment.add(moment)
			return
		}
	}
	if p.at == nil {
		p.at = map[poolKey][]int{}
	}
	p.at[key] = append(p.at[key], len(p.groups))
	g := &group{Reading: r, lowest: Extreme{r.Line, r.Frequency}, highest: Extreme{r.Line, r.Frequency}}
	if p.Robust {
		g.sample = &sample{}
	}
	g.add(&r)
	g.moment.add(moment)
	p.groups = append(p.groups, g)
}

// Readings returns the mean of each state as a reading of its own, in the order
// in which the states came first; a state read once is that reading.
func (p *Pool) Readings() []Reading {
	out := make([]Reading, len(p.groups))
	for i, g := range p.groups {
		out[i] = g.mean()
	}
	return out
}

// Moments returns when those of Readings were taken, on average.
func (p *Pool) Moments() []float64 {
	out := make([]float64, len(p.groups))
	for i, g := range p.groups {
		out[i] = g.moment.value()
	}
	return out
}
