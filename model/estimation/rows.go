package estimation

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"fitcoil/fit"
	"fitcoil/model/forward"
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

// Alone returns the relative standard uncertainty that the model adds to a reading
// in s by itself: where an unknown stands for the error of its place, what is left.
func (p *Problem) Alone(x []float64, s *readings.State) float64 {
	u := p.TransferUncertainty(x, s)
	if !s.Partly() {
		return u
	}
	m := p.ModelUncertainty(x, s)
	if p.Place(s) >= 0 {
		return math.Hypot(u, forward.Apart*m)
	}
	return math.Hypot(u, m*math.Sqrt(math.Max(1, float64(p.placed[s.Stretch()]))))
}

// Uncertainty returns the standard uncertainty of the frequency read, together
// with what the model adds to it [Hz].
func (p *Problem) Uncertainty(x []float64, r *readings.Reading) float64 {
	return math.Hypot(r.Uncertainty, p.Alone(x, &r.State)*r.Frequency)
}

// among is the uncertainty of data row k as it counts among those that err alike [Hz].
func (p *Problem) among(x []float64, k int) float64 {
	r := &p.Log.Readings[p.Rows[k]]
	return math.Hypot(p.Factor(k)*r.Uncertainty, p.Alone(x, &r.State)*r.Frequency)
}

// weigh takes the uncertainties of the readings, and what the model errs by where that
// is an unknown, at x.
func (p *Problem) weigh(x []float64) {
	p.Weighed = make([]float64, len(p.Rows))
	if len(p.Places) > 0 {
		p.model = make([]float64, len(p.Rows))
	}
	p.placed = map[readings.Stretch]int{}
	for _, i := range p.Rows {
		if s := &p.Log.Readings[i].State; s.Partly() {
			p.placed[s.Stretch()]++
		}
	}
	for k, i := range p.Rows {
		r := &p.Log.Readings[i]
		p.Weighed[k] = p.among(x, k)
		if p.Place(&r.State) >= 0 {
			p.model[k] = p.ModelUncertainty(x, &r.State)
		}
	}
}

// erring multiplies a frequency by what the model errs in data row i, and adds that
// to ∂ln f/∂x.
func (p *Problem) erring(x []float64, i int, f float64, grad []float64) float64 {
	if p.model == nil || p.model[i] == 0 {
		return f
	}
	k := p.Place(&p.Log.Readings[p.Rows[i]].State)
	if grad != nil {
		grad[k] = forward.InCommon * p.model[i]
	}
	return f * math.Exp(forward.InCommon*p.model[i]*x[k])
}
