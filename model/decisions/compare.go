package decisions

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Comparison is what two sessions of one coil say of it.
type Comparison struct {
	Changes []Change
	Tested  int // changes that have a number
	// SplitA and SplitB tell whether a session knows inductance and capacitance apart:
	// without, only their product compares.
	SplitA, SplitB bool
}

// Change is how one quantity differs between two sessions of the same coil.
type Change struct {
	A, B quantities.Estimate
	// Difference is B − A; its uncertainty takes account of the parts, known values and
	// priors that both sessions used, whose errors are the same in both and largely cancel.
	// Undetermined when one of them is.
	Difference quantities.Estimate
	Sigmas     float64 // difference over its standard uncertainty
	Chance     float64 // probability of as large a difference where nothing moved; NaN without one
	Moved      bool    // by more than chance, with all the changes tested taken together
	Alone      bool    // by more than chance if it were the only one tested: 95 %
}

// Compare tells which quantities moved between the sessions of a and b. Parts of
// the same name and nominal value are taken as the same physical parts, and a value
// known in both as one.
//
// Of n quantities tested at 95 % each, n/20 would move by chance; Moved are those that
// remain with the 5 % for all together (see holm).
func Compare(a, b *estimation.Result) Comparison {
	out := Comparison{SplitA: a.SplitDetermined(), SplitB: b.SplitDetermined()}
	common := commonErrors(a, b)
	for _, lists := range [][2][]quantities.Estimate{{a.Parameters, b.Parameters}, {a.Derived, b.Derived}} {
		for _, e := range lists[0] {
			if o := b.Find(e.Key); o != nil && o.Covered == e.Covered && !quantities.OfBench(e.Name) {
				out.Changes = append(out.Changes, compare(a, b, e, *o, common))
			}
		}
	}
	var chances []float64
	for i := range out.Changes {
		chances = append(chances, out.Changes[i].Chance)
	}
	fails, tested := holm(chances)
	for i, moved := range fails {
		out.Changes[i].Moved = moved
	}
	out.Tested = tested
	return out
}

func compare(a, b *estimation.Result, x, y quantities.Estimate, common []commonError) Change {
	c := Change{A: x, B: y, Sigmas: math.NaN(), Chance: math.NaN()}
	d := quantities.Estimate{Key: x.Key, Unit: x.Unit}
	if !x.Determined || !y.Determined || math.IsNaN(x.Uncertainty) || math.IsNaN(y.Uncertainty) {
		c.Difference = d.Forget()
		return c
	}
	d.Value, d.Determined = y.Value-x.Value, true
	d.Uncertainty = differenceUncertainty(x.Uncertainty, y.Uncertainty, along(a, &x, a.Covariance), along(b, &y, b.Covariance), common)
	// Weighing that is best for the enlarged uncertainties isn't for the stated ones: a
	// difference of two can then seem less certain by these, which it is not.
	d.Stated = math.Min(d.Uncertainty, differenceUncertainty(x.Stated, y.Stated, along(a, &x, a.StatedCovariance), along(b, &y, b.StatedCovariance), common))
	degrees := math.Inf(1)
	if read := square(x.Uncertainty*x.Uncertainty*x.Budget.Readings)/a.Solution.ScaleDegrees + square(y.Uncertainty*y.Uncertainty*y.Budget.Readings)/b.Solution.ScaleDegrees; read > 0 {
		degrees = square(d.Uncertainty*d.Uncertainty) / read
	}
	d.Cover(degrees, false)
	c.Difference = d
	c.Sigmas = d.Value / d.Uncertainty
	if d.Uncertainty > 0 {
		c.Chance = fit.Chance(c.Sigmas, degrees)
	}
	c.Alone = d.Interval[0] > 0 || d.Interval[1] < 0
	return c
}
