package fit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
)

// ownProblem is invented: readings a·exp(−b·t)·exp(0.05·z_k) of n specimens k, a few
// each, whose z_k are known to be 0 ± 1, with u = 1 %; some readings have no specimen.
func ownProblem(rng *rand.Rand, n, each int) (Problem, []float64) {
	const u = 0.01
	var own []int
	var t, y []float64
	read := func(k int, z float64) {
		at := 2 * rng.Float64()
		own, t = append(own, k), append(t, at)
		y = append(y, math.Log(3)-0.7*at+0.05*z+u*rng.NormFloat64())
	}
	for range 3 {
		read(-1, 0)
	}
	for k := range n {
		for z := rng.NormFloat64(); len(own) < 3+(k+1)*each; {
			read(k, z)
		}
	}
	rng.Shuffle(len(own), func(i, j int) {
		own[i], own[j], t[i], t[j], y[i], y[j] = own[j], own[i], t[j], t[i], y[j], y[i]
	})
	p := Problem{Params: 2 + n, Own: n}
	p.Data = Rows{N: len(own), Own: own, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			k := first + i
			z := 0.0
			if own[k] >= 0 {
				z = x[2+own[k]]
			}
			f := x[0] * math.Exp(-x[1]*t[k]+0.05*z)
			w := 1 / u / math.Exp(y[k])
			r[i] = w * (math.Exp(y[k]) - f)
			if jac != nil {
				row := jac[3*i:][:3]
				row[0], row[1], row[2] = -w*f/x[0], w*t[k]*f, 0
				if own[k] >= 0 {
					row[2] = -w * 0.05 * f
				}
			}
		}
	}}
	priors := make([]Gaussian, n)
	start := []float64{1, 1}
	for k := range priors {
		priors[k] = Gaussian{2 + k, 0, 1}
		start = append(start, 0)
	}
	p.Prior = OwnGaussians(p.Params, n, priors)
	return p, start
}

// relatively fails unless got is want to a share of tolerance.
func relatively(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*(1e-3+math.Abs(want))) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// Whether own parameters are eliminated or carried among the others, a fit finds the
// same: values, sums, covariance, leverages, shares, what a row more or less would do.
func TestEliminationChangesNothing(t *testing.T) {
	for n := 1; n <= 9; n += 4 {
		for name, s := range map[string]Settings{"squares": {}, "Huber": {Loss: Huber(1.345)}, "biweight": {Loss: Redescending(1.345, 4.685)}, "blocks": {BlockRows: 4}} {
			t.Run(fmt.Sprint(n, " ", name), func(t *testing.T) {
				p, start := ownProblem(rand.New(rand.NewPCG(5, 1)), n, 3)
				compareWhole(t, p, start, s)
			})
		}
	}
}

// So it does where an own parameter is kept at its bound, or stands in no row.
func TestEliminationAtBoundsAndOpen(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	p, start := ownProblem(rng, 4, 3)
	p.Lower, p.Upper = make([]float64, p.Params), make([]float64, p.Params)
	for j := range p.Lower {
		p.Lower[j], p.Upper[j] = -0.2, 10
	}
	compareWhole(t, p, start, Settings{})
	p.Lower, p.Upper = []float64{-1, -1, -1, -1, -1, -0.1}, []float64{10, 10, 10, 10, 0.5, 10} // each has its own
	compareWhole(t, p, start, Settings{})
	q, start := ownProblem(rng, 3, 3)
	for i, k := range q.Data.Own {
		q.Data.Own[i] = min(k, 1) // parts 1 and 2 are one
	}
	q.Prior = OwnGaussians(q.Params, q.Own, []Gaussian{{2, 0, 1}, {3, 0, 1}})
	compareWhole(t, q, start, Settings{})
}

// So it does where a common parameter stands in no row: it stays open until a further row has it.
func TestEliminationBesideABlank(t *testing.T) {
	for _, at := range []int{0, 1, 2} {
		p, start := ownProblem(rand.New(rand.NewPCG(11, 1)), 4, 3)
		without := func(x []float64) []float64 { return slices.Delete(slices.Clone(x), at, at+1) }
		wider := func(e Rows) Rows {
			of := e.Evaluate
			e.width = 4
			e.Evaluate = func(x []float64, first int, r, jac []float64) {
				if jac == nil {
					of(without(x), first, r, nil)
					return
				}
				narrow := make([]float64, 3*len(r))
				of(without(x), first, r, narrow)
				for i := range r {
					copy(jac[4*i:], slices.Insert(slices.Clone(narrow[3*i:3*i+3]), at, 0))
				}
			}
			return e
		}
		p.Params, p.Data, p.Prior = p.Params+1, wider(p.Data), wider(p.Prior)
		compareWhole(t, p, slices.Insert(start, at, 1), Settings{})
	}
}

