package estimation

import "slices"

// Alternative tells how well the resonator that wasn't chosen describes the
// readings, at their stated uncertainties.
type Alternative struct {
	Resonator string
	Quality   Quality
}

// NewAlternative fits the readings with the other resonator, by the stated
// uncertainties, each as in this fit so that the two compare: nil for a robust fit, which
// gives each model other weights.
func (r *Result) NewAlternative() *Alternative {
	if r.Session.Robust {
		return nil
	}
	s := r.Session
	s.Lumped = !s.Lumped
	p, err := NewProblem(s)
	if err != nil {
		return nil
	}
	r.Problem.byStated(func() { p.Weighed, p.model = slices.Clone(r.Problem.Weighed), r.Problem.model })
	p.adoptPriors(r.Problem)
	solution, _, err := p.Solve(p.Start(s.Log), false, SolverSettings(s))
	if err != nil || !solution.Status.Converged() {
		return nil
	}
	other := Result{Problem: p, Session: s, Solution: solution, Scatter: solution.Scatter(), Judged: solution}
	return &Alternative{resonatorName(s), other.quality()}
}
