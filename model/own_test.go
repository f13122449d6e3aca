package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// manySteps are readings of n parts, a twelfth of them coupled to the next by a reading
// of both, with a core, a hand and a part without a value.
func manySteps(n int) []step {
	steps := append(fullSession(), added().rod(0.5))
	for i := range n {
		c := 1 + 20*float64(i+1)/float64(n) + 1e-4
		steps = append(steps, added(c))
		if i%12 == 5 {
			steps = append(steps, added(c, 1+20*float64(i+2)/float64(n)+1e-4))
		}
	}
	return steps
}

// With many parts, most of which are eliminated, the solution is the minimum and each
// uncertainty that of the whole Jacobian, by gonum's QR factorisation of it.
func TestManyPartsAgainstQR(t *testing.T) {
	for _, scatter := range []float64{3e-4, 2e-3} {
		log := lighthouse().session(rand.New(rand.NewPCG(41, 1)), 3e-4, 0.01, manySteps(48)...)
		rng := rand.New(rand.NewPCG(42, 1))
		for i := range log.Readings {
			log.Readings[i].Frequency *= 1 + scatter*rng.NormFloat64()
		}
		s := Session{Log: log, Known: []Known{{Name: Inductance, Value: 1.25e-3, Uncertainty: 0.05e-3}}}
		r, err := Fit(s)
		if err != nil {
			t.Fatal(err)
		}
		p := r.problem
		if p.owned < 40 || p.owned > 50 {
			t.Fatalf("%d of 51 parts are eliminated", p.owned)
		}
		jac, residual := wholeJacobian(r)
		m, n := len(residual), p.n
		var qr mat.QR
		qr.Factorize(mat.NewDense(m, n, jac))
		var move mat.VecDense
		if err := qr.SolveVecTo(&move, false, mat.NewVecDense(m, residual)); err != nil {
			t.Fatal(err)
		}
		var tri, inverse mat.Dense
		qr.RTo(&tri)
		if err := inverse.Inverse(tri.Slice(0, n, 0, n)); err != nil {
			t.Fatal(err)
		}
		parameters, _ := quantities(p.forward)
		for k, q := range parameters {
			grad := make([]float64, n)
			q.value(p.forward, r.fit.X, grad)
			var y mat.VecDense
			y.MulVec(inverse.T(), mat.NewVecDense(n, grad))
			u := mat.Norm(&y, 2)
			if e := &r.Parameters[k]; e.Determined && e.Bound == 0 && math.Abs(e.Uncertainty/u-1) > 1e-6 {
				t.Errorf("%s %s: ± %v, want %v", e.Name, e.Part, e.Uncertainty, u)
			}
			if d := mat.Dot(mat.NewVecDense(n, grad), &move); math.Abs(d) > 2e-3*u { // what solverSettings allows
				t.Errorf("%s %s: %g of its uncertainty from the minimum", q.name, q.part, d/u)
			}
		}
	}
}

// wholeJacobian returns the rows of the fit at the solution, as wide as there are
// unknowns.
func wholeJacobian(r *Answer) (jac, residual []float64) {
	p := r.problem
	for k := range p.rows {
		res, row := make([]float64, 1), make([]float64, p.width())
		p.Data.Evaluate(r.fit.X, k, res, row)
		for _, v := range p.spreadOut(row, p.Data.Own, k) {
			jac = append(jac, v/r.fit.Scale)
		}
		residual = append(residual, res[0]/r.fit.Scale)
	}
	for i := range p.origins {
		res, row := make([]float64, 1), make([]float64, p.width())
		p.Prior.Evaluate(r.fit.X, i, res, row)
		jac, residual = append(jac, p.spreadOut(row, p.Prior.Own, i)...), append(residual, res[0])
	}
	return jac, residual
}

// Parts that no reading shares are all eliminated; of a chain, every second one.
func TestWhichPartsAreEliminated(t *testing.T) {
	var alone, chain []step
	for i := range 60 {
		c := 1 + float64(i)/7
		alone = append(alone, added(c))
		chain = append(chain, added(c, 1+float64(i+1)/7))
	}
	for name, c := range map[string]struct {
		steps []step
		want  int
	}{"alone": {alone, 60}, "chain": {chain, 30}, "few": {alone[:manyParts-1], 0}} {
		log := lighthouse().session(rand.New(rand.NewPCG(1, 1)), 3e-4, 0.01, c.steps...)
		u := newUnknowns(&log, &Line{}, false, nil, nil)
		if u.owned < c.want || u.owned > c.want+1 {
			t.Errorf("%s: %d parts are eliminated, want %d", name, u.owned, c.want)
		}
		for i := range log.Readings {
			n := 0
			for _, p := range log.Readings[i].Parts {
				if u.partAt[p] >= u.common() {
					n++
				}
			}
			if n > 1 {
				t.Errorf("%s: reading %d has %d eliminated parts", name, i, n)
			}
		}
	}
}

func benchmarkParts(b *testing.B, steps []step) {
	log := lighthouse().session(rand.New(rand.NewPCG(1, 1)), 3e-4, 0.01, steps...)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Fit(Session{Log: log}); err != nil {
			b.Fatal(err)
		}
	}
}

// aloneSteps are readings of n parts, each by itself, after a full session.
func aloneSteps(n int) []step {
	steps := fullSession()
	for i := range n {
		steps = append(steps, added(1+20*float64(i+1)/float64(n)+1e-4))
	}
	return steps
}

func BenchmarkFit256Parts(b *testing.B)        { benchmarkParts(b, aloneSteps(256)) }
func BenchmarkFit2000Parts(b *testing.B)       { benchmarkParts(b, aloneSteps(2000)) }
func BenchmarkFit256PartsCoupled(b *testing.B) { benchmarkParts(b, manySteps(256)) }

// A million readings of one state, a twentieth misread.
func BenchmarkRobustPoolMillion(b *testing.B) {
	list := misread(1_000_000)
	for b.Loop() {
		poolOf(true, list)
	}
}