func compareWhole(t *testing.T, p Problem, start []float64, s Settings) {
	t.Helper()
	got, sc, err := SolveScaled(p, start, s)
	want, scw, errw := SolveScaled(p.whole(), start, s)
	if err != nil || errw != nil || !got.Status.Converged() || !want.Status.Converged() {
		t.Fatal(err, errw, got.Status, want.Status)
	}
	for j := range want.X {
		relatively(t, fmt.Sprint("x", j), got.X[j], want.X[j], 2e-7)
		if got.AtBound[j] != want.AtBound[j] {
			t.Errorf("x%d is %v, want %v", j, got.AtBound[j], want.AtBound[j])
		}
	}
	relatively(t, "χ²", sc.ChiSquare, scw.ChiSquare, 1e-7)
	relatively(t, "scale", sc.Scale, scw.Scale, 1e-6)
	relatively(t, "redundancy", sc.Redundancy, scw.Redundancy, 1e-6)
	relatively(t, "AICc", Must(AICc(p, got)), Must(AICc(p.whole(), want)), 1e-6)
	c, cw := got.Covariance(), want.Covariance()
	if c.Rank() != cw.Rank() || got.DegreesOfFreedom() != want.DegreesOfFreedom() {
		t.Errorf("rank %d, want %d", c.Rank(), cw.Rank())
	}
	stated, statedw := Must(got.Restated(p)), Must(want.Restated(p.whole()))
	rng := rand.New(rand.NewPCG(7, 1))
	random := func() []float64 {
		g := make([]float64, p.Params)
		for j := range g {
			g[j] = rng.NormFloat64()
		}
		return g
	}
	var further [][]float64
	for range 3 {
		g, h := random(), random()
		v, ok := c.Variance(g)
		vw, okw := cw.Variance(g)
		if ok != okw {
			t.Errorf("determined %v, want %v", ok, okw)
		}
		if ok {
			relatively(t, "variance", v, vw, 1e-6)
			relatively(t, "covariance", c.Between(g, h), cw.Between(g, h), 1e-6)
			relatively(t, "from priors", squares(Must(c.Along(p.Prior, got.X, g))), squares(Must(cw.Along(p.whole().Prior, want.X, g))), 1e-6)
		}
		v, ok = stated.Variance(g)
		vw, okw = statedw.Variance(g)
		if ok != okw || ok && !(math.Abs(v/vw-1) <= 1e-6) {
			t.Errorf("restated variance %g (%v), want %g (%v)", v, ok, vw, okw)
		}
		further = append(further, h)
		v, ok = Must(c.With(further...)).Variance(g)
		vw, okw = Must(cw.With(further...)).Variance(g)
		if ok != okw || ok && !(math.Abs(v/vw-1) <= 1e-6) {
			t.Errorf("with %d rows more: variance %g (%v), want %g (%v)", len(further), v, ok, vw, okw)
		}
		one := [][]float64{random(), make([]float64, p.Params)}
		one[1][p.Params-1] = 2
		a, b := Must(c.RankRows(g, one)), Must(cw.RankRows(g, one))
		for i := range a {
			if a[i].Candidate != b[i].Candidate || a[i].Determined != b[i].Determined || !(math.Abs(a[i].Variance/b[i].Variance-1) <= 1e-6) {
				t.Errorf("candidate %+v, want %+v", a[i], b[i])
			}
		}
		sameShares(t, p, got, Must(c.With(further...)), g)
	}
	d, dw := Must(Diagnose(p, got)), Must(Diagnose(p.whole(), want))
	for i := range dw {
		relatively(t, "leverage", d[i].Leverage, dw[i].Leverage, 1e-6)
		relatively(t, "studentised residual", d[i].Studentised, dw[i].Studentised, 1e-5)
		relatively(t, "Cook's distance", d[i].Cooks, dw[i].Cooks, 1e-5)
	}
}

func squares(list []float64) (sum float64) {
	for _, v := range list {
		sum += v * v
	}
	return sum
}

// Shares are the sums of Between over the rows of each group.
func sameShares(t *testing.T, p Problem, r Result, c Covariance, g []float64) {
	t.Helper()
	want, got := make([]float64, 2), make([]float64, 2)
	whole := p.whole()
	rows(whole.Prior, r.X, p.Params, func(i int, _ float64, jac []float64) bool {
		b := c.Between(jac, g)
		want[i%2] += b * b
		return true
	})
	Must(c.NewShares(p.Prior, r.X, 2, func(i int) int { return i % 2 })).Of(g, got)
	for i := range got {
		relatively(t, "share", got[i], want[i], 1e-9)
	}
}

