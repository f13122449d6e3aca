package fit

import "math"

// SolveScaled solves with the uncertainties of the data, never those of the
// priors, multiplied by a factor S that their scatter requires:
//
//	S² = Σ r² / (N − Σ h)   over the N data rows
//
// with r the residuals by stated uncertainties and h the leverages in the
// joint problem of data and priors. It is the variance component of the data
// (W. Förstner, Allgemeine Vermessungs-Nachrichten 86, 1979, 446–453); data
// and priors are solved again with each S until it settles. Without priors it
// is the Birge ratio (R. T. Birge, Phys. Rev. 40, 1932, 207–227).
//
// Under Stated, S is never below one, as the Particle Data Group scales
// (Review of Particle Physics, Introduction), and stays one when the data are
// redundant by less than one row. What S > 1 adds is known only as well as the
// scatter is: by Welch and Satterthwaite (JCGM 100:2008, G.4.1) that would be with
// ν S⁴/(S² − 1)² degrees of freedom, ν = N − Σh, and with no end of them for S = 1.
// But of few readings that scatter more than stated, some have an S near one by
// chance. So the stated uncertainties are not trusted without end either, the less the
// fewer the readings that could show them wrong:
//
//	ScaleDegrees = ν S⁴/(S² − 1 + δ)²,   δ = ¾ exp(−(ν/8)²)
//
// The form is a choice between two ends: without δ, intervals of 95 % of data that
// scatter twice to five times as much as stated cover 83 to 91 % for ν of 1 to 3, with
// it 93 to 99 %; for data that scatter as stated 96 % become 99 % or more (computed; see
// the test of it). Data redundant by less than one row say nothing on the matter, and
// nothing in favour of what is stated: they count as ν = 1 with S = 1.
//
// Under Relative, S is whatever the scatter gives, and ScaleDegrees = ν.
//
// With a robust loss, r² is replaced by ψ(r/S)²·S² divided by its expectation
// for normal residuals (Proposal 2 of Huber 1964); Redescending goes on from there.
func SolveScaled(p Problem, start []float64, s Settings) (Result, Scatter, error) {
	r, err := Solve(p, start, s)
	if err != nil {
		return r, Scatter{}, err
	}
	sc := r.Scatter()
	tolerance := math.Max(scaleSettled, s.Offset)
	for round := range scaleRounds {
		sc.Redundancy = r.redundancy(p)
		birge := math.Sqrt(r.pull / s.Loss.normalPull() / sc.Redundancy)
		scale, degrees := chooseScale(birge, r.Scale, sc.Redundancy, s.Uncertainty)
		sc.Birge, sc.Scale = birge*r.Scale, r.Scale
		if sc.Redundancy < leastRedundancy {
			sc.Birge = math.NaN()
		}
		r.ScaleDegrees = degrees
		if math.Abs(scale-r.Scale) <= tolerance*scale || !r.Status.Converged() && round > patience {
			if s.Loss.end > 0 && r.Status.Converged() {
				r, sc = redescend(p, r, s, sc)
			}
			return r, sc, nil
		}
		next := solveAt(p, r.X, s, scale)
		next.Iterations += r.Iterations
		next.Evaluations += r.Evaluations
		r = next
		// S need not be better known than the scatter it stands for. The
		// scatter of exact data is rounding, and never settles to nine digits.
		if round > scaleRounds/5 {
			tolerance *= 1.5
		}
	}
	r.Status = IterationLimit
	return r, sc, nil
}
