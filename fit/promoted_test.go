package fit

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Further rows that have several own parameters in them, at once or one after the other, and rows of a problem
// then, which have one: covariances are those of gonum's inverse of the whole information, whichever own
// parameters are taken over to the core. One at a bound has none, one in no row stays open.
func TestRowsOfSeveralOwnParameters(t *testing.T) {
	const m, n = 2, 7
	const p, bound, blank = m + n, m + 5, m + 6
	row := func(at map[int]float64) []float64 {
		r := make([]float64, p)
		for j, v := range at {
			r[j] = v
		}
		return r
	}
	own := &ownRows{n: n, m: m, d: []float64{2, 3, 1, 0.5, 4, 2, 0}, w: []float64{1, 0.5, -0.3, 2, 0.7, -1, 0.2, 0.4, -1.5, 0.6, 3, 3, 0, 0},
		at: []int{2, 3, 4, 5, 6, 7, 8}, active: []bool{false, false, false, false, false, true, false}}
	var all [][]float64
	for i := range n {
		if own.at[i] != bound {
			all = append(all, row(map[int]float64{0: own.w[2*i], 1: own.w[2*i+1], own.at[i]: own.d[i]}))
		}
	}
	all = append(all, row(map[int]float64{0: 2, 1: 1}), row(map[int]float64{0: -1, 1: 1.5}))
	c := newOwnCovariance([]float64{2, 1, -1, 1.5}, m, []bool{false, false}, own)
	for step, further := range [][][]float64{
		{},
		{row(map[int]float64{0: 1, 3: 0.5, 5: -2})},                                     // not the first of them, nor neighbours
		{row(map[int]float64{1: 0.3, 2: 1, 3: 1}), row(map[int]float64{0: 1, 5: 0.25})}, // one of those before, one new
		{row(map[int]float64{6: 2, 4: 1, 2: -1})},                                       // all but the blank one
		{row(map[int]float64{0: 0.1, 1: 4})},
	} {
		c = Must(c.With(further...))
		all = append(all, further...)
		information := mat.NewSymDense(p, nil)
		for _, r := range all {
			information.SymRankOne(information, 1, mat.NewVecDense(p, r))
		}
		information.SetSym(bound, bound, 1)
		information.SetSym(blank, blank, 1)
		var inverse mat.Dense
		must.Do(t, inverse.Inverse(information))
		if c.Rank() != p-2 {
			t.Errorf("step %d: rank %d", step, c.Rank())
		}
		for j := range p {
			unit := row(map[int]float64{j: 1})
			if v, ok := c.Variance(unit); ok != (j != blank) || j == bound && v != 0 {
				t.Errorf("step %d: variance of %d: %v, determined %v", step, j, v, ok)
			}
			for k := range p {
				if j == bound || j == blank || k == bound || k == blank {
					continue
				}
				near.To(t, "covariance", c.Between(unit, row(map[int]float64{k: 1})), inverse.At(j, k), 1e-12)
			}
			if j < m || j == blank {
				continue
			}
			// A row of a problem has the common ones and one of its own.
			y, z, work := make([]float64, c.fixed), make([]float64, c.length()), make([]float64, c.m)
			part := c.projectRow([]float64{0.7, -0.4, 1.5}, j-m, y, work)
			c.project(row(map[int]float64{0: 0.7, 1: -0.4, j: 1.5}), z)
			near.To(t, "length of a row", math.Sqrt(dot(y, y)+part*part), math.Sqrt(dot(z, z)), 1e-12)
		}
	}
}
