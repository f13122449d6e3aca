package model

import (
	"math"

	"fitcoil/fit"
)

// Pair is the effective inductance and capacitance of the bare coil with what is
// known of the two together: ln L and ln C are taken as normal, with a correlation.
type Pair struct {
	Inductance  Estimate // H
	Capacitance Estimate // F
	Correlation float64  // of ln L and ln C, −1 … 1
	Degrees     float64  // of freedom of their covariance; may be +Inf
}

// Pair returns the effective pair of the fit; ok is false where it is undetermined.
func (r *Result) Pair() (p Pair, ok bool) {
	l, c := r.Find(EffectiveInductance, "", "", 0), r.Find(EffectiveCapacitance, "", "", 0)
	lc := r.Find(LCProduct, "", "", 0)
	if l == nil || c == nil || lc == nil || !l.Determined || !c.Determined || !lc.Determined || l.Bound != fit.Free || c.Bound != fit.Free {
		return p, false
	}
	ul, uc, u := l.Uncertainty/l.Value, c.Uncertainty/c.Value, lc.Uncertainty/lc.Value
	p = Pair{Inductance: *l, Capacitance: *c, Degrees: r.fit.Degrees(1 - l.Budget.Readings)}
	// u²(ln LC) = u²(ln L) + u²(ln C) + 2 cov(ln L, ln C)
	p.Correlation = (u*u - ul*ul - uc*uc) / (2 * ul * uc)
	p.Correlation = math.Min(math.Max(p.Correlation, -1), 1) // but for rounding
	return p, finite(p.Correlation)
}

// Pair returns the effective pair of the coil as drawn. What is uncertain in its
// inductance, the dimensions of the winding, isn't what is in its capacitance, the
// electrodes and what stands around them.
func (d *Drawn) Pair() (p Pair, ok bool) {
	l, f := d.Find(Inductance), d.Find(BareFrequency)
	c := d.Prediction.EffectiveCapacitance
	omega := 2 * math.Pi * f.Value
	ul := l.Uncertainty / l.Value
	u2 := math.Pow(2*f.Uncertainty/f.Value, 2) - ul*ul // of ln C, as ln LC = −2 ln ω
	if !(c > 0 && u2 > 0) {
		return p, false
	}
	p.Inductance = drawnEstimate(Estimate{Name: EffectiveInductance, Unit: "H"}, 1/(omega*omega*c), ul)
	p.Capacitance = drawnEstimate(Estimate{Name: EffectiveCapacitance, Unit: "F"}, c, math.Sqrt(u2))
	p.Degrees = math.Inf(1)
	return p, true
}

// Region returns n points {L, C} [H, F] around the region that holds the pair with the
// probability given: the ellipse (x − x̂)ᵀ V⁻¹ (x − x̂) = 2 F, x = (ln L, ln C), with the
// quantile of F of 2 and ν degrees of freedom, which is ν/2·((1 − P)^(−2/ν) − 1) in closed
// form (JCGM 102:2011, 6.5.2.4, for ν = ∞: −2 ln(1 − P)).
func (p *Pair) Region(probability float64, n int) [][2]float64 {
	square := -2 * math.Log1p(-probability)
	if !math.IsInf(p.Degrees, 1) {
		square = p.Degrees * math.Expm1(square/p.Degrees)
	}
	k := math.Sqrt(square)
	ul, uc := p.Inductance.Uncertainty/p.Inductance.Value, p.Capacitance.Uncertainty/p.Capacitance.Value
	apart := math.Sqrt(1 - p.Correlation*p.Correlation)
	out := make([][2]float64, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = [2]float64{
			p.Inductance.Value * math.Exp(k*ul*cos),
			p.Capacitance.Value * math.Exp(k*uc*(p.Correlation*cos+apart*sin)),
		}
	}
	return out
}

// Pairs are the effective pair by each kind of knowledge; nil where that leaves it open
// or where there is no drawing.
type Pairs struct{ All, Readings, Drawing *Pair }

// pairs returns the pair of r, which knows a drawing, beside those of the readings alone
// and of the drawing alone.
func (r *Result) pairs(alone *Result) (out Pairs) {
	keep := func(p Pair, ok bool) *Pair {
		if !ok {
			return nil
		}
		return &p
	}
	out.All = keep(r.Pair())
	if d := r.session.Drawn; d != nil {
		out.Drawing = keep(d.Pair())
	}
	if alone != nil {
		out.Readings = keep(alone.Pair())
	}
	return out
}
