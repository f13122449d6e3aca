package fit

import "math"

// forgive calls a fit converged that stopped short of its digits, or crawled until
// its steps were used up, if the readings can't tell the difference: if the whole
// Gauss–Newton step that is left would change the fitted values by no more than
// Settings.Offset, counted in standard uncertainties.
func (v *solver) forgive() {
	if v.set.Offset <= 0 || v.status != RoundingLimited && v.status != Stalled && v.status != IterationLimit {
		return
	}
	v.radius, v.lambda = math.Inf(1), 0
	s := v.propose() // predicts ‖J s‖² of the step s
	if math.Sqrt(math.Max(0, s.predicted)) <= v.set.Offset*v.a.row {
		v.status = Converged
	}
}

// enough tells whether the whole Gauss–Newton step that is left is so far below
// Settings.Offset that all to come add up to less: to a tenth of it by the rate at which
// steps shrink, or though each be 0.99 of the one before.
func (v *solver) enough(s proposal) bool {
	most := v.set.Offset * v.a.row
	step := math.Sqrt(s.predicted)
	rate := s.size / v.last
	return step <= 0.01*most || v.last <= telling && rate < 0.99 && step <= 0.1*most*(1-rate)
}
