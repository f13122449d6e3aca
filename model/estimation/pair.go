package estimation

import (
	"math"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

// Pair returns the effective pair of the fit; ok is false where it is undetermined.
func (r *Result) Pair() (p quantities.Pair, ok bool) {
	l, c := r.Find(quantities.Key{Name: quantities.EffectiveInductance}), r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	lc := r.Find(quantities.Key{Name: quantities.LCProduct})
	if l == nil || c == nil || lc == nil || !l.Determined || !c.Determined || !lc.Determined || l.Bound != fit.Free || c.Bound != fit.Free {
		return p, false
	}
	ul, uc, u := l.Uncertainty/l.Value, c.Uncertainty/c.Value, lc.Uncertainty/lc.Value
	p = quantities.Pair{Inductance: *l, Capacitance: *c, Degrees: r.degrees(l.Budget)}
	// u²(ln LC) = u²(ln L) + u²(ln C) + 2 cov(ln L, ln C)
	p.Correlation = (u*u - ul*ul - uc*uc) / (2 * ul * uc)
	p.Correlation = math.Min(math.Max(p.Correlation, -1), 1) // but for rounding
	return p, quantities.Finite(p.Correlation)
}
