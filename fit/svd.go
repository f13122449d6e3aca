package fit

import "math"

// singular is the singular value decomposition A = U Σ Vᵀ of a small matrix,
// found by one-sided Jacobi rotations, which give also the small singular
// values of a column-scaled matrix to nearly full relative accuracy
// (J. Demmel and K. Veselić, SIAM J. Matrix Anal. Appl. 13, 1992, 1204–1245).
type singular struct {
	m, n  int
	us    []float64 // U Σ, m × n, column after column
	v     []float64 // n × n, column after column
	sigma []float64 // descending
}

// newSingular decomposes the m × n matrix a, stored column after column, which
// it takes over.
func newSingular(a []float64, m, n int) singular {
	s := singular{m: m, n: n, us: a, v: make([]float64, n*n), sigma: make([]float64, n)}
	for j := range n {
		s.v[j*n+j] = 1
	}
	for range 60 {
		turned := false
		for i := 0; i < n-1; i++ {
			for j := i + 1; j < n; j++ {
				if s.rotate(i, j) {
					turned = true
				}
			}
		}
		if !turned {
			break
		}
	}
	for j := range n {
		s.sigma[j] = norm(s.u(j))
	}
	s.sort()
	return s
}

func (s singular) u(j int) []float64     { return s.us[j*s.m:][:s.m] }
func (s singular) right(j int) []float64 { return s.v[j*s.n:][:s.n] }

// rotate makes the columns i and j of U Σ orthogonal and reports whether they
// were not.
func (s singular) rotate(i, j int) bool {
	x, y := s.u(i), s.u(j)
	a, b, c := dot(x, x), dot(y, y), dot(x, y)
	if c == 0 || math.Abs(c) <= 1e-15*math.Sqrt(a)*math.Sqrt(b) {
		return false
	}
	// tan 2θ = 2c/(a−b); the smaller root keeps the rotation below 45°.
	z := (b - a) / (2 * c)
	t := math.Copysign(1/(math.Abs(z)+math.Hypot(1, z)), z)
	cs := 1 / math.Hypot(1, t)
	sn := cs * t
	turn(cs, sn, x, y)
	turn(cs, sn, s.right(i), s.right(j))
	return true
}

func turn(cs, sn float64, x, y []float64) {
	for k, xk := range x {
		x[k], y[k] = cs*xk-sn*y[k], sn*xk+cs*y[k]
	}
}

// sort orders the singular values from the largest to the smallest.
func (s singular) sort() {
	for i := range s.n {
		k := i
		for j := i + 1; j < s.n; j++ {
			if s.sigma[j] > s.sigma[k] {
				k = j
			}
		}
		if k == i {
			continue
		}
		s.sigma[i], s.sigma[k] = s.sigma[k], s.sigma[i]
		swap(s.u(i), s.u(k))
		swap(s.right(i), s.right(k))
	}
}

func swap(x, y []float64) {
	for k := range x {
		x[k], y[k] = y[k], x[k]
	}
}

// rank returns the number of singular values above tolerance times the first.
func (s singular) rank(tolerance float64) int {
	r := 0
	for r < s.n && s.sigma[r] > tolerance*s.sigma[0] {
		r++
	}
	return r
}
