package estimation

import (
	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/readings"
	"math"
	"slices"
)

// earlierRows returns the rows of each earlier session.
func (p *Problem) earlierRows() (blocks []fit.Rows) {
	for i := range p.Earlier {
		e := &p.Earlier[i]
		blocks = append(blocks, fit.Rows{N: len(e.States), Evaluate: func(x []float64, first int, r, jac []float64) {
			p.earlierBlock(e, x, first, r, jac)
		}})
	}
	return blocks
}

// earlierBlock writes rows first … of one earlier session.
func (p *Problem) earlierBlock(e *Earlier, x []float64, first int, r, jac []float64) {
	n, width, stray := len(e.States), p.Width(), -1 // where the unknown of its bench stands; −1 for the present one
	if e.Bench > 0 {
		stray = p.Strays[e.Bench-1]
	}
	clear(r)
	clear(jac)
	grad := make([]float64, width)
	for k := range first + len(r) {
		s := e.States[k]
		if stray >= 0 {
			s.Exact += forward.StraySigma * x[stray]
		}
		f := p.Ideal(x, &s, grad)
		if stray >= 0 {
			grad[stray] = forward.StraySigma * p.Resonance.PerTop
		}
		off := math.Log(e.Hertz[k] / f)
		for i := max(0, k-first); i < len(r); i++ {
			w := e.root[(first+i)*n+k]
			r[i] += w * off
			if jac != nil && w != 0 {
				row := jac[i*width:][:width]
				for j, g := range grad {
					row[j] -= w * g
				}
			}
		}
	}
}

// beside returns p and its log with the readings of earlier sessions among them, to start from.
func (p *Problem) beside(log readings.Log) (*Problem, readings.Log) {
	if p.Earlier == nil {
		return p, log
	}
	q := *p
	q.Rows, log.Readings = slices.Clone(p.Rows), slices.Clone(log.Readings)
	for i := range p.Earlier {
		e := &p.Earlier[i]
		for k, s := range e.States {
			q.Rows = append(q.Rows, len(log.Readings))
			log.Readings = append(log.Readings, readings.Reading{State: s, Frequency: e.Hertz[k], Uncertainty: e.Hertz[k] * e.Relative[k], Use: true})
		}
	}
	return &q, log
}

// earlierOf returns the earlier session that prior row i comes from.
func (p *Problem) earlierOf(i int) *Earlier {
	i -= slices.Index(p.Origins, FromEarlier)
	k := 0
	for i >= len(p.Earlier[k].States) {
		i -= len(p.Earlier[k].States)
		k++
	}
	return &p.Earlier[k]
}
