package model

import "slices"

// Alternative tells how well the resonator that wasn't chosen describes the
// readings, at their stated uncertainties.
type Alternative struct {
	Resonator string
	Quality   Quality
}

// alternative fits the readings with the other resonator, by the stated
// uncertainties, each as in this fit so that the two compare.
func (r *Result) alternative() *Alternative {
	s := r.session
	s.Lumped = !s.Lumped
	p, err := newProblem(s)
	if err != nil {
		return nil
	}
	r.problem.byStated(func() {
		p.weighed, p.model, p.alike, p.Alike = slices.Clone(r.problem.weighed), r.problem.model, r.problem.alike, r.problem.Alike
	})
	p.believe(r.problem)
	solution, _, err := p.solve(p.start(s.Log), false, solverSettings(s))
	if err != nil || !solution.Status.Converged() {
		return nil
	}
	other := Result{problem: p, session: s, fit: solution, scatter: solution.Scatter(), judged: solution}
	return &Alternative{resonatorName(s), other.quality()}
}