// The covariance of the eliminated fit against the inverse by gonum's QR of the whole
// Jacobian at its solution, and the solution against gonum's step from there: none.
func TestEliminationAgainstQR(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 1))
	p, start := ownProblem(rng, 40, 3)
	r, err := Solve(p, start, Settings{})
	if err != nil || !r.Status.Converged() {
		t.Fatal(err, r.Status)
	}
	w, n := p.whole(), p.Params
	m := w.Data.N + w.Prior.N
	res, jac := make([]float64, m), make([]float64, m*n)
	w.Data.Evaluate(r.X, 0, res[:w.Data.N], jac[:w.Data.N*n])
	w.Prior.Evaluate(r.X, 0, res[w.Data.N:], jac[w.Data.N*n:])
	var qr mat.QR
	qr.Factorize(mat.NewDense(m, n, jac))
	var step mat.VecDense
	must.Do(t, qr.SolveVecTo(&step, false, mat.NewVecDense(m, res)))
	var inverse mat.Dense
	var tri mat.Dense
	qr.RTo(&tri)
	must.Do(t, inverse.Inverse(tri.Slice(0, n, 0, n)))
	var cov mat.Dense
	cov.Mul(&inverse, inverse.T())
	c := r.Covariance()
	for j := range n {
		u := math.Sqrt(cov.At(j, j))
		if !(math.Abs(step.AtVec(j)) <= 1e-7*u) {
			t.Errorf("x%d is %g of its uncertainty off", j, step.AtVec(j)/u)
		}
		g := make([]float64, n)
		g[j] = 1
		for k := range n {
			h := make([]float64, n)
			h[k] = 1
			if got, want := c.Between(g, h), cov.At(j, k); !(math.Abs(got-want) <= 1e-10*u*math.Sqrt(cov.At(k, k))) {
				t.Errorf("covariance %d, %d is %g, want %g", j, k, got, want)
			}
		}
	}
}

// The work grows with the number of own parameters, not faster: the steps and the
// evaluations stay as they are, and memory is that of rows a few numbers wide.
func TestEliminationScales(t *testing.T) {
	cost := func(n int) (evaluations, bytes float64) {
		rng := rand.New(rand.NewPCG(9, 1))
		p, start := ownProblem(rng, n, 2)
		r, err := Solve(p, start, Settings{})
		if err != nil || !r.Status.Converged() {
			t.Fatal(err, r.Status)
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		Solve(p, start, Settings{})
		runtime.ReadMemStats(&after)
		return float64(r.Evaluations), float64(after.TotalAlloc - before.TotalAlloc)
	}
	e, b := cost(100)
	e2, b2 := cost(1600)
	if e2 > 2*e || b2 > 20*b {
		t.Errorf("16 times the parameters: %g evaluations and %g bytes, after %g and %g", e2, b2, e, b)
	}
}

func BenchmarkSolveOwn2000(b *testing.B) {
	p, start := ownProblem(rand.New(rand.NewPCG(9, 1)), 2000, 2)
	b.ReportAllocs()
	for b.Loop() {
		Solve(p, start, Settings{})
	}
}

// A common parameter that stands only beside an own one, without a prior, isn't told from
// it: what is left of its column once that one is eliminated is rounding.
func TestEliminationLeavesConfoundedOpen(t *testing.T) {
	rows := [][]float64{ // derivatives by two common parameters and the own one
		{1, 0, 0}, {0.3, 0.7, 1.1}, {1.7, 0.7 * 1.9, 1.1 * 1.9}, {-0.2, 0.7 * 0.37, 1.1 * 0.37},
	}
	p := Problem{Params: 3, Own: 1, Data: Rows{N: 4, Own: []int{-1, 0, 0, 0}, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			row := rows[first+i]
			r[i] = row[0]*x[0] + row[1]*x[1] - float64(first+i)*0.1
			if first+i > 0 {
				r[i] += row[2] * x[2]
			}
			if jac != nil {
				copy(jac[3*i:], row)
			}
		}
	}}}
	r, _ := Solve(p, []float64{0, 0, 0}, Settings{})
	if c := r.Covariance(); c.Rank() != 2 {
		t.Errorf("rank %d, want 2", c.Rank())
	}
	want, _ := Solve(p.whole(), []float64{0, 0, 0}, Settings{})
	for _, g := range [][]float64{{1, 0, 0}, {0, 0.7, 1.1}, {0, 1, 0}, {0, 0, 1}} {
		v, ok := r.Covariance().Variance(g)
		vw, okw := want.Covariance().Variance(g)
		if ok != okw || ok && !(math.Abs(v/vw-1) <= 1e-9) || ok && !(math.Abs(dot(g, r.X)-dot(g, want.X)) <= 1e-9) {
			t.Errorf("%v: variance %g (%v), want %g (%v)", g, v, ok, vw, okw)
		}
	}
}

