package model

import (
	"math"
	"slices"
)

// Change is how one quantity differs between two sessions of the same coil.
type Change struct {
	A, B Estimate
	// Difference is B − A; its uncertainty takes account of the parts that both
	// sessions used, whose errors are the same in both and largely cancel.
	// Undetermined when one of them is.
	Difference Estimate
	Sigmas     float64 // difference over its standard uncertainty
	Moved      bool    // by more than chance: the 95 % interval of the difference leaves out nil
}

// Compare tells which quantities moved between the sessions of a and b. Parts of
// the same name and nominal value are taken as the same physical parts.
func Compare(a, b *Result) []Change {
	var out []Change
	for _, lists := range [][2][]Estimate{{a.Parameters, b.Parameters}, {a.Derived, b.Derived}} {
		for _, e := range lists[0] {
			if o := b.Find(e.Name, e.Core, e.Part, e.Hand); o != nil {
				out = append(out, compare(a, b, e, *o))
			}
		}
	}
	return out
}

func compare(a, b *Result, x, y Estimate) Change {
	c := Change{A: x, B: y, Sigmas: math.NaN()}
	d := Estimate{Name: x.Name, Core: x.Core, Part: x.Part, Hand: x.Hand, Unit: x.Unit}
	if !x.Determined || !y.Determined || math.IsNaN(x.Uncertainty) || math.IsNaN(y.Uncertainty) {
		c.Difference = d.forget()
		return c
	}
	shared := 0.0
	for i, part := range a.Parts() { // in the log's order, for the same last digit every time
		if slices.Index(a.Parts(), part) == i {
			shared += x.sensitivity[part] * y.sensitivity[part]
		}
	}
	variance := func(u, v float64) float64 { return math.Sqrt(math.Max(0, u*u+v*v-2*shared)) }
	d.Value, d.Determined = y.Value-x.Value, true
	d.Uncertainty, d.Stated = variance(x.Uncertainty, y.Uncertainty), variance(x.Stated, y.Stated)
	k := math.Max(a.coverageFactor(x.Budget), b.coverageFactor(y.Budget))
	d.Interval = interval(d.Value, d.Uncertainty, k, false)
	c.Difference = d
	c.Sigmas = d.Value / d.Uncertainty
	c.Moved = d.Interval[0] > 0 || d.Interval[1] < 0
	return c
}
