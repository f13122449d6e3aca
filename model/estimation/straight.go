package estimation

import (
	"math"

	"fitcoil/model/forward"
)

// rounding is below what part of its terms a difference of theirs is noise.
const rounding = 1e-9

// transformed makes an evaluation at x one at y.
func (p *Problem) transformed(evaluate func(x []float64, first int, r, jac []float64)) func(y []float64, first int, r, jac []float64) {
	x := make([]float64, p.N)
	return func(y []float64, first int, r, jac []float64) {
		slope := original(p.Model, x, y)
		evaluate(x, first, r, jac)
		n := p.Width()
		for i := 0; i+n <= len(jac); i += n {
			row := jac[i : i+n]
			if p.straight(row, slope); !(math.Abs(row[forward.AtL]) > rounding*math.Abs(row[forward.AtC])) {
				row[forward.AtL] = 0 // two cancel: L is open, and noise must not seem to fix it
			}
		}
	}
}

// straight makes derivatives by x such by y, of which ln C = y[atC] + 2 ln Ω(s) − y[atL], with slope
// d ln Ω/ds.
func (p *Problem) straight(grad []float64, slope float64) {
	grad[forward.AtL] -= grad[forward.AtC]
	if p.Share >= 0 {
		grad[p.Share] += 2 * slope * grad[forward.AtC]
	}
}

// original writes the x of y, and returns d ln Ω/ds.
func original(f *forward.Model, x, y []float64) (slope float64) {
	omega, slope := f.PlainLine(y)
	copy(x, y)
	x[forward.AtC] = y[forward.AtC] + 2*math.Log(omega) - y[forward.AtL]
	return slope
}

// triangular makes a triangle of n columns one again whose columns of L and C have been
// combined, by a rotation of its first two rows.
func triangular(r []float64, n int) {
	a, b := r[forward.AtL], r[n+forward.AtL]
	if h := math.Hypot(a, b); b != 0 && h > 0 {
		for j := range n {
			x, y := r[j], r[n+j]
			r[j], r[n+j] = (a*x+b*y)/h, (a*y-b*x)/h
		}
		r[n+forward.AtL] = 0
	}
}
