package findings

import (
	"cmp"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/stable"
)

// scattered is the scatter over what is stated from which on a prior may be its cause, calm what
// counts as none left. Plain choices: with 1.2 for the one, and with 1.01 or 1.5 for the other, the
// same is told of simulated sessions; with 3 for the one, one in twenty of those with a known
// value 6 u off is missed (TestWhatIsTold).
//
// With 1 for calm, scatter is told besides of all sessions with a part 8 u off, which have none.
const scattered, calm = 1.5, 1.05

// contradictingPrior looks for the one part or known value whose stated value makes the
// readings look scattered: with it left open, their scatter falls to a third or to
// what is stated, as it can't where the repeats of states scatter as much; of several, that
// without which χ² is least. A prior that is held for true costs the scatter dearly, and is then
// hardly moved itself, so that its pull in the joint fit doesn't show.
func contradictingPrior(r *estimation.Result, repeats *Repeats) (f Finding, found bool) {
	if !(r.Scatter.Scale >= scattered) || repeats.Explain() {
		return f, false
	}
	most, least := math.Max(calm, r.Scatter.Scale/3), math.Inf(1) // the same is told with 1.5 and 6
	for _, i := range suspectPriors(r) {
		part := r.Problem.PriorOf[i]
		x, pull, scatter := leaveOpen(r, i)
		switch {
		case !(scatter.Scale <= most && scatter.ChiSquare < least):
		case part >= 0 && math.Abs(pull) > partOff(r):
			least, found = scatter.ChiSquare, true
			f = Finding{Kind: PartOffTolerance, Name: r.Problem.Parts[part].Name, Value: r.Problem.Part(x, part), Other: pull, row: i}
		case part < 0 && math.Abs(pull) > knownOff:
			k := r.Problem.Knowns[i-(len(r.Problem.Origins)-len(r.Problem.Knowns))]
			least, found = scatter.ChiSquare, true
			f = Finding{Kind: KnownContradicts, Name: k.Name, Value: k.Value, Other: pull, Drawn: k.Drawn, row: i}
		}
	}
	return f, found
}

// leaveOpen fits without prior row i. It returns the solution, by how many of its
// standard deviations the row would miss it, and the scatter of the readings;
// NaN without a solution.
func leaveOpen(r *estimation.Result, i int) (x []float64, pull float64, scatter fit.Scatter) {
	none := fit.Scatter{Scale: math.NaN()}
	o := opened(r, i)
	if o == nil {
		return r.Solution.X, math.NaN(), none
	}
	x, p := o.Solution.X, o.Problem
	miss, row := make([]float64, 1), make([]float64, p.Width())
	r.Problem.Prior.Evaluate(x, i, miss, row)
	variance, determined := o.Solution.Covariance().Variance(p.SpreadOut(row, p.Prior.Own, i))
	if !determined {
		return x, math.NaN(), none
	}
	return x, miss[0] / math.Sqrt(1+variance), o.Scatter
}

// opened fits without prior row i; nil where that has no solution.
func opened(r *estimation.Result, i int) *estimation.Result {
	p := *r.Problem
	all := p.Prior.Evaluate
	p.Prior.Evaluate = func(x []float64, first int, res, jac []float64) {
		all(x, first, res, jac)
		if k := i - first; k >= 0 && k < len(res) {
			res[k] = 0
			if jac != nil {
				n := p.Width()
				clear(jac[k*n : (k+1)*n])
			}
		}
	}
	p.ByOwn()
	solution, err := p.Enlarge(slices.Clone(r.Solution.X), estimation.SolverSettings(r.Session))
	if err != nil || !solution.Status.Converged() {
		return nil
	}
	return &estimation.Result{Problem: &p, Session: r.Session, Solution: solution.Result, Scatter: solution.Judgement}
}

// mostSuspect is the number of tolerances and known values that are left open in turn: a fit
// each, which is what it bounds.
const mostSuspect = 12

// suspectPriors lists the tolerances and known values whose absence would lower the sum
// of squares most, by the square of the studentised residual for a linear model.
func suspectPriors(r *estimation.Result) (list []int) {
	rows := fit.Must(fit.Diagnose(r.Problem.Problem, r.Solution))[len(r.Problem.Rows):]
	for i, o := range r.Problem.Origins {
		if o == estimation.FromTolerance || o == estimation.FromKnown {
			list = append(list, i)
		}
	}
	if len(list) > mostSuspect {
		stable.Sort(list, func(a, b int) int {
			return cmp.Compare(math.Abs(rows[b].Studentised), math.Abs(rows[a].Studentised))
		})
		list = list[:mostSuspect]
		slices.Sort(list)
	}
	return list
}