// Steps of own parameters that overshoot are shortened: arctan x = 0 sends Gauss–Newton
// steps from beyond 1.39 ever farther out.
func TestEliminationShortensOwnSteps(t *testing.T) {
	p := Problem{Params: 2, Own: 1, Data: Rows{N: 2, Own: []int{-1, 0}, Evaluate: func(x []float64, first int, r, jac []float64) {
		for i := range r {
			if first+i == 0 {
				r[i] = x[0] - 2
			} else {
				r[i] = math.Atan(x[1]) + 0*x[0]
			}
			if jac != nil {
				copy(jac[2*i:], [][]float64{{1, 0}, {0, 1 / (1 + x[1]*x[1])}}[first+i])
			}
		}
	}}}
	r, err := Solve(p, []float64{0, 3}, Settings{})
	if err != nil || !r.Status.Converged() || !(math.Abs(r.X[1]) <= 1e-8) || !(math.Abs(r.X[0]-2) <= 1e-8) {
		t.Errorf("%v at %v", r.Status, r.X)
	}
}

// A start whose squares underflow is as good as any: all residuals a tiny part of what they were have the least
// squares that they had, found with own parameters from where these stand.
func TestEliminationOfTinyRows(t *testing.T) {
	p, start := ownProblem(rand.New(rand.NewPCG(10, 1)), 3, 3)
	start[0], start[1] = 1.5, 0.7
	want, err := Solve(p, start, Settings{})
	if err != nil || !want.Status.Converged() {
		t.Fatal(err, want.Status)
	}
	for _, factor := range []float64{1e-100, 1e-170, 1e-200} {
		times := func(of func(x []float64, first int, r, jac []float64)) func(x []float64, first int, r, jac []float64) {
			return func(x []float64, first int, r, jac []float64) {
				of(x, first, r, jac)
				for _, list := range [][]float64{r, jac} {
					for i := range list {
						list[i] *= factor
					}
				}
			}
		}
		q := p
		q.Data.Evaluate, q.Prior.Evaluate = times(p.Data.Evaluate), times(p.Prior.Evaluate)
		got, err := Solve(q, start, Settings{})
		if err != nil || !got.Status.Converged() {
			t.Fatal(factor, err, got.Status)
		}
		for j := range want.X {
			relatively(t, fmt.Sprint(factor, " x", j), got.X[j], want.X[j], 1e-7)
		}
		if factor < 1e-150 { // variances overflow
			continue
		}
		c, cw := got.Covariance(), want.Covariance()
		for j := range p.Params {
			for k := range p.Params {
				g, h := make([]float64, p.Params), make([]float64, p.Params)
				g[j], h[k] = 1, 1
				relatively(t, fmt.Sprint("covariance of ", j, " and ", k), c.Between(g, h)*factor*factor, cw.Between(g, h), 1e-6)
			}
		}
	}
}

// The size of the rows is that at the start: where the common parameter would be solved at the value of the own one,
// or the other way round, there is still something to fit.
func TestSizeOfRowsIsThatOfTheStart(t *testing.T) {
	for _, c := range []struct{ start, want []float64 }{{[]float64{1, 2}, []float64{2, 2}}, {[]float64{5, 3}, []float64{5, 5}}, {[]float64{1, 4}, []float64{2, 3}}} {
		p := Problem{Params: 2, Own: 1, Data: Rows{N: 2, Own: []int{-1, 0}, Evaluate: func(x []float64, first int, r, jac []float64) {
			const tiny = 1e-200
			for i := range r {
				k := first + i
				r[i] = tiny * (x[k]*x[k] - c.want[k]*c.want[k])
				if jac != nil {
					jac[2*i], jac[2*i+1] = 0, 0
					jac[2*i+k] = tiny * 2 * x[k]
				}
			}
		}}}
		r, err := Solve(p, c.start, Settings{})
		if err != nil || !r.Status.Converged() {
			t.Fatal(err, r.Status)
		}
		for j := range c.want {
			relatively(t, fmt.Sprint("x", j), r.X[j], c.want[j], 1e-6)
		}
	}
}
