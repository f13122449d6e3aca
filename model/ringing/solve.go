package ringing

import (
	"math"

	"fitcoil/fit"
)

// solve finds the tones that leave the least squares, from start. It returns
// nil when there are none nearby.
func (s *series) solve(start []tone) *projection {
	p := project(s, start)
	x := make([]float64, 2*len(start))
	if !p.at(x) {
		return nil
	}
	sigma := math.Sqrt(p.squares() / float64(s.used()))
	if sigma == 0 {
		return p
	}
	problem := fit.Problem{
		Params: len(x),
		Data:   fit.Rows{N: s.rows(), Evaluate: p.evaluate(sigma)},
	}
	const block = 4096 // rows; the projection is over all rows at once anyway
	r, err := fit.Solve(problem, x, fit.Settings{MaxIterations: 100, BlockRows: block})
	if err != nil || !p.at(r.X) {
		return nil
	}
	if !r.Status.Converged() && r.Status != fit.RoundingLimited {
		return nil
	}
	return p
}

// startTone looks for the start of a single tone near omega rad/s, which is
// known to within spread: the highest bin of the stretch's spectrum there, and
// the damping that leaves the least squares on a grid.
func (s *series) startTone(omega, spread float64) tone {
	spacing := s.spacing()
	length := float64(len(s.re)) * spacing
	y := s.observed()
	var sum float64
	for _, v := range y {
		sum += v
	}
	mean := sum / float64(s.used())
	for i := range y {
		y[i] -= mean
	}
	s.blank(y)
	spec := transform(y)
	per := spec.binWidth / spacing
	spread = math.Max(spread, 3*per)
	if k := spec.peak(int((omega-spread)/per), int((omega+spread)/per)+2); k > 0 {
		omega = spec.refine(k) / spacing
	}
	best, least := tone{omega: omega}, math.Inf(1)
	for alpha := 0.0; alpha < omega/2; alpha = math.Max(0.5/length, 2*alpha) {
		if p := project(s, []tone{{omega, alpha}}); p.at(make([]float64, 2)) && p.squares() < least {
			best.alpha, least = alpha, p.squares()
		}
	}
	return best
}
