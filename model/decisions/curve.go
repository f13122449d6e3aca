package decisions

import (
	"math"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Curve is the fitted frequency of one condition of the coil against added
// capacitance, with the readings taken in it.
type Curve struct {
	Condition readings.Condition
	Points    []CurvePoint
	Readings  []int // indexes in Result.Readings
}

// CurvePoint is one point of a curve.
type CurvePoint struct {
	Added       float64 // F
	Frequency   float64 // Hz
	Uncertainty float64 // Hz, standard, of the fitted mean; +Inf where the readings don't fix it
}

// Curves returns the fitted curve of every condition read, n points each, over
// the range of added capacitance of all readings.
func Curves(r *estimation.Result, n int) []Curve {
	var curves []Curve
	index := map[readings.Condition]int{}
	most := 0.0
	for i := range r.Readings {
		s := &r.Readings[i].State
		c := s.Condition()
		k, ok := index[c]
		if !ok {
			k = len(curves)
			index[c] = k
			curves = append(curves, Curve{Condition: c})
		}
		curves[k].Readings = append(curves[k].Readings, i)
		if a := r.Added(*s); quantities.Finite(a) {
			most = math.Max(most, a)
		}
	}
	grad := make([]float64, r.Problem.N)
	for k := range curves {
		c := &curves[k]
		for i := range n {
			added := most * float64(i) / float64(n-1)
			state := c.Condition.State(added)
			f := r.Problem.Frequency(r.Solution.X, &state, grad)
			if !quantities.Finite(f) {
				continue
			}
			variance, determined := r.Covariance.Variance(grad)
			u := math.Inf(1)
			if determined {
				u = f * math.Sqrt(variance)
			}
			c.Points = append(c.Points, CurvePoint{added, f, u})
		}
	}
	return curves
}
