package estimation

import (
	"slices"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// MonteCarlo is what the distributions of all inputs make of the quantities of a fit
// (JCGM 101:2008).
type MonteCarlo struct {
	Trials     int // with a solution
	Failed     int // without one
	Seed       uint64
	Degrees    float64 // of freedom with which trials draw the scatter of the data, +Inf for none in doubt
	Settled    bool    // trials ended since all was settled to a fifth of the tolerance
	Quantities []Propagated
}

// Propagated is one quantity.
type Propagated struct {
	*quantities.Estimate
	Mean, Deviation     float64
	Shortest, Symmetric [2]float64 // 95 % coverage intervals
	fit.Validation                 // of the estimate's interval against Symmetric
}

// digitsMeant is how many digits of a standard uncertainty count in a validation: the
// tolerance is then 5 to 50 % of it.
const digitsMeant = 1

// MonteCarlo draws all readings, tolerances, priors and known values from their
// distributions, fits anew, and compares what comes out with the linear estimates. A reading
// whose uncertainty comes from its digits is rectangular, and so is a tolerance that was stated
// so, everything else normal; readings and tolerances enlarged by their scatter have Student's
// distribution. Of t, Digits is chosen here.
func (r *Result) MonteCarlo(t fit.Trials) *MonteCarlo {
	told := r.told()
	t.Digits = digitsMeant
	s := fit.Must(fit.MonteCarlo(func() (fit.Problem, fit.Quantities) { return r.another(told) }, len(told),
		r.straightenedSolution(), r.distributions(), SolverSettings(r.Session), t))
	out := &MonteCarlo{Trials: s.Len(), Failed: s.Failed, Seed: t.Seed, Degrees: r.Solution.ScaleDegrees, Settled: s.Settled}
	for k, e := range told {
		p := Propagated{Estimate: e}
		p.Mean, p.Deviation = s.Mean(k)
		p.Shortest[0], p.Shortest[1] = s.Shortest(k, 0.95)
		p.Symmetric[0], p.Symmetric[1] = s.Interval(k, 0.95)
		linear := e.LinearInterval()
		p.Validation = s.Validate(k, e.Uncertainty, linear[0], linear[1], digitsMeant)
		out.Quantities = append(out.Quantities, p)
	}
	return out
}

// another is the problem of r in straightened coordinates, with working memory of its own, and
// what computes the quantities told.
func (r *Result) another(told []*quantities.Estimate) (fit.Problem, fit.Quantities) {
	p := *r.Problem
	p.Model = r.Problem.Model.Fresh(r.Session.Resonator())
	values := r.Problem.Model.Fresh(r.Session.Resonator())
	values.ValuesOnly = true
	p.Data = p.dataRows()
	p.Prior = p.Priors(p.Anchors)
	if p.table != nil {
		p.table = newStateTable(p.Log, p.Rows)
	}
	x, scratch := make([]float64, p.N), make([]float64, p.N)
	all := p.Quantities()
	list := make([]forward.Quantity, len(told))
	for k, e := range told {
		list[k], _ = quantityOf(e.Key, all)
	}
	return p.straightened(), func(y, out []float64) {
		original(values, x, y)
		for k := range list {
			out[k] = list[k].Value(values, x, scratch)
		}
	}
}

// distributions are those of the rows: of tolerances as they were stated.
func (r *Result) distributions() (d fit.Distributions) {
	d.Data = make([]fit.Distribution, len(r.Problem.Rows))
	for k, i := range r.Problem.Rows {
		o := &r.Session.Log.Readings[i]
		if o.FromDigits && r.Solution.Scale == 1 && !o.State.Partly() && r.Problem.Factor(k) == 1 && o.Count() == 1 {
			d.Data[k] = fit.Rectangular
		}
	}
	for i, o := range r.Problem.Origins {
		part := r.Problem.statedBy(i, o)
		if part == nil || !part.Rectangular {
			continue
		}
		if d.Prior == nil {
			d.Prior = make([]fit.Distribution, len(r.Problem.Origins))
		}
		d.Prior[i] = fit.Rectangular
	}
	if r.PartErrors.Redundancy >= fewestParts {
		d.DoubtDegrees = r.PartErrors.degrees()
		for _, o := range r.Problem.Origins {
			d.Doubtful = append(d.Doubtful, o == FromTolerance || o == FromCommon)
		}
	}
	return d
}

// statedBy returns the part whose tolerance prior row i is, or the first one of its lot; nil for
// another row.
func (p *Problem) statedBy(i int, o Origin) *readings.Part {
	switch o {
	case FromTolerance:
		return &p.Parts[p.PriorOf[i]]
	case FromCommon:
		if k := slices.Index(p.LotAt, p.lotOfRow(i)); k >= 0 {
			return &p.Parts[k]
		}
	}
	return nil
}
