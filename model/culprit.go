package model

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
)

// culprit looks for the one part or known value whose stated value makes the
// readings look scattered: with it left open, their scatter falls to a third or to
// what is stated. A prior that is held for true costs the scatter dearly, and is
// then hardly moved itself, so that its pull in the joint fit doesn't show.
func (r *Result) culprit() (f Finding, found bool) {
	if !(r.scatter.Scale >= 1.5) {
		return f, false
	}
	least := math.Max(1.05, r.scatter.Scale/3)
	for _, i := range r.suspectPriors() {
		part := r.problem.priorOf[i]
		x, pull, scale := r.leaveOpen(i)
		switch {
		case !(scale <= least):
		case part >= 0 && math.Abs(pull) > r.partOff():
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
				n := p.width()
				clear(jac[k*n : (k+1)*n])
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
	miss, row := make([]float64, 1), make([]float64, p.width())
	all(x, i, miss, row)
	variance, determined := solution.Covariance().Variance(p.spreadOut(row, p.Prior.Own, i))
	if !determined {
		return x, math.NaN(), math.NaN()
	}
	return x, miss[0] / math.Sqrt(1+variance), solution.scatter.Scale
}

// mostSuspect is the number of tolerances and known values that are left open in turn.
const mostSuspect = 12

// suspectPriors lists the tolerances and known values whose absence would lower the sum
// of squares most, by the square of the studentised residual for a linear model.
func (r *Result) suspectPriors() (list []int) {
	rows := fit.Diagnose(r.problem.Problem, r.fit)[len(r.problem.rows):]
	for i, o := range r.problem.origins {
		if o == fromTolerance || o == fromKnown {
			list = append(list, i)
		}
	}
	if len(list) > mostSuspect {
		slices.SortStableFunc(list, func(a, b int) int {
			return cmp.Compare(math.Abs(rows[b].Studentised), math.Abs(rows[a].Studentised))
		})
		list = list[:mostSuspect]
		slices.Sort(list)
	}
	return list
}
