package estimation

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

// MovedPrior is a prior beside what the fit makes of it: the value of a part, what tolerances have
// in common, a known value or an assumption.
type MovedPrior struct {
	Kind       SourceKind // PartSource, CommonSource, KnownSource or AssumptionSource
	Part       string
	Known      quantities.Key
	Assumption Assumption // of an AssumptionSource, of a CommonSource and of a part's tolerance that nobody stated
	Unit       string     // SI
	// Logarithmic tells that the standard uncertainties are those of the logarithm.
	Logarithmic        bool
	Value, Uncertainty float64 // as believed
	Now, Left          float64 // as the fit knows it
}

// Moved is by how many of its standard uncertainties the fit has moved the prior.
func (b *MovedPrior) Moved() float64 {
	if b.Logarithmic {
		return math.Log(b.Now/b.Value) / b.Uncertainty
	}
	return (b.Now - b.Value) / b.Uncertainty
}

// Narrowed is the standard uncertainty that is left, as a fraction of that of the prior.
func (b *MovedPrior) Narrowed() float64 { return b.Left / b.Uncertainty }

// MovedPriors lists all priors: parts first, then what tolerances have in common, known values and
// assumptions.
func (r *Result) MovedPriors() (list []MovedPrior) {
	p, solution := r.Problem, r.Solution
	for i := range p.Parts {
		part := &p.Parts[i]
		e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: part.Name})
		if !part.Known || !(part.Uncertainty > 0) || e == nil || !e.Determined {
			continue
		}
		b := MovedPrior{Kind: PartSource, Part: part.Name, Unit: "F", Value: part.Capacitance, Uncertainty: part.Uncertainty, Now: e.Value, Left: e.Uncertainty}
		if part.Default {
			b.Assumption = assume(AssumedTolerance, 0, p.Relative(i), part.Name)
		}
		list = append(list, b)
	}
	solution.AtBound = make([]fit.Bound, p.N) // as in SetCovariances
	rows := fit.Must(fit.Diagnose(p.Problem, solution))[len(p.Rows):]
	for _, kind := range []SourceKind{CommonSource, KnownSource, AssumptionSource} {
		for i := range rows {
			if in := p.priorInput(i, solution.X); in.Kind == kind && in.Uncertainty > 0 {
				list = append(list, p.moved(i, in, rows[i].Residual, math.Sqrt(rows[i].Leverage)))
			}
		}
	}
	return list
}

// moved returns prior row i, which the fit moved by z of its standard uncertainties and
// left a fraction of them.
func (p *Problem) moved(i int, in Input, z, left float64) MovedPrior {
	b := MovedPrior{Kind: in.Kind, Assumption: in.Assumption, Unit: in.Unit, Logarithmic: in.Logarithmic, Value: in.Value, Uncertainty: in.Uncertainty, Left: left * in.Uncertainty}
	b.Now = b.Value + z*b.Uncertainty
	switch {
	case b.Logarithmic:
		b.Now = b.Value * math.Exp(z*b.Uncertainty)
	case b.Kind == KnownSource:
		k := &p.Knowns[i-(len(p.Origins)-len(p.Knowns))]
		b.Known = k.Key
		if k.q.Positive { // the row is one of logarithms
			b.Now = b.Value * math.Exp(z*b.Uncertainty/b.Value)
			b.Left *= b.Now / b.Value
		}
	}
	return b
}
