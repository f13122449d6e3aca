package estimation

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"fitcoil/model/forward"
	"fitcoil/model/readings"
)

// NewProblem assembles the fit of the used readings of s, with room for the
// unknowns of further states.
func NewProblem(s Session, further ...readings.State) (*Problem, error) {
	f := forward.New(&s.Log, s.Resonator(), s.Lumped, s.Known, s.earlier(), further)
	p := &Problem{Model: f, Log: s.Log, Earlier: s.Earlier, moments: s.Log.RelativeMoments(), Wide: math.Max(1, s.wide), Rows: make([]int, 0, len(s.Log.Readings))}
	for i := range s.Log.Readings {
		if s.Log.Readings[i].Use {
			p.Rows = append(p.Rows, i)
		}
	}
	if len(s.Known) > 0 {
		if err := p.matchKnowns(s.Known, s.Open); err != nil {
			return nil, err
		}
	}
	if s.Drawn != nil {
		p.matchDrawn(s.Drawn.Known(), s.Open)
	}
	if len(p.Rows) >= long {
		p.table = newStateTable(s.Log, p.Rows)
	}
	p.Params, p.Own = f.N, f.Owned
	p.Data = p.dataRows()
	p.Prior = p.Priors(0)
	p.Lower, p.Upper = f.Bounds()
	var x []float64 // only a core or a primary makes an uncertainty depend on it
	if len(p.Cores)+len(p.Couplings) > 0 {
		x = p.Start(s.Log)
	}
	p.factors = p.roundings()
	if s.Alike > 0 {
		if p.factors == nil {
			p.factors = slices.Repeat([]float64{1}, len(p.Rows))
		}
		floats.Scale(s.Counts(), p.factors)
	}
	p.countAlike()
	p.weigh(x)
	return p, nil
}

// adoptPriors gives p the priors on lead and drift of another fit of the same log.
func (p *Problem) adoptPriors(other *Problem) {
	p.BenchFixed, p.Loose = other.BenchFixed, nil
	for _, k := range other.Loose {
		switch k {
		case other.Lead:
			p.Loose = append(p.Loose, p.Lead)
		case other.Drift:
			p.Loose = append(p.Loose, p.Drift)
		}
	}
	p.Prior = p.Priors(other.Anchors)
}
