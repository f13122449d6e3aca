package decisions

import (
	"math"
	"slices"

	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// reason says why a candidate helps with the measurand, or doesn't.
func (p *plan) reason(c *Candidate, before, after quantities.Estimate) Reason {
	s, e := &c.State, p.after.Problem
	g := gain(before, after)
	switch {
	case math.IsInf(g, 1) && s.Core == "" && s.Primary.Kind == readings.PrimaryOpen && (len(s.Parts) > 0 || c.Kind == ReadNew):
		return ReasonSplits
	case math.IsInf(g, 1):
		return ReasonMissing
	case !(g > helps*before.Uncertainty/math.Abs(before.Value)):
		return ReasonNothing
	case c.Kind == MeasurePart:
		return ReasonTolerance
	case c.Kind == MeasureWinding:
		return ReasonMeasured
	case c.Kind == ReadNew:
		return ReasonNewPart
	case s.Clip && len(s.Parts) == 0 && !p.seen.state(s):
		return ReasonClip
	case p.measurand.Name == "frequency" && readings.Same(s, &p.measurand.State):
		return ReasonDirect
	case p.seen.state(s):
		return ReasonRepeat
	case e.Added(p.after.Solution.X, s) > p.seen.most:
		return ReasonRange
	case slices.ContainsFunc(s.Parts, func(part int) bool { return !p.seen.parts[part] }):
		return ReasonNewPart
	}
	return ReasonCombination
}

func gain(before, after quantities.Estimate) float64 {
	switch {
	case before.Determined && after.Determined:
		return (before.Uncertainty - after.Uncertainty) / math.Abs(before.Value)
	case after.Determined:
		return math.Inf(1)
	}
	return 0
}
