package resonator

import "math"

// What the ends of a winding and of a core take from the core's effect. A uniform
// line would let each stretch of a core that fills it add (g − 1) times the
// inductance of the stretch. But the field is weaker at the ends of a winding, and a
// short core is magnetised less than a long one: a core that covers the lowest fifth
// adds less than that, one that covers the lowest tenth down to half. Both
// fade with the distance from an end as exp(−y/λ), with one λ for a coil and its core,
// a fraction of the winding's length.
//
// The constants are fitted to field calculations of twelve coils, 4 to 25 diameters long
// (TestEndsConstants, docs/field.md), as a line sees them that rings like the coil without the
// core, each core with a λ of its own. What such a fit leaves is the standard uncertainty of k.
//
// A core that fills the winding couples distant turns as well. The line that then resonates
// alike has less capacitance along its winding, and 0.44 of the difference more at its top:
// what is moved is 1 to 12 % of the winding's on six coils, 40 to 2 diameters long (computed,
// TestCoreMovesCapacitance): their logarithms have the mean and about the deviation below.
const (
	EndsMean, EndsSigma   = 0.12, 0.7  // λ; its logarithm's standard deviation
	MovedMean, MovedSigma = 0.035, 0.8 // share of the winding's capacitance that a core moves; its logarithm's standard deviation
	MovedToTop            = 0.44       // how much of it comes to the top
	MovedMost             = 2          // upper bound of the unknown, 17 %: beyond, it would take up a misread reading with the core
	baseLoss, topLoss     = 0.67, 0.59 // of the effect, at the winding's ends
	coreEnds              = 0.20       // decay of the core's own ends, in λ
	EndsLeast, EndsMost   = -4, 2.7    // bounds of the unknown: λ from 0.007 to 0.8
	CoveredFromEnd        = 0.017      // standard uncertainty of what covered returns,
	CoveredInTheMiddle    = 0.054      // for a core from the base or from elsewhere
)

// Covered returns the share k of the effect that a core has along the stretch from
// … to of the winding, its apparent gain being 1 + (g − 1)·k, and ∂k/∂e. The ends
// reach λ = endsMean·exp(endsSigma·e). With the whole winding covered k is one, since
// that is what g speaks of.
func Covered(from, to, e float64) (k, perE float64) {
	if from <= 0 && to >= 1 || !(to > from) {
		return 1, 0
	}
	lambda := EndsMean * math.Exp(EndsSigma*e)
	part, perPart := effective(from, to, lambda)
	whole, perWhole := effective(0, 1, lambda)
	k = part / whole
	return k, EndsSigma * (perPart - k*perWhole) / whole
}

// effective returns the effect of a core along a stretch per length, and its
// derivative with respect to ln λ: the mean of 1 − baseLoss·exp(−y/λ) −
// topLoss·exp(−(1−y)/λ) along it, less what the core's own ends take.
func effective(from, to, lambda float64) (v, perLog float64) {
	length := to - from
	mean := func(a, b float64) (m, perLog float64) { // of exp(−y/λ) from a to b
		at, bt := math.Exp(-a/lambda), math.Exp(-b/lambda)
		m = lambda * (at - bt) / length
		return m, m + (a*at-b*bt)/length
	}
	base, perBase := mean(from, to)
	top, perTop := mean(1-to, 1-from)
	field := 1 - baseLoss*base - topLoss*top
	u := length / (coreEnds * lambda)
	own := 1 + math.Expm1(-u)/u
	perOwn := -(1 - math.Exp(-u)*(1+u)) / u
	return field * own, field*perOwn - (baseLoss*perBase+topLoss*perTop)*own
}
