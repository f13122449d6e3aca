package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
)

// Degrees of freedom that are left to the data, by the whole hat matrix with gonum.
func TestRedundancyAgainstHatMatrix(t *testing.T) {
	const n, m = 4, 9
	rng := rand.New(rand.NewPCG(8, 1))
	for round := range 20 {
		jac := make([]float64, n*m)
		for i := range jac {
			jac[i] = rng.NormFloat64() * math.Exp(3*float64(i%n))
		}
		if round%5 == 4 { // open along one direction: the first column is twice the third
			for i := range m {
				jac[i*n] = 2 * jac[i*n+2]
			}
		}
		p := Problem{Params: n, Data: Rows{N: m, Evaluate: func(x []float64, first int, r, out []float64) {
			for i := range r {
				r[i] = dot(jac[(first+i)*n:][:n], x) - 1
			}
			copy(out, jac[first*n:])
		}}}
		p.Prior = Gaussians(n, []Gaussian{{Param: 1, Sigma: math.Exp(rng.NormFloat64())}, {Param: 3, Sigma: 0.1}})
		r := must.Get(Solve(p, make([]float64, n), Settings{})).In(t)
		whole := mat.NewDense(m+2, n, nil)
		whole.Slice(0, m, 0, n).(*mat.Dense).Copy(mat.NewDense(m, n, jac))
		row := make([]float64, 1)
		p.Prior.Evaluate(r.X, 0, row, whole.RawRowView(m))
		p.Prior.Evaluate(r.X, 1, row, whole.RawRowView(m+1))
		for j := range n { // in columns of length one, a rank that gonum sees
			length := mat.Norm(whole.ColView(j), 2)
			for i := range m + 2 {
				whole.Set(i, j, whole.At(i, j)/length)
			}
		}
		var svd mat.SVD
		svd.Factorize(whole, mat.SVDThin)
		var u mat.Dense
		svd.UTo(&u)
		want := float64(m)
		for i := range m {
			for k := range svd.Rank(1e-10) {
				want -= u.At(i, k) * u.At(i, k)
			}
		}
		if quick := r.hat().inverse != nil; quick != (round%5 != 4) {
			t.Fatalf("round %d: by the inverse %v", round, quick)
		}
		got := r.redundancy(p)
		if !(math.Abs(got-want) <= 1e-9) {
			t.Errorf("round %d: %v degrees of freedom, want %v", round, got, want)
		}
		if got, want := r.DegreesOfFreedom(), m+2-svd.Rank(1e-10); got != want {
			t.Errorf("round %d: %d degrees of freedom of all rows, want %d", round, got, want)
		}
		for i, d := range Must(Diagnose(p, r)) {
			want := 0.0
			for k := range svd.Rank(1e-10) {
				want += u.At(i, k) * u.At(i, k)
			}
			if !(math.Abs(d.Leverage-want) <= 1e-9) {
				t.Errorf("round %d: leverage %v of row %d, want %v", round, d.Leverage, i, want)
			}
		}
	}
}
