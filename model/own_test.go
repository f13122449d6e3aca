package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/forward"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// manySteps are readings of n parts, a twelfth of them coupled to the next by a reading
// of both, with a core, a hand and a part without a value.
func manySteps(n int) []simulated.Step {
	steps := append(simulated.FullSession(), simulated.Added().Rod(0.5))
	for i := range n {
		c := 1 + 20*float64(i+1)/float64(n) + 1e-4
		steps = append(steps, simulated.Added(c))
		if i%12 == 5 {
			steps = append(steps, simulated.Added(c, 1+20*float64(i+2)/float64(n)+1e-4))
		}
	}
	return steps
}

// With many parts, most of which are eliminated, the solution is the minimum and each
// uncertainty that of the whole Jacobian, by gonum's QR factorisation of it.
func TestManyPartsAgainstQR(t *testing.T) {
	for _, scatter := range []float64{3e-4, 2e-3} {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(41, 1)), 3e-4, 0.01, manySteps(48)...)
		rng := rand.New(rand.NewPCG(42, 1))
		for i := range log.Readings {
			log.Readings[i].Frequency *= 1 + scatter*rng.NormFloat64()
		}
		s := estimation.Session{Log: log, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.05e-3}}}
		r := must.Get(Fit(s)).In(t)
		p := r.Problem
		if p.Owned < 40 || p.Owned > 50 {
			t.Fatalf("%d of 51 parts are eliminated", p.Owned)
		}
		jac, residual := wholeJacobian(r)
		m, n := len(residual), p.N
		var qr mat.QR
		qr.Factorize(mat.NewDense(m, n, jac))
		var move mat.VecDense
		must.Do(t, qr.SolveVecTo(&move, false, mat.NewVecDense(m, residual)))
		var tri, inverse mat.Dense
		qr.RTo(&tri)
		must.Do(t, inverse.Inverse(tri.Slice(0, n, 0, n)))
		parameters, _ := forward.Quantities(p.Model)
		for k, q := range parameters {
			grad := make([]float64, n)
			q.Value(p.Model, r.Solution.X, grad)
			var y mat.VecDense
			y.MulVec(inverse.T(), mat.NewVecDense(n, grad))
			u := mat.Norm(&y, 2)
			if e := &r.Parameters[k]; e.Determined && e.Bound == 0 && math.Abs(e.Uncertainty/u-1) > 1e-6 {
				t.Errorf("%s %s: ± %v, want %v", e.Name, e.Part, e.Uncertainty, u)
			}
			if d := mat.Dot(mat.NewVecDense(n, grad), &move); !(math.Abs(d) <= 2e-3*u) { // what solverSettings allows
				t.Errorf("%s %s: %g of its uncertainty from the minimum", q.Name, q.Part, d/u)
			}
		}
	}
}

// wholeJacobian returns the rows of the fit at the solution, as wide as there are
// unknowns.
func wholeJacobian(r *Result) (jac, residual []float64) {
	p := r.Problem
	for k := range p.Rows {
		res, row := make([]float64, 1), make([]float64, p.Width())
		p.Data.Evaluate(r.Solution.X, k, res, row)
		for _, v := range p.SpreadOut(row, p.Data.Own, k) {
			jac = append(jac, v/r.Solution.Scale)
		}
		residual = append(residual, res[0]/r.Solution.Scale)
	}
	for i := range p.Origins {
		res, row := make([]float64, 1), make([]float64, p.Width())
		p.Prior.Evaluate(r.Solution.X, i, res, row)
		jac, residual = append(jac, p.SpreadOut(row, p.Prior.Own, i)...), append(residual, res[0])
	}
	return jac, residual
}

func benchmarkParts(b *testing.B, steps []simulated.Step) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(1, 1)), 3e-4, 0.01, steps...)
	b.ReportAllocs()
	for b.Loop() {
		must.Get(Fit(estimation.Session{Log: log})).In(b)
	}
}

// aloneSteps are readings of n parts, each by itself, after a full session.
func aloneSteps(n int) []simulated.Step {
	steps := simulated.FullSession()
	for i := range n {
		steps = append(steps, simulated.Added(1+20*float64(i+1)/float64(n)+1e-4))
	}
	return steps
}

func BenchmarkFit256Parts(b *testing.B) { benchmarkParts(b, aloneSteps(256)) }

func BenchmarkFit2000Parts(b *testing.B) { benchmarkParts(b, aloneSteps(2000)) }

func BenchmarkFit256PartsCoupled(b *testing.B) { benchmarkParts(b, manySteps(256)) }
