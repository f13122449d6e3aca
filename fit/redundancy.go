package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// redundancy returns N − Σh over the data rows. All leverages add up to the
// number of directions determined, so that only the priors' need be found.
func (r Result) redundancy(p Problem) float64 {
	h := r.hat()
	sum := float64(h.rank)
	rows(p.Prior, r.X, p.width(), func(i int, _ float64, jac []float64) bool {
		sum -= h.leverage(jac, p.Prior.own(i))
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

// hat gives the leverages of rows at a solution.
type hat struct {
	rank    int       // directions determined
	inverse []float64 // of the triangle, where that shows that all parameters are determined, well enough to have its digits
	y       []float64
	room    *rowRoom // where it doesn't, or some are own or at a bound
}

func (r Result) hat() *hat {
	plain := len(r.OwnDiagonal) == 0 && r.wellFormed()
	for _, b := range r.AtBound {
		plain = plain && b == Free
	}
	if plain {
		if inverse, ok := inverseTriangle(r.R, r.Params); ok {
			return &hat{rank: r.Params, inverse: inverse, y: make([]float64, r.Params)}
		}
	}
	c := r.Covariance()
	return &hat{rank: c.rank, room: c.rowRoom()}
}

// leverage returns the length squared of a row, in standard uncertainties.
func (h *hat) leverage(jac []float64, own int) float64 {
	if h.inverse == nil {
		return h.room.square(jac, own)
	}
	n := len(h.y)
	clear(h.y)
	for j, v := range jac {
		if v != 0 {
			axpy(v, h.inverse[j*n+j:][:n-j], h.y[j:])
		}
	}
	return dot(h.y, h.y)
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

// DegreesOfFreedom returns the number of rows whose errors are their own less that of the parameters they
// determine, or 0. Rows Forgotten don't count, parameters at a bound are not free, and directions that no
// row fixes use up nothing.
func (r Result) DegreesOfFreedom() int {
	return max(0, r.DataRows-len(r.Forgotten)-int(math.Round(r.alike))+r.PriorRows-r.hat().rank)
}

// AICc returns the corrected Akaike criterion
//
//	Σr² + 2k + 2k(k+1)/(n − k − 1)
//
// (C. M. Hurvich and C.-L. Tsai, Biometrika 76, 1989, 297–307) of a solution
// by stated uncertainties: Σr² over data and priors stands for −2 ln L, of
// which the constant Σ ln 2πu² is dropped, so that only fits to the same
// readings with the same uncertainties compare; n is the number of data rows
// and k the number of parameters that they pay for, the sum of their
// leverages (all parameters if there are no priors). It is +Inf for n < k + 2,
// where the last term outgrows all that the readings say. It is an error if r is of
// another problem.
func AICc(p Problem, r Result) (float64, error) {
	if err := r.solves(p); err != nil {
		return math.NaN(), err
	}
	n := float64(r.DataRows-len(r.Forgotten)) - r.alike
	k := n - r.redundancy(p)
	if n-k-1 < 1-1e-9 {
		return math.Inf(1), nil
	}
	return r.DataSquares + r.PriorSquares + 2*k + 2*k*(k+1)/(n-k-1), nil
}
