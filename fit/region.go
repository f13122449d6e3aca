package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// JointFactor returns the radius, in standard uncertainties of independent quantities, of
// the region that holds two of them together with a probability: √(2F), with the quantile of
// F of 2 and ν degrees of freedom, which is ν/2·((1 − P)^(−2/ν) − 1) in closed form (JCGM
// 102:2011, 6.5.2.4, for ν = ∞: √(−2 ln(1 − P))). NaN for a probability that isn't between 0
// and 1, or without degrees of freedom.
func JointFactor(probability, degrees float64) float64 {
	if !(probability > 0 && probability < 1 && degrees > 0) {
		return math.NaN()
	}
	square := -2 * math.Log1p(-probability)
	if !math.IsInf(degrees, 1) {
		square = degrees * math.Expm1(square/degrees)
	}
	return math.Sqrt(square)
}

// CurvePoint is a point of a profile: the value of a quantity, and by how much the least
// objective with that value exceeds that of the result.
type CurvePoint struct{ At, Rise float64 }

// ProfileCurve returns points of the profile of a quantity, about n each side of the result, in
// order: out to where the root of the rise is reach, which in a linear problem is so many
// standard uncertainties, or to four times those. It leaves out where the solver does not converge, and is nil where the quantity is not determined or the search came upon a better
// fit. The rise is that of Profile, less what a robust loss adds to its limit. It is an error
// if r is of another problem.
func ProfileCurve(p Problem, r Result, s Settings, quantity Quantity, reach float64, n int) (curve []CurvePoint, err error) {
	if err := r.solves(p); err != nil {
		return nil, err
	}
	if !(reach > 0) || n < 1 || quantity == nil {
		return nil, fmt.Errorf("fit: no profile of %d points out to %g of a quantity", n, reach)
	}
	v, ok := newSurface(p, r, s, quantity)
	if !ok {
		return nil, nil
	}
	curve = []CurvePoint{{v.at[0], 0}}
	for _, side := range []float64{-1, 1} {
		start := r.X
		for i := range mostSteps * n {
			got, z, ok := v.pullTo(start, []float64{side * reach * float64(i+1) / float64(n)})
			if v.better {
				return nil, nil
			}
			if !ok {
				break
			}
			start = got.X
			curve = append(curve, CurvePoint{v.quantities[0](got.X, nil), z * z})
			if z >= reach*(1-2.0/(pullStiffness*pullStiffness)) {
				break
			}
		}
	}
	slices.SortFunc(curve, func(a, b CurvePoint) int { return cmp.Compare(a.At, b.At) })
	return curve, nil
}

// Contour returns n points, or more where these lie wide apart, around the joint profile-likelihood region of two quantities: the
// pairs of values for which the least objective exceeds that of the result by the square of
// JointFactor, of the level and of the result's ScaleDegrees (D. M. Bates and D. G. Watts,
// Nonlinear Regression Analysis, 1988, ch. 6). Where bounds stop the parameters, the region
// ends there. It is nil where one of the two is not determined without the other, the search
// came upon a better fit, or a point was not found. It is an error if r is of another problem,
// or the level isn't between 0 and 1.
func Contour(p Problem, r Result, s Settings, a, b Quantity, level float64, n int) ([][2]float64, error) {
	if err := r.solves(p); err != nil {
		return nil, err
	}
	if !(level > 0 && level < 1) || n < 1 || a == nil || b == nil {
		return nil, fmt.Errorf("fit: no region of level %g of %d points of two quantities", level, n)
	}
	v, ok := newSurface(p, r, s, a, b)
	if !ok {
		return nil, nil
	}
	limit := JointFactor(level, r.ScaleDegrees)
	points := make([]contourPoint, 0, 2*n)
	start := r.X
	for i := range n {
		q, ok := v.contourPoint(start, 2*math.Pi*float64(i)/float64(n), limit)
		if !ok {
			return nil, nil
		}
		points, start = append(points, q), q.x
	}
	points = v.filled(points, 3*2*math.Pi*limit/float64(n), limit, n)
	out := make([][2]float64, len(points))
	for i, q := range points {
		out[i] = [2]float64{a(q.x, nil), b(q.x, nil)}
	}
	return out, nil
}

// contourPoint is a point of a contour, and the direction in which it was looked for.
type contourPoint struct {
	angle float64
	x     []float64
	z     [2]float64 // in independent coordinates
}

// contourPoint finds the point in a direction, from a start nearby or else from the result,
// which may lie in another valley.
func (v *surface) contourPoint(start []float64, angle, limit float64) (q contourPoint, ok bool) {
	sin, cos := math.Sincos(angle)
	q.angle = angle
	if q.x, ok = v.reach(start, []float64{cos, sin}, limit); !ok {
		q.x, ok = v.reach(v.r.X, []float64{cos, sin}, limit)
	}
	if ok {
		q.z = [2]float64{v.deviation(q.x, 0, nil), v.deviation(q.x, 1, nil)}
	}
	return q, ok
}

