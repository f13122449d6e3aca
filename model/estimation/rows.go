package estimation

import (
	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
	"fitcoil/model/readings"
)

// state returns the frequency of data row i, in state s, and writes ∂ln f/∂x.
func (p *Problem) state(x []float64, i int, s *readings.State, grad []float64) float64 {
	if p.table == nil {
		return p.erring(x, i, p.Ideal(x, s, grad), grad)
	}
	p.table.at(p.Model, x)
	k := p.table.of[i]
	n := p.Width()
	copy(grad, p.table.grad[k*n:(k+1)*n])
	return p.erring(x, i, p.table.f[k], grad)
}

// readings writes the residuals (read − model)/u of data rows first … and
// their derivatives. Readings of one state mostly follow each other: then the
// row before has all but u.
func (p *Problem) readings(log readings.Log, x []float64, first int, r, jac []float64) {
	n := p.Width()
	var f, hz, u float64
	var grad []float64
	var before *readings.State
	for i := range r {
		reading := &log.Readings[p.Rows[first+i]]
		last, lastHz := u, hz
		u = p.Weighed[first+i]
		above := grad
		if jac != nil {
			grad = jac[i*n : (i+1)*n]
		}
		drift, slope := p.Drifted(x, p.moments[p.Rows[first+i]])
		var scale float64
		if before != nil && before.Repeats(&reading.State) {
			copy(grad, above)
			hz = f * drift
			scale = hz / lastHz * last / u
		} else {
			f = p.state(x, first+i, &reading.State, grad)
			hz = f * drift
			scale = -hz / u
		}
		before = &reading.State
		r[i] = (reading.Frequency - hz) / u
		floats.Scale(scale, grad)
		if jac != nil && p.Drift >= 0 {
			grad[p.Drift] = -hz / u * slope
		}
	}
}

// dataRows returns the rows of the readings.
func (p *Problem) dataRows() fit.Rows {
	e := fit.Rows{N: len(p.Rows), Evaluate: func(x []float64, first int, r, jac []float64) {
		p.readings(p.Log, x, first, r, jac)
	}}
	if p.Owned > 0 {
		e.Own = make([]int, len(p.Rows))
		for k, i := range p.Rows {
			e.Own[k] = p.OwnPart(&p.Log.Readings[i].State)
		}
	}
	return e
}
