package quantities

import (
	"fmt"
	"math"
	"slices"

	"fitcoil/fit"
)

// Estimate is one quantity with what is known of it. Only the key and
// the unit mean anything unless Determined.
type Estimate struct {
	Key
	Value       float64
	Unit        string     // SI
	Uncertainty float64    // standard uncertainty, scatter included; NaN at a bound
	Stated      float64    // the same from the stated uncertainties alone
	Interval    [2]float64 // 95 %: linear, or by profile likelihood
	Linear      [2]float64 // the linear one where ByProfile
	ByProfile   bool       // Interval is by profile likelihood, where the linear one would be wrong
	Degrees     float64    // effective degrees of freedom of Uncertainty; +Inf where it is stated
	Coverage    float64    // factor k of Interval on Uncertainty
	Determined  bool
	Equivalent  bool       // of a uniform line that rings alike, not of the winding and its top themselves
	Bound       fit.Bound  // at which limit of the possible it stands
	Covered     [2]float64 // part of the winding that the core covers, in an effect of one that was never read all in; else zero
	Budget      Budget

	Scattered bool // undetermined only since the readings scatter more than stated
	// Unclaimed tells that more is wrong than noise: Uncertainty says how many digits mean
	// anything, and is no standard uncertainty, nor Interval one.
	Unclaimed bool
}

// Budget tells where the variance of an estimate comes from, as fractions of
// the whole.
type Budget struct {
	Readings  float64 // frequencies as read
	Tolerance float64 // of the parts put on the top
	Common    float64 // of that, what parts of one lot have in common
	Known     float64 // values known from elsewhere, and earlier sessions
	Earlier   float64 // of that, readings of earlier sessions
	Assumed   float64 // broad priors on coils of this kind and on the bench
	Bench     float64 // of that, those on the bench: lead and drift
	Model     float64 // what the resonator errs by, with a core partly in
}

// Scaled returns b as a part of a variance of which it has the given share.
func (b Budget) Scaled(share float64) Budget {
	return Budget{b.Readings * share, b.Tolerance * share, b.Common * share, b.Known * share, b.Earlier * share, b.Assumed * share, b.Bench * share, b.Model * share}
}

// MostlyPrior tells whether more than half of the variance of the estimate doesn't
// come from the readings, but from tolerances, known values and priors together. It
// is the same for every quantity: an inductance with 97 % from tolerances is as well
// known as the capacitors are, however well the frequencies were read.
func (e *Estimate) MostlyPrior() bool {
	return e.Budget.Tolerance+e.Budget.Known+e.Budget.Assumed > 0.5
}

// Interval returns value ± k·u; for a positive quantity the same in its
// logarithm.
func Interval(value, u, k float64, positive bool) [2]float64 {
	if positive {
		factor := math.Exp(k * u / value)
		return [2]float64{value / factor, value * factor}
	}
	return [2]float64{value - k*u, value + k*u}
}

// Cover makes the 95 % interval of an uncertainty of so many degrees of freedom.
func (e *Estimate) Cover(degrees float64, positive bool) {
	e.Degrees, e.Coverage = degrees, fit.CoverageFactor(0.95, degrees)
	e.Interval = Interval(e.Value, e.Uncertainty, e.Coverage, positive)
}

// LinearInterval returns value ± k·u, of a positive quantity in its logarithm, whatever Interval is.
func (e *Estimate) LinearInterval() [2]float64 {
	if e.ByProfile {
		return e.Linear
	}
	return e.Interval
}

// Forget leaves nothing of an undetermined estimate but its name.
func (e Estimate) Forget() Estimate {
	nan := math.NaN()
	e.Value, e.Uncertainty, e.Stated = nan, nan, nan
	e.Interval = [2]float64{nan, nan}
	e.Determined, e.Budget, e.Degrees, e.Coverage = false, Budget{}, nan, nan
	return e
}

// Widen adds what the model errs by, own.
func (e *Estimate) Widen(own float64) {
	e.Uncertainty, e.Stated = math.Hypot(e.Uncertainty, own), math.Hypot(e.Stated, own)
	if share := math.Pow(own/e.Uncertainty, 2); share > 0 {
		e.Budget = e.Budget.Scaled(1 - share)
		e.Budget.Model += share
	}
}

// Finite tells whether all values are numbers.
func Finite(values ...float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// Pair is the effective inductance and capacitance of the bare coil with what is
// known of the two together: ln L and ln C are taken as normal, with a correlation.
type Pair struct {
	Inductance  Estimate // H
	Capacitance Estimate // F
	Correlation float64  // of ln L and ln C, −1 … 1
	Degrees     float64  // of freedom of their covariance; may be +Inf
}

// Region returns n points {L, C} [H, F] around the region that holds the pair with the
// probability given: the ellipse (x − x̂)ᵀ V⁻¹ (x − x̂) = k², x = (ln L, ln C), with
// fit.JointFactor for k.
func (p *Pair) Region(probability float64, n int) [][2]float64 {
	k := fit.JointFactor(probability, p.Degrees)
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

// Known is the value of a quantity known from elsewhere: a meter, a drawing, an
// earlier session. It enters the fit as one more row.
type Known struct {
	Key
	Value       float64 // SI
	Uncertainty float64 // SI, standard
}

// UnknownQuantityError tells that a known value names a quantity that the log
// has nothing to do with.
type UnknownQuantityError struct {
	Known Known
	Could []Known // what could have been named; without values
}

func (e *UnknownQuantityError) Error() string {
	return fmt.Sprintf("known value for %s, which no reading depends on", e.Known.Name)
}

// RulesOut tells whether it is known that there is exactly none of a quantity of the bench.
func RulesOut(known []Known, name string) bool {
	return slices.ContainsFunc(known, func(k Known) bool { return k.Name == name && k.Value == 0 && k.Uncertainty == 0 })
}
