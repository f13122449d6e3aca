package estimation

import (
	"cmp"
	"math"

	"fitcoil/fit"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// contributions are what priors and readings bring to the variance of the inductance.
type contributions struct {
	variance float64
	priors   []float64 // covariance with each prior row, per its standard uncertainty
	digits   float64   // variance from readings whose uncertainty comes from their digits
}

// contributionsToInductance works out what brings the variance of the effective inductance.
func (r *Result) contributionsToInductance() (c contributions) {
	l := r.Find(quantities.Key{Name: quantities.EffectiveInductance})
	grad := r.gradient(l, r.Problem.Quantities())
	if variance, _ := r.Covariance.Variance(grad); variance > 0 && l.Determined {
		c.variance = variance
	}
	c.priors = fit.Must(r.Covariance.Along(r.Problem.Prior, r.Solution.X, grad))
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
// each with its share in the variance of the effective inductance, the largest first.
func (r *Result) assumptions() (list []Assumption) {
	p := r.Problem
	of := r.contributionsToInductance()
	if n := r.readByDigits(); n > 0 {
		list = append(list, Assumption{Kind: AssumedDigits, Count: n, Share: of.share(of.digits), Moved: math.NaN(), Left: math.NaN()})
	}
	tolerances := -1
	solution := r.Solution
	solution.AtBound = make([]fit.Bound, p.N) // as in SetCovariances
	rows := fit.Must(fit.Diagnose(p.Problem, solution))[len(p.Rows):]
	for i, a := range p.Assumed {
		if a.Kind == NotAssumed {
			continue
		}
		a.Share = of.share(of.priors[i] * of.priors[i])
		a.Moved, a.Left = rows[i].Residual, math.Sqrt(rows[i].Leverage)
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
			t.Moved, t.Left = math.NaN(), math.NaN()
		}
	}
	for i := range p.Earlier {
		e := &p.Earlier[i]
		squares := 0.0
		for row, o := range p.Origins {
			if o == FromEarlier && p.earlierOf(row) == e {
				squares += of.priors[row] * of.priors[row]
			}
		}
		list = append(list, Assumption{Kind: AssumedEarlier, Names: append([]string{e.Log}, e.named()...), Count: len(e.States),
			Share: of.share(squares), Moved: math.NaN(), Left: math.NaN()})
	}
	if len(p.Couplings) > 0 && !p.DrawnPrimary() {
		list = append(list, Assumption{Kind: AssumedPrimary, Share: of.share(0), Moved: math.NaN(), Left: math.NaN()})
	}
	percent := func(a Assumption) float64 { return math.Round(100 * a.Share) } // digits behind that are rounding
	stable.Sort(list, func(a, b Assumption) int { return cmp.Compare(percent(b), percent(a)) })
	return list
}

// readByDigits counts the readings whose uncertainty comes from their digits.
func (r *Result) readByDigits() (n int) {
	for _, i := range r.Problem.Rows {
		if r.Session.Log.Readings[i].FromDigits {
			n++
		}
	}
	return n
}

// fromDigits returns what these readings bring to the variance of the quantity with
// the gradient grad.
func (r *Result) fromDigits(grad []float64) float64 {
	p := r.Problem
	all, digits := 0.0, 0.0
	for k, s := range fit.Must(r.Covariance.Along(p.Data, r.Solution.X, grad)) {
		all += s * s
		if r.Session.Log.Readings[p.Rows[k]].FromDigits {
			digits += s * s
		}
	}
	if !(all > 0) { // rows as the fit weighed them, scatter included
		return 0
	}
	var shares [Origins]float64
	variance, _ := r.Shares.Of(grad, shares[:])
	return digits / all * NewBudget(shares, variance).Readings * variance
}
