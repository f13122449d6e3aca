package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// columnsOf are some columns of random numbers, two of them nearly alike.
func columnsOf(rng *rand.Rand, rows, n int) [][]float64 {
	cols := make([][]float64, n)
	for j := range cols {
		cols[j] = make([]float64, rows)
		for i := range cols[j] {
			cols[j][i] = rng.NormFloat64()
			if j == 2 {
				cols[j][i] = cols[0][i] + 1e-6*cols[j][i]
			}
		}
	}
	return cols
}

func clones(cols [][]float64) (out [][]float64) {
	for _, c := range cols {
		out = append(out, slices.Clone(c))
	}
	return out
}

// The columns are Q·T, Q has orthonormal ones, what is left of y is at right angles to all; the
// coefficients are those of the normal equations, their covariance T⁻¹WT⁻ᵀ, both by gonum. A
// column that the others hold makes none.
func TestOrthonormalAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 1))
	cols := columnsOf(rng, 30, 4)
	o := orthonormalise(clones(cols))
	for i := range 4 {
		for j := range 4 {
			want := 0.0
			if i == j {
				want = 1
			}
			near.To(t, "QᵀQ", dotOf(o.q[i], o.q[j]), want, 1e-13)
		}
		for k := range 30 {
			sum := 0.0
			for j := 0; j <= i; j++ {
				sum += o.q[j][k] * o.t[j][i]
			}
			near.To(t, "QT", sum, cols[i][k], 1e-13)
		}
	}
	y := columnsOf(rng, 30, 1)[0]
	rest, along := o.without(y, nil)
	c := o.solve(along)
	a := mat.NewDense(30, 4, nil)
	for j, col := range cols {
		a.SetCol(j, col)
	}
	var want mat.Dense
	must.Do(t, want.Solve(a, mat.NewDense(30, 1, slices.Clone(y))))
	for j, col := range cols {
		near.To(t, "coefficient", c[j], want.At(j, 0), 1e-4*math.Abs(want.At(j, 0)))
		near.To(t, "rest at right angles", dotOf(rest, col), 0, 1e-12)
	}
	w := [][]float64{{4, 1, 0.5, 0}, {1, 3, 0, 0.2}, {0.5, 0, 2, 0.1}, {0, 0.2, 0.1, 1}}
	upper, middle := mat.NewDense(4, 4, nil), mat.NewDense(4, 4, nil)
	for i := range 4 {
		upper.SetRow(i, o.t[i])
		middle.SetRow(i, w[i])
	}
	var inverse, product, cov mat.Dense
	if err := inverse.Inverse(upper); err != nil && inverse.IsEmpty() {
		t.Fatal(err)
	}
	product.Mul(&inverse, middle)
	cov.Mul(&product, inverse.T())
	for i, row := range o.propagate(w) {
		for j, v := range row {
			near.To(t, "covariance", v, cov.At(i, j), 1e-3*math.Sqrt(cov.At(i, i)*cov.At(j, j)))
		}
	}
	copy(cols[3], cols[1])
	if orthonormalise(cols) != nil {
		t.Error("two equal columns are independent")
	}
	if orthonormalise([][]float64{{0, 0}}) != nil || orthonormalise([][]float64{{math.Inf(1), 0}}) != nil {
		t.Error("a column of nothing, or of infinity, is one")
	}
}

func dotOf(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// A bilinear form, written out.
func TestQuadraticAndGram(t *testing.T) {
	r := &ring{cov: [][]float64{{9, 9, 9}, {9, 2, 1}, {9, 1, 3}}}
	g4, h := gradient{1, []float64{4, -5}}, gradient{2, []float64{7}}
	near.To(t, "gᵀCh", r.covariance(g4, h), 7*(4*1-5*3), 1e-12)
	near.To(t, "√gᵀCg", r.u(g4), math.Sqrt(2*16-2*20+3*25), 1e-12)
	near.To(t, "by rounding below zero", (&ring{cov: [][]float64{{-2}}}).u(gradient{0, []float64{1}}), 0, 0)
	g := gram([][]float64{{1, 2}, {3, 4}}, [][]float64{{5, 6}, {7, 8}})
	near.To(t, "AᵀB", g[0][0], 17, 1e-12)
	near.To(t, "AᵀB", g[1][1], 53, 1e-12)
	near.To(t, "AᵀB", g[0][1], (23+39)/2, 1e-12)
	near.To(t, "AᵀB", g[1][0], (23+39)/2, 1e-12)
}

// The variance and slopes of chunks are those of their samples; the loudest and the steepest
// chunks come first, the last that halves don't reach among them.
func TestProfile(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 2))
	const n = 10*shortestChunk + 57
	y := make([]float64, n)
	for i := range y {
		y[i] = 5 + 0.1*rng.NormFloat64()
	}
	for i := range shortestChunk { // slow and loud; quick and not so loud; both at the end
		y[3*shortestChunk+i] += 3 * math.Sin(math.Pi*float64(i)/shortestChunk)
		y[6*shortestChunk+i] += 0.8 * float64(1-2*(i%2))
		y[n-shortestChunk+i] += 2 * math.Sin(20*math.Pi*float64(i)/shortestChunk)
	}
	p := profileOf(y)
	for _, i := range []int{0, 3, 7} {
		const rows = 3 * profileBlock
		from := i * profileBlock
		mean, square, slope := 0.0, 0.0, 0.0
		for k := from; k < from+rows; k++ {
			mean += y[k] / rows
			if k > 0 {
				slope += math.Pow(y[k]-y[k-1], 2)
			}
		}
		for k := from; k < from+rows; k++ {
			square += math.Pow(y[k]-mean, 2) / rows
		}
		v, d := p.chunk(i, rows)
		near.To(t, "variance", v, square, 1e-12)
		near.To(t, "slopes", d, slope, 1e-10)
	}
	if got, want := p.loudest(shortestChunk), []int{n - shortestChunk, 3*shortestChunk - profileBlock, 6 * shortestChunk}; !slices.Contains(got, want[0]) || !slices.Contains(got, want[2]) || len(got) < 3 || len(got) > 4 {
		t.Errorf("loudest at %v, want %v", got, want)
	}
	if got := p.loudest(n); !slices.Equal(got, []int{0}) {
		t.Errorf("of the whole: %v", got)
	}
	near.To(t, "variance", variance(y[:9]), func() float64 {
		m, q := 0.0, 0.0
		for _, v := range y[:9] {
			m += v / 9
		}
		for _, v := range y[:9] {
			q += (v - m) * (v - m) / 9
		}
		return q
	}(), 1e-12)
}

// The two greatest stay, of equals the first.
func TestTop(t *testing.T) {
	var top top
	for i, v := range []float64{1, 5, 3, 5, 4, 6} {
		top.add(10*i, v)
	}
	if top.n != 2 || top.from[0] != 50 || top.from[1] != 10 || top.value[0] != 6 || top.value[1] != 5 {
		t.Errorf("%+v", top)
	}
}

// Brief is what is three times as loud as the blocks' median, in one of more than three.
func TestBrief(t *testing.T) {
	of := func(loud float64, blocks int) bool {
		y := make([]float64, blocks*profileBlock)
		for i := range y {
			y[i] = float64(1 - 2*(i%2))
			if i < profileBlock {
				y[i] *= math.Sqrt(loud)
			}
		}
		return profileOf(y).brief()
	}
	if of(2.9, 5) || !of(3.1, 5) || !of(3.1, 4) || of(3.1, 3) {
		t.Error(of(2.9, 5), of(3.1, 5), of(3.1, 4), of(3.1, 3))
	}
}
