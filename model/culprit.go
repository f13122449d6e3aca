package model

import "math"

// culprit looks for the one part or known value whose stated value makes the
// readings look scattered: with it left open, their scatter falls to a third or to
// what is stated. A prior that is held for true costs the scatter dearly, and is
// then hardly moved itself, so that its pull in the joint fit doesn't show.
func (r *Result) culprit() (f Finding, found bool) {
	if !(r.scatter.Scale >= 1.5) {
		return f, false
	}
	least := math.Max(1.05, r.scatter.Scale/3)
	tolerance := 0
	for i, o := range r.problem.origins {
		if o == fromAssumption {
			continue
		}
		part := -1
		if o == fromTolerance {
			part = r.problem.tolerated(tolerance)
			tolerance++
		}
		x, pull, scale := r.leaveOpen(i)
		switch {
		case !(scale <= least):
		case part >= 0 && math.Abs(pull) > partOff:
			least, found = scale, true
			f = Finding{Kind: PartOffTolerance, Name: r.problem.parts[part].Name, Value: r.problem.part(x, part), Other: pull}
		case part < 0 && math.Abs(pull) > knownOff:
			k := r.problem.knowns[i-(len(r.problem.origins)-len(r.problem.knowns))]
			least, found = scale, true
			f = Finding{Kind: KnownContradicts, Name: k.Name, Value: k.Value, Other: pull}
		}
	}
	return f, found
}

// leaveOpen fits without prior row i. It returns the solution, by how many of its
// standard deviations the row would miss it, and the scatter of the readings;
// NaN without a solution.
func (r *Result) leaveOpen(i int) (x []float64, pull, scale float64) {
	p := *r.problem
	all := p.Prior.Evaluate
	p.Prior.Evaluate = func(x []float64, first int, res, jac []float64) {
		all(x, first, res, jac)
		if k := i - first; k >= 0 && k < len(res) {
			res[k] = 0
			if jac != nil {
				clear(jac[k*p.n : (k+1)*p.n])
			}
		}
	}
	x = append([]float64(nil), r.fit.X...)
	p.byOwn()
	solution, err := p.enlarge(x, solverSettings(r.session))
	if err != nil || !solution.Status.Converged() {
		return x, math.NaN(), math.NaN()
	}
	x = solution.X
	miss, row := make([]float64, 1), make([]float64, p.n)
	all(x, i, miss, row)
	variance, determined := solution.Covariance().Variance(row)
	if !determined {
		return x, math.NaN(), math.NaN()
	}
	return x, miss[0] / math.Sqrt(1+variance), solution.scatter.Scale
}
