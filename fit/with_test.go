package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
)

// Rows added one after the other, without a new decomposition, give the covariance that
// gonum's inverse of the whole information gives, however much each weighs.
func TestWithAgainstInverse(t *testing.T) {
	const p = 6
	rng := rand.New(rand.NewPCG(5, 1))
	row := func(size float64) []float64 {
		r := make([]float64, p)
		for j := range r {
			r[j] = size * rng.NormFloat64()
		}
		return r
	}
	information := mat.NewSymDense(p, nil)
	count := func(r []float64) []float64 {
		information.SymRankOne(information, 1, mat.NewVecDense(p, r))
		return r
	}
	var rows []float64
	for range 2 * p {
		rows = append(rows, count(row(1))...)
	}
	c := newOwnCovariance(rows, p, nil, nil)
	for _, size := range []float64{0.1, 1, 10, 1e3, 1} {
		c = Must(c.With(count(row(size)), count(row(size))))
		var inverse mat.Dense
		must.Do(t, inverse.Inverse(information))
		g, h := row(1), row(1)
		want := mat.Inner(mat.NewVecDense(p, g), &inverse, mat.NewVecDense(p, h))
		scale := math.Sqrt(mat.Inner(mat.NewVecDense(p, g), &inverse, mat.NewVecDense(p, g)) * mat.Inner(mat.NewVecDense(p, h), &inverse, mat.NewVecDense(p, h)))
		if got := c.Between(g, h); !(math.Abs(got-want) <= 1e-9*scale) {
			t.Errorf("size %v: covariance %v, want %v", size, got, want)
		}
		if len(c.added) == 0 {
			t.Error("decomposed again")
		}
	}
	// A row that fixes what was open needs a new decomposition.
	open := Must(newOwnCovariance([]float64{1, 1, 0, 2, 2, 0}, 3, nil, nil).With([]float64{1, 1, 0}))
	if len(open.added) != 1 || open.Rank() != 1 {
		t.Errorf("rank %d with %d rows added, want 1 and 1", open.Rank(), len(open.added))
	}
	if closed := Must(open.With([]float64{1, 0, 0}, []float64{0, 0, 4})); closed.Rank() != 3 || len(closed.added) != 0 {
		t.Errorf("rank %d with %d rows added, want 3 and none", closed.Rank(), len(closed.added))
	} else if v, ok := closed.Variance([]float64{0, 1, 0}); !ok || !(math.Abs(v-(1+1.0/6)) <= 1e-12) {
		t.Errorf("variance %v, want 7/6", v)
	}
}