// filled adds at most so many points where two neighbours are wide apart.
func (v *surface) filled(points []contourPoint, wide, limit float64, most int) []contourPoint {
	for i := 0; i < len(points) && most > 0; i++ {
		q, next := points[i], points[(i+1)%len(points)]
		turn := math.Mod(next.angle-q.angle+2*math.Pi, 2*math.Pi)
		if math.Hypot(next.z[0]-q.z[0], next.z[1]-q.z[1]) <= wide || turn < narrowest {
			continue
		}
		most--
		if between, ok := v.contourPoint(q.x, q.angle+turn/2, limit); ok {
			points = slices.Insert(points, i+1, between)
			i-- // look at the first half again
		}
	}
	return points
}

// surface is the least objective over values of some quantities.
type surface struct {
	profiler
	quantities []Quantity
	at         []float64 // at the result
	whiten     []float64 // lower triangle that makes deviations independent, in standard uncertainties; row after row
	better     bool
}

func newSurface(p Problem, r Result, s Settings, quantities ...Quantity) (*surface, bool) {
	p = p.whole().weighted(r.weights)
	v := &surface{profiler: profiler{p: p, r: r, set: s}, quantities: quantities}
	c := r.covariance(make([]bool, p.Params))
	var gradients [][]float64
	for _, q := range quantities {
		g := make([]float64, p.Params)
		v.at = append(v.at, q(r.X, g))
		if variance, determined := c.Variance(g); !determined || !(variance > 0) {
			return nil, false
		}
		gradients = append(gradients, g)
	}
	m := c.Matrix(gradients)
	u := math.Sqrt(m[0])
	v.whiten = []float64{1 / u}
	if len(quantities) == 2 {
		across := m[1] / u // the second's covariance with the first, whitened
		rest := math.Sqrt(m[3] - across*across)
		if !(rest > leastApart*math.Sqrt(m[3])) {
			return nil, false
		}
		v.whiten = []float64{1 / u, 0, -across / (u * rest), 1 / rest}
	}
	return v, true
}

const (
	mostSteps = 4    // times the number of points meant, along a curve
	narrowest = 1e-3 // angle between two points of a contour
)

// leastApart is the root of 1 − ρ² below which two quantities are one.
const leastApart = 1e-5

// deviation returns coordinate i of where x stands, and writes its gradient.
func (v *surface) deviation(x []float64, i int, grad []float64) (z float64) {
	var scratch []float64
	if grad != nil {
		scratch = make([]float64, len(grad))
	}
	for k, q := range v.quantities {
		w := v.whiten[i*len(v.quantities)+k]
		if w == 0 {
			continue
		}
		z += w * (q(x, scratch) - v.at[k])
		for j := range grad {
			grad[j] += w * scratch[j]
		}
	}
	return z
}

// pullTo solves with the quantities pulled to a target, in independent coordinates, and
// returns the root of the rise of the objective without the pull.
func (v *surface) pullTo(start, target []float64) (got Result, zeta float64, ok bool) {
	got, ok = v.constrained(start, len(target), func(x []float64, i int, grad []float64) float64 {
		z := v.deviation(x, i, grad)
		floats.Scale(pullStiffness, grad)
		return pullStiffness * (z - target[i])
	})
	rise := got.Objective - v.r.Objective
	if ok && rise < -v.slack() {
		v.better = true
	}
	limit := v.r.inner / v.r.efficiency
	return got, math.Sqrt(math.Max(0, rise) / limit), ok && !v.better
}

const (
	contourTries = 40
	contourClose = 1e-3 // of the limit
	nearEnough   = 0.97 // of the limit, where the rise has a step across it
)

// reach returns the x in a direction at which the root of the rise is limit, or at which bounds
// stop the parameters below.
func (v *surface) reach(start, direction []float64, limit float64) (x []float64, ok bool) {
	inside, outside := 0.0, math.Inf(1) // targets with less and more than limit
	low, high := 0.0, 0.0               // the roots there; high is 0 where nothing was found
	t := limit * (1 + 1/(pullStiffness*pullStiffness))
	for i := range contourTries {
		got, zeta, ok := v.pullTo(start, []float64{t * direction[0], t * direction[1]})
		switch {
		case v.better:
			return nil, false
		case ok && math.Abs(zeta-limit) <= contourClose*limit:
			return got.X, true
		case ok && zeta < limit:
			if math.Abs(zeta-low) <= 1e-6*limit && t > 3*limit { // no step farther raises it
				return got.X, true
			}
			inside, low, start = t, zeta, got.X
		case ok:
			outside, high = t, zeta
		default:
			outside, high = t, 0
		}
		if outside-inside < contourClose*inside { // a step in the rise, or no solution beyond
			return start, low > nearEnough*limit
		}
		switch {
		case math.IsInf(outside, 1):
			t = math.Min(2*t, t*limit/math.Max(zeta, limit/2))
		case high > 0 && i%3 != 2:
			t = inside + (outside-inside)*(limit-low)/(high-low)
		default:
			t = (inside + outside) / 2
		}
	}
	return nil, false
}
