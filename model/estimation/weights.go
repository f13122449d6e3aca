package estimation

import (
	"math"

	"fitcoil/model/forward"
	"fitcoil/model/readings"
)

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
