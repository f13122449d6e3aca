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
	var next secant
	for range mostWidened {
		s.wide = out.PartErrors.Factor
		if math.Abs(s.wide-out.Problem.Wide) <= Offset*s.wide {
			break
		}
		s.wide = next.fixed(out.Problem.Wide, s.wide)
		wider, err := Fit(s)
		if err != nil {
			return r
		}
		out = wider
	}
	if out == r {
		return r
	}
	scale, redundancy := out.Scatter.Scale, out.Scatter.Redundancy
	out.Quality = r.Quality
	out.Quality.Scale, out.Quality.Redundancy, out.Quality.PartScale = scale, redundancy, out.Problem.Wide
	return out
}

// secant looks for the fixed point of a function, from one point of it after another.
type secant struct{ x, y float64 }

// fixed returns where the straight line through the point before and (x, y) has y = x. Where
// there is none before, or the line is so steep that it tells little, that is y.
func (l *secant) fixed(x, y float64) float64 {
	slope := (y - l.y) / (x - l.x)
	first := l.x == 0
	l.x, l.y = x, y
	if first || !(slope > 0 && slope < 0.8) {
		return y
	}
	return x + (y-x)/(1-slope)
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
