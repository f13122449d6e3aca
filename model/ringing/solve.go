package ringing

import (
	"math"

	"fitcoil/fit"
)

// rounding is a residual, as a share of the amplitude, that arithmetic leaves.
const rounding = 1e-13

// solve finds the tones that leave the least squares, from start. It returns
// nil when there are none nearby.
func (s *series) solve(start []tone) *projection {
	p := project(s, start)
	if !p.atStart() {
		return nil
	}
	sigma := math.Sqrt(p.squares() / float64(s.used()))
	if sigma <= rounding*p.size(0) {
		return p // at a solution that nothing can better
	}
	problem := fit.Problem{
		Params: 2 * len(start),
		Data:   fit.Rows{N: s.rows(), Evaluate: p.evaluate(sigma)},
	}
	const block = 4096 // rows; the projection is over all rows at once anyway
	r, err := fit.Solve(problem, make([]float64, 2*len(start)), fit.Settings{MaxIterations: 40, BlockRows: block})
	if err != nil || !p.at(r.X) || !r.Status.Converged() && r.Status != fit.RoundingLimited {
		return nil
	}
	return p
}

// start looks for the start of a single tone near omega rad/s, which is known
// to within spread, and settles whether the offset drifts.
func (s *series) start(omega, spread float64) tone {
	omega = s.startFrequency(omega, spread)
	c := s.coarse(omega)
	best, squares := c.startDamping(omega)
	n := float64(c.used())
	const curved = 1.03 // a step that fades, if it is half of what is left, makes a parabola take more; with 1 the Q of one kind of gated drive moves by part of its u
	for c.drifts = bent; c.drifts <= fading; c.drifts++ {
		moving, less := c.startDamping(omega)
		fades := c.drifts == fading || squares > curved*less
		more := c.drifts.functions() - s.drifts.functions()
		if c.drifts == fading && squares < 2*less {
			break // tones that aren't found yet leave as much
		}
		if n*math.Log(squares/less) > float64(more)*math.Log(n)+clearly {
			best, squares, s.drifts = moving, less, c.drifts
		}
		if !fades {
			break
		}
	}
	return best
}

// coarse returns the series averaged to some eight rows a cycle, which is
// enough for a start.
func (s *series) coarse(omega float64) *series {
	const perCycle = 8
	c := *s
	if k := int(2 * math.Pi / (omega * s.spacing() * perCycle)); k > 1 && s.skip == nil {
		c.block *= k
		c.re = averaged(s.re, k)
	}
	return &c
}

// startFrequency returns the highest bin of the spectrum within spread.
func (s *series) startFrequency(omega, spread float64) float64 {
	y := s.observed()
	detrend(y)
	s.blank(y)
	spec := transform(y)
	per := spec.binWidth / s.spacing()
	spread = math.Max(spread, 3*per)
	if k := spec.peak(int((omega-spread)/per), int((omega+spread)/per)+2); k > 0 {
		omega = spec.refine(k) / s.spacing()
	}
	return omega
}

// startDamping returns the damping of a tone of omega rad/s that leaves the
// least squares on a grid, and these.
func (s *series) startDamping(omega float64) (best tone, squares float64) {
	length := s.length()
	best, squares = tone{omega: omega}, math.Inf(1)
	try := func(alpha float64) {
		if p := project(s, []tone{{omega, alpha}}); p.atStart() && p.squares() < squares {
			best.alpha, squares = alpha, p.squares()
		}
	}
	for _, swells := range []float64{4, 2, 1} {
		try(-swells / length)
	}
	for alpha := 0.0; alpha < omega/2; alpha = math.Max(0.5/length, 2*alpha) {
		try(alpha)
	}
	return best, squares
}
