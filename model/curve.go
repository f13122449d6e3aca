package model

import "math"

// Curve is the fitted frequency of one condition of the coil against added
// capacitance, with the readings taken in it.
type Curve struct {
	Condition Condition
	Points    []CurvePoint
	Readings  []int // indexes in Result.Readings
}

// Condition is a state regardless of the parts on the top.
type Condition struct {
	Core     string
	From, To float64
	Hand     float64 // m; +Inf when nobody is near
}

// CurvePoint is one point of a curve.
type CurvePoint struct {
	Added       float64 // F
	Frequency   float64 // Hz
	Uncertainty float64 // Hz, standard, of the fitted mean; +Inf where the readings don't fix it
}

// Condition returns the condition that s is in.
func (s *State) Condition() Condition {
	return Condition{s.Core, s.From, s.To, s.Hand}
}

// state returns c with the capacitance exact on the top [F].
func (c Condition) state(exact float64) State {
	return State{Exact: exact, Core: c.Core, From: c.From, To: c.To, Hand: c.Hand}
}

// Added returns the capacitance that the fit finds on the top in state s [F],
// apart from the coil's own and a hand's. NaN when a part is undetermined.
func (r *Result) Added(s State) float64 {
	for _, i := range s.Parts {
		if k := r.problem.partAt[i]; k >= 0 && r.relative(k)*r.problem.relative(i) > vague {
			return math.NaN()
		}
	}
	return r.problem.added(r.fit.X, &s)
}

// Curves returns the fitted curve of every condition read, n points each, over
// the range of added capacitance of all readings.
func (r *Result) Curves(n int) []Curve {
	var curves []Curve
	index := map[Condition]int{}
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
		if a := r.Added(*s); finite(a) {
			most = math.Max(most, a)
		}
	}
	grad := make([]float64, r.problem.n)
	for k := range curves {
		c := &curves[k]
		for i := range n {
			added := most * float64(i) / float64(n-1)
			state := c.Condition.state(added)
			f := r.problem.frequency(r.fit.X, &state, grad)
			if !finite(f) {
				continue
			}
			variance, determined := r.cov.Variance(grad)
			u := math.Inf(1)
			if determined {
				u = f * math.Sqrt(variance)
			}
			c.Points = append(c.Points, CurvePoint{added, f, u})
		}
	}
	return curves
}
