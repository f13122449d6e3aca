package ringing

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// orthonormal is a set of columns Φ written as Q·T: Q with orthonormal
// columns, T upper triangular. Modified Gram-Schmidt, twice where a column loses
// much of its length, which keeps Q orthogonal to rounding (Giraud, Langou and
// Rozložník, Numer. Math. 101 (2005) 87; the criterion is that of Daniel, Gragg,
// Kaufman and Stewart, Math. Comp. 30 (1976) 772, from memory). The columns are few and long, so they are kept whole.
type orthonormal struct {
	q [][]float64
	t [][]float64 // t[i][j], i ≤ j
}

// dependent is the share of a column that must remain beside the columns
// before it.
const dependent = 1e-9

// orthonormalise takes over the columns; it returns nil when they are linearly
// dependent.
func orthonormalise(cols [][]float64) *orthonormal {
	o := &orthonormal{q: cols}
	for range cols {
		o.t = append(o.t, make([]float64, len(cols)))
	}
	for j, col := range cols {
		whole := floats.Norm(col, 2)
		rest := whole
		for range 2 {
			before := rest
			for i := range j {
				d := floats.Dot(cols[i], col)
				floats.AddScaled(col, -d, cols[i])
				o.t[i][j] += d
			}
			if rest = floats.Norm(col, 2); rest > before/math.Sqrt2 {
				break
			}
		}
		if !(rest > dependent*whole) || math.IsInf(rest, 0) {
			return nil
		}
		floats.Scale(1/rest, col)
		o.t[j][j] = rest
	}
	return o
}

// without writes the part of y outside of the columns' span into dst, and
// returns it with Qᵀy.
func (o *orthonormal) without(y, dst []float64) (rest, along []float64) {
	dst = append(dst[:0], y...)
	along = make([]float64, len(o.q))
	for range 2 {
		for i, q := range o.q {
			d := floats.Dot(q, dst)
			floats.AddScaled(dst, -d, q)
			along[i] += d
		}
	}
	return dst, along
}

// solve returns c with T·c = along.
func (o *orthonormal) solve(along []float64) []float64 {
	c := make([]float64, len(along))
	for i := len(c) - 1; i >= 0; i-- {
		v := along[i]
		for j := i + 1; j < len(c); j++ {
			v -= o.t[i][j] * c[j]
		}
		c[i] = v / o.t[i][i]
	}
	return c
}

// propagate returns T⁻¹ W T⁻ᵀ: the covariance of the coefficients when W is
// that of Qᵀy.
func (o *orthonormal) propagate(w [][]float64) [][]float64 {
	n := len(o.q)
	half := make([][]float64, n) // rows of (T⁻¹ W)ᵀ, W being symmetric
	for j := range n {
		half[j] = o.solve(w[j])
	}
	cov := make([][]float64, n)
	for i := range n {
		col := make([]float64, n)
		for j := range n {
			col[j] = half[j][i]
		}
		cov[i] = o.solve(col)
	}
	return cov
}
