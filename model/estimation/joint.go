package estimation

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
)

// Joint is what is known of several quantities together.
type Joint struct {
	Estimates  []*quantities.Estimate
	Covariance []float64 // n × n, row after row, SI
}

// mostJoint is the number of quantities above which those of single parts are left out of a
// covariance matrix, which grows with the square of it.
const mostJoint = 200

// Joint returns the covariance of all that has a standard uncertainty.
func (r *Result) Joint() (j Joint) {
	var gradients [][]float64
	all := r.Problem.Quantities()
	for e := range r.All() {
		if !e.Determined || !quantities.Finite(e.Uncertainty) || e.Part != "" && len(r.Parameters) > mostJoint {
			continue
		}
		if grad := r.gradient(e, all); grad != nil {
			j.Estimates, gradients = append(j.Estimates, e), append(gradients, grad)
		}
	}
	j.Covariance = r.Covariance.Matrix(gradients)
	for i, e := range j.Estimates {
		if e.Name == quantities.StrayCapacitance { // it has the ball's besides
			j.Covariance[i*len(j.Estimates)+i] = e.Uncertainty * e.Uncertainty
		}
	}
	return j
}

// gradient returns ∂e/∂x, of the top's capacitance for that beyond a ball's own; nil where
// e is none of the quantities in all.
func (r *Result) gradient(e *quantities.Estimate, all []forward.Quantity) []float64 {
	key := e.Key
	if e.Name == quantities.StrayCapacitance {
		key.Name = quantities.TopCapacitance
	}
	q, ok := quantityOf(key, all)
	if !ok {
		return nil
	}
	grad := make([]float64, r.Problem.N)
	q.Value(r.Problem.Model, r.Solution.X, grad)
	return grad
}

// Pair returns the effective pair of the fit; ok is false where it is undetermined.
func (r *Result) Pair() (p quantities.Pair, ok bool) {
	l, c := r.Find(quantities.Key{Name: quantities.EffectiveInductance}), r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	lc := r.Find(quantities.Key{Name: quantities.LCProduct})
	if l == nil || c == nil || lc == nil || !l.Determined || !c.Determined || !lc.Determined || l.Bound != fit.Free || c.Bound != fit.Free {
		return p, false
	}
	ul, uc, u := l.Uncertainty/l.Value, c.Uncertainty/c.Value, lc.Uncertainty/lc.Value
	p = quantities.Pair{Inductance: *l, Capacitance: *c, Degrees: r.degrees(l.Budget)}
	// u²(ln LC) = u²(ln L) + u²(ln C) + 2 cov(ln L, ln C)
	p.Correlation = (u*u - ul*ul - uc*uc) / (2 * ul * uc)
	p.Correlation = math.Min(math.Max(p.Correlation, -1), 1) // but for rounding
	return p, quantities.Finite(p.Correlation)
}
