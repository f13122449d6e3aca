package fit

import "math"

// triangle is what an orthogonal factorisation keeps of any number of rows
// [J | r]: the p × p upper triangle R and the vector q = Qᵀr, so that
// ‖J s + r‖² = ‖R s + q‖² + constant. Both are held column after column, q as
// the last.
type triangle struct {
	p int
	a []float64
}

// column returns the rows 0 … j of column j (all of q for j = p).
func (t triangle) column(j int) []float64 {
	return t.a[j*t.p:][:min(j+1, t.p)]
}

func (t triangle) q() []float64 { return t.a[t.p*t.p:] }

// fold replaces t by the triangle of t stacked on the m rows of the block a,
// of which column j stands at a[j·ld:], the residual last. The block is used
// up. Each column is met by one Householder reflection that touches one row of
// the triangle and the whole block (Golub & Van Loan, Matrix Computations,
// 4th ed., §5.2 and §6.5).
func (t triangle) fold(a []float64, ld, m int) {
	p := t.p
	for k := 0; k < p; k++ {
		v := a[k*ld:][:m]
		s := dot(v, v)
		if s == 0 {
			continue
		}
		alpha := t.a[k*p+k]
		beta := math.Sqrt(alpha*alpha + s)
		if alpha > 0 {
			beta = -beta
		}
		// H = I + u uᵀ/(β u₀) with u = (α − β, v) maps (α, v) to (β, 0).
		u0 := alpha - beta
		t.a[k*p+k] = beta
		g := 1 / (beta * u0)
		for j := k + 1; j <= p; j++ {
			c := a[j*ld:][:m]
			f := g * (u0*t.a[j*p+k] + dot(v, c))
			t.a[j*p+k] += f * u0
			axpy(f, v, c)
		}
	}
}

// merge folds another triangle into t; work has room for its p·(p+1) numbers.
func (t triangle) merge(o triangle, work []float64) {
	copy(work, o.a)
	t.fold(work, t.p, t.p)
}

func (t triangle) clear() { clear(t.a) }

// finite reports whether all elements are.
func (t triangle) finite() bool {
	s := 0.0
	for _, v := range t.a {
		s += v * 0
	}
	return s == 0
}

func dot(x, y []float64) float64 {
	y = y[:len(x)]
	var a, b, c, d float64
	i := 0
	for ; i+4 <= len(x); i += 4 {
		a += x[i] * y[i]
		b += x[i+1] * y[i+1]
		c += x[i+2] * y[i+2]
		d += x[i+3] * y[i+3]
	}
	for ; i < len(x); i++ {
		a += x[i] * y[i]
	}
	return (a + c) + (b + d)
}

func axpy(f float64, x, y []float64) {
	y = y[:len(x)]
	for i, v := range x {
		y[i] += f * v
	}
}

func norm(x []float64) float64 { return math.Sqrt(dot(x, x)) }
