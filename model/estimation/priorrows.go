package estimation

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/resonator"
)

// Priors returns the prior rows: priors and tolerances, then earlier sessions and known values.
// anchors says how much ground the solver needs under its feet.
func (p *Problem) Priors(anchors int) fit.Rows {
	p.Origins, p.Assumed, p.PriorOf, p.Anchors = nil, nil, nil, anchors
	var g []fit.Gaussian
	add := func(o Origin, a Assumption, at int, mean, sigma float64) {
		g = append(g, fit.Gaussian{Param: at, Mean: mean, Sigma: sigma})
		p.Origins, p.PriorOf = append(p.Origins, o), append(p.PriorOf, -1)
		p.Assumed = append(p.Assumed, a)
	}
	if p.Share >= 0 {
		add(fromAssumption, assume(AssumedShare, shareMean, shareSigma), p.Share, shareMean, shareSigma)
	}
	for _, c := range p.Cores {
		add(fromAssumption, assume(AssumedCoreCapacitance, p.Polarisation(), CoreSigma, c.Name), c.At+1, 0, CoreSigma)
		if c.Ends >= 0 {
			add(fromAssumption, assume(AssumedEnds, resonator.EndsMean, math.Exp(resonator.EndsSigma), c.Name), c.Ends, 0, 1)
			add(fromAssumption, assume(AssumedMoved, resonator.MovedMean, math.Exp(resonator.MovedSigma), c.Name), c.Ends+1, 0, 1)
		}
	}
	if p.Hand >= 0 {
		add(fromAssumption, assume(AssumedHandOffset, offsetMean, math.Exp(offsetSigma)), p.Hand+1, math.Log(offsetMean), offsetSigma)
		add(fromAssumption, assume(AssumedHandExponent, exponentMean, exponentSigma), p.Hand+2, exponentMean, exponentSigma)
	}
	for i, k := range p.PartAt {
		if part := &p.Parts[i]; k >= 0 && part.Known {
			a := Assumption{}
			if part.Default {
				a = assume(AssumedTolerance, 0, p.Relative(i), part.Name)
			}
			add(FromTolerance, a, k, 0, p.Wide)
			p.PriorOf[len(p.PriorOf)-1] = i
		}
	}
	p.benchPriors(add)
	if anchors > 0 {
		add(fromAssumption, assume(AssumedCapacitance, AnchorMean, math.Exp(anchorSigma)), forward.AtC, math.Log(AnchorMean), anchorSigma)
	}
	for i, k := range p.PartAt {
		if anchors > 1 && k >= 0 && !p.Parts[i].Known {
			add(fromAssumption, assume(AssumedPart, partMean, math.Exp(partSigma), p.Parts[i].Name), k, math.Log(partMean), partSigma)
		}
	}
	if anchors > 1 && p.Hand >= 0 {
		mean := handMean * math.Pow(offsetMean+handAt, exponentMean) / math.Pow(offsetMean+p.HandScale, exponentMean)
		add(fromAssumption, assume(AssumedHand, mean, math.Exp(handSigma)), p.Hand, math.Log(mean), handSigma)
	}
	for i := range p.Couplings {
		if c := &p.Couplings[i]; anchors > 0 {
			add(fromAssumption, assume(AssumedCoupled, couplingGuess, couplingSigma, c.Core), c.At, couplingGuess, couplingSigma)
		}
	}
	for _, k := range p.Places {
		add(fromModel, Assumption{}, k.At, 0, 1) // a finding tells of it
	}
	for _, k := range p.Near {
		add(fromModel, Assumption{}, k.At, 0, 1)
	}
	return p.rowsOf(g)
}

// rowsOf returns the rows of priors and tolerances, behind them those of earlier sessions, and
// last those of known values.
func (p *Problem) rowsOf(g []fit.Gaussian) fit.Rows {
	blocks := []fit.Rows{fit.OwnGaussians(p.N, p.Owned, g)}
	for _, e := range p.earlierRows() {
		blocks = append(blocks, e)
		for range e.N {
			p.Origins, p.PriorOf, p.Assumed = append(p.Origins, FromEarlier), append(p.PriorOf, -1), append(p.Assumed, Assumption{})
		}
	}
	knowns := fit.Rows{N: len(p.Knowns), Evaluate: p.knownRows}
	for _, k := range p.Knowns {
		p.Origins, p.PriorOf = append(p.Origins, FromKnown), append(p.PriorOf, -1)
		knowns.Own = append(knowns.Own, p.ownOf(k.q.Part))
	}
	return fit.Join(p.Width(), append(blocks, knowns)...)
}

// benchPriors adds the priors of lots, lead and drift.
func (p *Problem) benchPriors(add func(o Origin, a Assumption, at int, mean, sigma float64)) {
	for _, l := range p.Lots {
		add(FromCommon, p.assumedCommon(l), l.At, 0, p.Wide)
	}
	if p.Lead >= 0 && !p.Knows(quantities.LeadCapacitance) {
		room := p.room(p.Lead)
		add(fromBench, assume(AssumedLead, 0, room*forward.LeadSigma), p.Lead, 0, room)
	}
	for _, k := range p.Strays {
		add(fromBench, assume(AssumedStray, 0, forward.StraySigma), k, 0, 1)
	}
	if p.Drift >= 0 && !p.Knows(quantities.Drift) {
		room := p.room(p.Drift)
		add(fromBench, assume(AssumedDrift, 0, room*forward.DriftSigma), p.Drift, 0, room)
	}
}

// assumedCommon tells of which parts it is assumed that l is as it is; nothing where it
// was said.
func (p *Problem) assumedCommon(l forward.Lot) Assumption {
	var names []string
	for i := range p.Parts {
		if p.LotAt[i] == l.At && p.Parts[i].Common == forward.CommonShare {
			names = append(names, p.Parts[i].Name)
		}
	}
	if names == nil {
		return Assumption{}
	}
	return assume(AssumedCommon, forward.CommonShare, 0, names...)
}

// SharesOf prepares the shares of variance that come from each kind of prior row.
func (p *Problem) SharesOf(c fit.Covariance, x []float64) *fit.Shares {
	return fit.Must(c.NewShares(p.Prior, x, int(Origins), func(i int) int { return int(p.Origins[i]) }))
}
