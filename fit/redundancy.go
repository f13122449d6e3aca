package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// redundancy returns N − Σh over the data rows. All leverages add up to the
// number of directions determined, so that only the priors' need be found.
func (r Result) redundancy(p Problem) float64 {
	if sum, ok := r.freedom(p); ok {
		return sum
	}
	c := r.Covariance()
	sum := float64(c.rank)
	y := c.rowRoom()
	rows(p.Prior, r.X, p.width(), func(i int, _ float64, jac []float64) bool {
		sum -= y.square(jac, p.Prior.own(i))
		return true
	})
	return math.Max(0, r.counted()-sum)
}

// counted returns the number of data rows, as far as they count and err by themselves.
func (r Result) counted() float64 {
	n := float64(r.DataRows)
	if r.weights == nil {
		return n - r.alike
	}
	return floats.Sum(r.weights) * (1 - r.alike/n)
}

// surelyFixed bounds the inverse of a triangle, columns scaled to one, of which no singular
// value comes near undeterminedRank.
const surelyFixed = 1e6

// freedom is redundancy from the inverse of the triangle, where that shows that all
// parameters are determined, well enough for it to have its digits. None may be own or at a bound.
func (r Result) freedom(p Problem) (sum float64, ok bool) {
	n := r.Params
	for _, b := range r.AtBound {
		ok = ok || b != Free
	}
	if ok || len(r.OwnDiagonal) > 0 {
		return 0, false
	}
	inverse, ok := inverseTriangle(r.R, n)
	if !ok {
		return 0, false
	}
	sum = r.counted() - float64(n)
	y := make([]float64, n)
	rows(p.Prior, r.X, n, func(i int, _ float64, jac []float64) bool {
		clear(y)
		for j, v := range jac {
			if v != 0 {
				axpy(v, inverse[j*n+j:][:n-j], y[j:])
			}
		}
		sum += dot(y, y)
		return true
	})
	return math.Max(0, sum), !math.IsNaN(sum)
}

// inverseTriangle returns the inverse of an n × n upper triangle, both row after row; ok is
// false where it is larger than surelyFixed, or r is no triangle.
func inverseTriangle(r []float64, n int) (inverse []float64, ok bool) {
	for i := range n {
		for j := range i {
			if r[i*n+j] != 0 { // in other coordinates than those of the solution
				return nil, false
			}
		}
	}
	inverse = make([]float64, n*n)
	size := 0.0
	for k := range n {
		// Column k of the inverse from the columns before: U_k = (e_k − Σ_{i<k} U_i R_ik)/R_kk.
		d := r[k*n+k]
		for j := range k {
			v := 0.0
			for i := j; i < k; i++ {
				v -= inverse[j*n+i] * r[i*n+k]
			}
			inverse[j*n+k] = v / d
		}
		inverse[k*n+k] = 1 / d
	}
	for j := range n { // row j of the inverse of the scaled triangle is row j times the length of column j
		col := 0.0
		for i := range j + 1 {
			col = math.Hypot(col, r[i*n+j])
		}
		size = math.Hypot(size, col*norm(inverse[j*n:][:n]))
	}
	return inverse, size <= surelyFixed
}
