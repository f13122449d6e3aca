package estimation

import (
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/quantities"
)

// Surface is how χ² rises around the solution, over each of some quantities and over each pair
// of them, with all else fitted anew; beside what the standard uncertainties and correlations
// make of it.
type Surface struct {
	Curves  []Curve
	Regions []Region

	correlations []float64
}

// Correlation returns the coefficient of two of the curves' quantities.
func (s *Surface) Correlation(i, j int) float64 { return s.correlations[i*len(s.Curves)+j] }

// Curve is over one quantity [SI].
type Curve struct {
	*quantities.Estimate
	Profile []fit.CurvePoint // nil where it could not be found
	// Linear is the parabola by the standard uncertainty, in the logarithm of a quantity whose
	// interval is made in that.
	Linear []fit.CurvePoint
	Limit  float64 // k², the rise at the ends of a 95 % interval
}

// Region is over two of the curves' quantities: the outlines of both together with a
// probability of 95 % {first, second} [SI].
type Region struct {
	First, Second int          // which of the curves
	Profile       [][2]float64 // nil where it could not be found
	Linear        [][2]float64 // the ellipse, straight in the same logarithms
}

const (
	curvePoints  = 9 // a side
	curveReach   = 2.6
	regionPoints = 48
	linearPoints = 96
)

// Surface works it out for the quantities of list, which have intervals (see Profiles). done is
// called after each of the steps, unless nil.
func (r *Result) Surface(list []*quantities.Estimate, done func(i, n int)) (s Surface) {
	if done == nil {
		done = func(int, int) {}
	}
	n := len(list)
	steps, step := n+n*(n-1)/2, 0
	solution := r.straightenedSolution()
	problem, settings := r.Problem.straightened(), SolverSettings(r.Session)
	logarithm := make([]bool, n)
	over := make([]fit.Quantity, n)
	for i, e := range list {
		q, _ := quantityOf(e.Key, r.Problem.Quantities())
		logarithm[i] = q.Positive
		over[i] = r.straightened(e.Key, logarithm[i])
		solution.ScaleDegrees = e.Degrees
		c := Curve{Estimate: e, Limit: e.Coverage * e.Coverage, Linear: linearCurve(e, logarithm[i])}
		c.Profile = fit.Must(fit.ProfileCurve(problem, solution, settings, over[i], curveReach*e.Coverage/2, curvePoints))
		for k := range c.Profile {
			c.Profile[k].At = back(c.Profile[k].At, logarithm[i])
		}
		s.Curves = append(s.Curves, c)
		step++
		done(step, steps)
	}
	s.correlations = r.Correlations(list)
	for i := range n {
		for j := range i {
			solution.ScaleDegrees = math.Min(list[i].Degrees, list[j].Degrees)
			g := Region{First: j, Second: i, Profile: fit.Must(fit.Contour(problem, solution, settings, over[j], over[i], 0.95, regionPoints))}
			for k, q := range g.Profile {
				g.Profile[k] = [2]float64{back(q[0], logarithm[j]), back(q[1], logarithm[i])}
			}
			g.Linear = ellipse(list[j], list[i], logarithm[j], logarithm[i], s.Correlation(i, j), solution.ScaleDegrees)
			s.Regions = append(s.Regions, g)
			step++
			done(step, steps)
		}
	}
	return s
}

// back undoes a logarithm.
func back(v float64, logarithm bool) float64 {
	if logarithm {
		return math.Exp(v)
	}
	return v
}

// linearCurve is ((q − q̂)/u)², or the same in the logarithm.
func linearCurve(e *quantities.Estimate, logarithm bool) (curve []fit.CurvePoint) {
	for i := range linearPoints + 1 {
		z := curveReach * e.Coverage / 2 * (2*float64(i)/linearPoints - 1)
		curve = append(curve, fit.CurvePoint{At: moved(e, z, logarithm), Rise: z * z})
	}
	return curve
}

// moved is where an estimate stands z of its standard uncertainties off.
func moved(e *quantities.Estimate, z float64, logarithm bool) float64 {
	if logarithm {
		return e.Value * math.Exp(z*e.Uncertainty/e.Value)
	}
	return e.Value + z*e.Uncertainty
}

// ellipse is the region of two estimates by their standard uncertainties and correlation.
func ellipse(a, b *quantities.Estimate, logA, logB bool, correlation, degrees float64) (outline [][2]float64) {
	k, apart := fit.JointFactor(0.95, degrees), math.Sqrt(math.Max(0, 1-correlation*correlation))
	for i := range linearPoints {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / linearPoints)
		outline = append(outline, [2]float64{moved(a, k*cos, logA), moved(b, k*(correlation*cos+apart*sin), logB)})
	}
	return outline
}

// Correlations returns the correlation coefficients of estimates, row after row. What only one
// of them depends on counts with it: an estimate's own standard uncertainty is in its variance.
func (r *Result) Correlations(list []*quantities.Estimate) []float64 {
	n := len(list)
	all := r.Problem.Quantities()
	gradients := make([][]float64, n)
	for i, e := range list {
		gradients[i] = r.gradient(e, all)
	}
	m := r.Covariance.Matrix(gradients)
	out := make([]float64, n*n)
	for i := range n {
		for j := range n {
			out[i*n+j] = math.Max(-1, math.Min(1, m[i*n+j]/(list[i].Uncertainty*list[j].Uncertainty)))
			if i == j {
				out[i*n+j] = 1
			}
		}
	}
	return out
}

// Principal lists what a reader wants to know first, of what Profiles has intervals for: at
// most so many.
func (r *Result) Principal(most int) (list []*quantities.Estimate) {
	add := func(e *quantities.Estimate) {
		if e != nil && len(list) < most && !slices.Contains(list, e) && r.hasProfile(e) {
			list = append(list, e)
		}
	}
	named := func(name string) {
		for e := range r.All() {
			if e.Name == name {
				add(e)
			}
		}
	}
	for _, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance} {
		named(name)
	}
	split := len(list) > 0
	if !split {
		named(quantities.LCProduct)
	}
	for _, name := range []string{quantities.CoreGain, quantities.CoreCapacitance} {
		named(name)
	}
	for _, p := range r.Parts() {
		if !p.Known {
			add(r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: p.Name}))
		}
	}
	add(r.nearestHand())
	if split { // else it is the product once more
		named(quantities.BareFrequency)
	}
	for _, name := range []string{quantities.CouplingAtResonance, quantities.WindingCapacitance, quantities.TopCapacitance, quantities.Inductance, quantities.LeadCapacitance, quantities.Drift} {
		named(name)
	}
	return list
}

// nearestHand is the effect of the hand at the nearest distance read; nil without one.
func (r *Result) nearestHand() (nearest *quantities.Estimate) {
	for i := range r.Derived {
		if e := &r.Derived[i]; e.Name == quantities.HandFrequencyDrop && e.Determined && (nearest == nil || e.Hand < nearest.Hand) {
			nearest = e
		}
	}
	return nearest
}
