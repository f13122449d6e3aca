package model

import (
	"cmp"
	"math"
	"slices"
)

// Assumption is something that a fit takes as given because neither the log nor
// a known value says it.
type Assumption struct {
	Kind   AssumptionKind
	Names  []string // the core or the parts it speaks of, if any
	Count  int      // how many readings or parts it is assumed of
	Value  float64  // SI; see the kind
	Spread float64  // its standard uncertainty; see the kind
	// Share is the part of the variance of the inductance in air that comes from
	// it, 0 to 1, and Effective that of the effective inductance; NaN while these are
	// undetermined.
	Share, Effective float64
}

// AssumptionKind says what is assumed, and what Value and Spread hold.
type AssumptionKind int

// Assumptions. Where Spread is called a factor, the logarithm of the value has the
// standard uncertainty ln Spread.
const (
	NotAssumed             AssumptionKind = iota
	AssumedTolerance                      // of parts for which none is stated: relative standard uncertainty in Spread
	AssumedDigits                         // uncertainty of readings, from their digits
	AssumedShare                          // of the top in the coil's capacitance
	AssumedCoreCapacitance                // F, what the core adds, as drawn; Spread is a fraction of the winding's
	AssumedEnds                           // how far the ends reach, a fraction of the winding; Spread is a factor
	AssumedCoupling                       // excess of g − 1 found by a line
	AssumedHandOffset                     // m; Spread is a factor
	AssumedHandExponent
	AssumedCommon      // share of a tolerance's variance in common with the other parts
	AssumedLead        // F
	AssumedDrift       // relative, from the first reading to the last
	AssumedCapacitance // F, of winding and top; Spread is a factor
	AssumedHand        // F, of the hand at the middle of the distances read; Spread is a factor
	AssumedPart        // F, of a part without a value; Spread is a factor
)

// assume makes an assumption of names, or of the whole coil.
func assume(kind AssumptionKind, value, spread float64, names ...string) Assumption {
	return Assumption{Kind: kind, Value: value, Spread: spread, Names: names, Count: max(1, len(names))}
}

// contributions are what priors and readings bring to the variance of one quantity.
type contributions struct {
	variance float64
	priors   []float64 // covariance with each prior row, per its standard uncertainty
	digits   float64   // variance from readings whose uncertainty comes from their digits
}

// contributionsTo works out what brings the variance of the quantity of that name,
// whose gradient is grad.
func (r *Result) contributionsTo(name string, grad []float64) contributions {
	var c contributions
	if variance, _ := r.cov.Variance(grad); variance > 0 && r.Find(name, "", "", 0).Determined {
		c.variance = variance
	}
	c.priors = r.cov.Along(r.problem.Prior, r.fit.X, grad)
	if r.readByDigits() > 0 {
		c.digits = r.fromDigits(grad)
	}
	return c
}

// share returns a part of the variance; NaN while the quantity is undetermined.
func (c contributions) share(squares float64) float64 {
	if c.variance == 0 {
		return math.NaN()
	}
	return squares / c.variance
}

// assumptions lists what the fit assumes, the stated ± of no reading and the priors
// each with its share in the variance of the inductance, the largest first.
func (r *Result) assumptions() (list []Assumption) {
	p := r.problem
	ofAir, ofEffective := make([]float64, p.n), make([]float64, p.n)
	ofAir[atL] = 1
	for _, q := range derivedQuantities(p.forward) {
		if q.name == EffectiveInductance {
			q.value(p.forward, r.fit.X, ofEffective)
		}
	}
	air, effective := r.contributionsTo(Inductance, ofAir), r.contributionsTo(EffectiveInductance, ofEffective)
	if n := r.readByDigits(); n > 0 {
		list = append(list, Assumption{Kind: AssumedDigits, Count: n, Share: air.share(air.digits), Effective: effective.share(effective.digits)})
	}
	tolerances := -1
	for i, a := range p.assumed {
		if a.Kind == NotAssumed {
			continue
		}
		a.Share, a.Effective = air.share(air.priors[i]*air.priors[i]), effective.share(effective.priors[i]*effective.priors[i])
		switch {
		case a.Kind != AssumedTolerance:
			list = append(list, a)
		case tolerances < 0:
			tolerances = len(list)
			list = append(list, a)
		default: // one default, of several parts
			t := &list[tolerances]
			t.Names = append(t.Names, a.Names...)
			t.Count++
			t.Share += a.Share
			t.Effective += a.Effective
		}
	}
	percent := func(a Assumption) float64 { return math.Round(100 * a.Share) } // digits behind that are rounding
	slices.SortStableFunc(list, func(a, b Assumption) int { return cmp.Compare(percent(b), percent(a)) })
	return list
}

// readByDigits counts the readings whose uncertainty comes from their digits.
func (r *Result) readByDigits() (n int) {
	for _, i := range r.problem.rows {
		if r.session.Log.Readings[i].FromDigits {
			n++
		}
	}
	return n
}

// fromDigits returns what these readings bring to the variance of the quantity with
// the gradient grad.
func (r *Result) fromDigits(grad []float64) float64 {
	p := r.problem
	all, digits := 0.0, 0.0
	for k, s := range r.cov.Along(p.Data, r.fit.X, grad) {
		all += s * s
		if r.session.Log.Readings[p.rows[k]].FromDigits {
			digits += s * s
		}
	}
	if !(all > 0) { // rows as the fit weighed them, scatter included
		return 0
	}
	var shares [origins]float64
	variance, _ := r.shares.Of(grad, shares[:])
	return digits / all * newBudget(shares, variance).Readings * variance
}
