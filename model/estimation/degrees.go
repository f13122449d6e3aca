package estimation

import (
	"fitcoil/fit"
	"fitcoil/model/quantities"
	"math"
	"slices"
)

// fewestParts is the number of tolerances checked from which on their factor means something:
// of one alone it would be anything.
const fewestParts = 1.5

// partSpread compares the errors of parts with their tolerances.
func (r *Result) partSpread() partSpread {
	p := r.Problem
	s := partSpread{Factor: 1, Chance: 1}
	if !slices.Contains(p.Origins, FromTolerance) {
		return s
	}
	squares := 0.0
	count := func(k int) {
		if k < 0 {
			return
		}
		variance, _ := r.Covariance.Variance(Unit(p.N, k))
		squares += r.Solution.X[k] * r.Solution.X[k]
		s.Redundancy += 1 - variance/(p.Wide*p.Wide)
	}
	for i, k := range p.PartAt {
		if p.Parts[i].Known {
			count(k)
		}
	}
	for _, l := range p.Lots {
		count(l.At)
	}
	if s.Redundancy >= fewestParts {
		s.Factor = math.Max(1, math.Sqrt((1+squares)/s.Redundancy))
		s.Chance = fit.ChiSquareSurvival(squares, s.Redundancy)
	}
	return s
}

// degrees returns the degrees of freedom of an uncertainty with that budget: those of the
// factors on the readings' uncertainties and on the tolerances together, by the formula of
// Welch and Satterthwaite (JCGM 100:2008, G.4.1).
func (r *Result) degrees(b quantities.Budget) float64 {
	return 1 / (r.ofScatter(b) + b.Tolerance*b.Tolerance/r.PartErrors.degrees())
}

// degrees returns the degrees of freedom of the tolerances, as fit.Trusted has those of
// readings; of a factor that counts one error more than was seen, less is in doubt.
func (s partSpread) degrees() float64 {
	if s.Redundancy < fewestParts {
		return math.Inf(1)
	}
	return fit.Doubted(s.Factor, s.Redundancy, 2.0/3*math.Exp(-s.Redundancy*s.Redundancy/49))
}

// ofScatter is the part of the uncertain scatter of readings in the formula of Welch and
// Satterthwaite. Where no session scatters more than stated, all of them together check that;
// each one that does has its own factor.
func (r *Result) ofScatter(b quantities.Budget) (inverse float64) {
	if r.Problem.Earlier == nil {
		return b.Readings * b.Readings / r.Solution.ScaleDegrees
	}
	least, together, enlarged := math.Inf(1), r.Scatter.Redundancy, r.Scatter.Scale
	for i := range r.Problem.Earlier {
		e := &r.Problem.Earlier[i]
		together += e.Checked
		enlarged = math.Max(enlarged, e.Scale)
		least = math.Min(least, fit.Trusted(e.Scale, math.Max(e.Checked, 1)))
	}
	if enlarged > 1 {
		return b.Readings*b.Readings/r.Solution.ScaleDegrees + b.Earlier*b.Earlier/least
	}
	share := b.Readings + b.Earlier
	return share * share / fit.Trusted(1, math.Max(together, 1))
}

// Cover makes the 95 % interval of e by Student's t. Known values, priors and the
// model have no end of degrees of freedom; readings and tolerances see degrees.
func (r *Result) Cover(e *quantities.Estimate, positive bool) {
	e.Cover(r.degrees(e.Budget), positive)
}
