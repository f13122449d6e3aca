package estimation

import "math"

// Widen fits again with the tolerances of parts enlarged by a factor that the parts' own
// errors ask for, up but never down:
//
//	T² = (1 + Σ e²)/(n − Σ h)   over the n prior rows of parts and lots
//
// with e the errors found, in standard uncertainties as stated, and h the leverages of these
// rows: the variance component of the tolerances, as fit.SolveScaled has that of the readings.
// Since few tolerances are checked in most logs, one error more is counted than was seen. Fit
// and T are worked out in turn until T settles. Where less than one and a half tolerances' worth is
// checked, T = 1.
//
// What is told of single readings and of the model as a whole stays that of r, by the stated
// tolerances.
func (r *Result) Widen() *Result {
	s, out := r.Session, r
	for range mostWidened {
		s.wide = out.PartErrors.Factor
		if math.Abs(s.wide-out.Problem.Wide) <= Offset*s.wide {
			break
		}
		next, err := Fit(s)
		if err != nil {
			return r
		}
		out = next
	}
	if out == r {
		return r
	}
	scale, redundancy := out.Scatter.Scale, out.Scatter.Redundancy
	out.Quality = r.Quality
	out.Quality.Scale, out.Quality.Redundancy, out.Quality.PartScale = scale, redundancy, out.Problem.Wide
	return out
}

// TakeFlags takes from strict, which has the tolerances as stated, what is told of single
// readings.
func (r *Result) TakeFlags(strict *Result) {
	for i := range r.Readings {
		o, was := &r.Readings[i], &strict.Readings[i]
		o.Flagged, o.Deleted, o.Moves, o.Without = was.Flagged, was.Deleted, was.Moves, was.Without
	}
}

// mostWidened is how often tolerances are enlarged anew at most.
const mostWidened = 30
