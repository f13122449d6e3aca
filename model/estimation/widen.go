package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

// partSpread is by how much the parts miss their stated values, against their tolerances.
type partSpread struct {
	Factor     float64 // on the tolerances, at least 1
	Redundancy float64 // number of tolerances that this rests on
	Chance     float64 // of as large an error of the parts, or a larger one; 1 where that can't be told
}

// Widen fits again with the tolerances of parts enlarged by a factor that the parts' own
// errors ask for, up but never down:
//
//	T² = (1 + Σ e²)/(n − Σ h)   over the n prior rows of parts and lots
//
// with e the errors found, in standard uncertainties as stated, and h the leverages of these
// rows: the variance component of the tolerances, as fit.SolveScaled has that of the readings.
// Since few tolerances are checked in most logs, one error more is counted than was seen. Fit
// and T are worked out in turn until T settles. Where less than one and a half tolerances' worth is
// checked, T = 1.
//
// What is told of single readings and of the model as a whole stays that of r, by the stated
// tolerances.
func (r *Result) Widen() *Result {
	s, out := r.Session, r
	for range mostWidened {
		s.wide = out.PartErrors.Factor
		if math.Abs(s.wide-out.Problem.Wide) <= Offset*s.wide {
			break
		}
		next, err := Fit(s)
		if err != nil {
			return r
		}
		out = next
	}
	if out == r {
		return r
	}
	scale, redundancy := out.Scatter.Scale, out.Scatter.Redundancy
	out.Quality = r.Quality
	out.Quality.Scale, out.Quality.Redundancy, out.Quality.PartScale = scale, redundancy, out.Problem.Wide
	return out
}

// TakeFlags takes from strict, which has the tolerances as stated, what is told of single
// readings.
func (r *Result) TakeFlags(strict *Result) {
	for i := range r.Readings {
		o, was := &r.Readings[i], &strict.Readings[i]
		o.Flagged, o.Deleted, o.Moves, o.Without = was.Flagged, was.Deleted, was.Moves, was.Without
	}
}

// fewestParts is the number of tolerances checked from which on their factor means something:
// of one alone it would be anything.
const fewestParts = 1.5

// mostWidened is how often tolerances are enlarged anew at most.
const mostWidened = 30

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
