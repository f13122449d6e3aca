package fit

import "math"

// triangle is what an orthogonal factorisation keeps of any number of rows
// [J | r]: the p × p upper triangle R and the vector q = Qᵀr, so that
// ‖J s + r‖² = ‖R s + q‖² + constant. Both are stored column after column, q as
// the last.
type triangle struct {
	p   int
	a   []float64
	own *ownBlock // what stands above it; nil without own parameters
}

// column returns the rows 0 … j of column j (all of q for j = p).
func (t triangle) column(j int) []float64 {
	return t.a[j*t.p:][:min(j+1, t.p)]
}

func (t triangle) q() []float64 { return t.a[t.p*t.p:] }

// vanishing is the square of a column norm that is taken for zero: columns are
// scaled to about one at the start, and 1/vanishing must be finite.
const vanishing = 1e-305

// fold replaces t by the triangle of t stacked on the m rows of the block a,
// of which column j stands at a[j·ld:], the residual last. The block is used
// up. Each column is met by one Householder reflection that touches one row of
// the triangle and the whole block (Golub & Van Loan, Matrix Computations,
// 4th ed., §5.2 and §6.5).
func (t triangle) fold(a []float64, ld, m int) {
	p := t.p
	for k := range p {
		v := a[k*ld:][:m]
		s := dot(v, v)
		alpha := t.a[k*p+k]
		if s == 0 || alpha*alpha+s < vanishing {
			continue
		}
		beta := math.Sqrt(alpha*alpha + s)
		if alpha > 0 {
			beta = -beta
		}
		// H = I + u uᵀ/(β u₀) with u = (α − β, v) maps (α, v) to (β, 0).
		u0 := alpha - beta
		t.a[k*p+k] = beta
		g := 1 / (beta * u0)
		j := k + 1
		for ; j < p; j += 2 {
			reflect2(v, a[j*ld:][:m], a[(j+1)*ld:][:m], &t.a[j*p+k], &t.a[(j+1)*p+k], u0, g)
		}
		if j == p {
			c := a[j*ld:][:m]
			f := g * (u0*t.a[j*p+k] + dot(v, c))
			t.a[j*p+k] += f * u0
			axpy(f, v, c)
		}
	}
}

// reflect2 applies I + g·u uᵀ, u = (u0, v), to the columns (top, x) and
// (next, y) at once.
func reflect2(v, x, y []float64, top, next *float64, u0, g float64) {
	x, y = x[:len(v)], y[:len(v)]
	var a, b, c, d float64
	n := len(v) &^ 1
	for i := 1; i < n; i += 2 {
		a += v[i-1] * x[i-1]
		b += v[i] * x[i]
		c += v[i-1] * y[i-1]
		d += v[i] * y[i]
	}
	if n < len(v) {
		a += v[n] * x[n]
		c += v[n] * y[n]
	}
	e, f := g*(u0**top+(a+b)), g*(u0**next+(c+d))
	*top += e * u0
	*next += f * u0
	for i, w := range v {
		x[i] += e * w
		y[i] += f * w
	}
}

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
	for len(x) >= 4 && len(y) >= 4 {
		a += x[0] * y[0]
		b += x[1] * y[1]
		c += x[2] * y[2]
		d += x[3] * y[3]
		x, y = x[4:], y[4:]
	}
	for i, v := range x {
		a += v * y[i]
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

// transposed replaces g by R⁻ᵀg, and substitute by R⁻¹g, with the upper triangle R.
func transposed(r, g []float64) {
	p := len(g)
	for j := range g {
		g[j] /= r[j*p+j]
		axpy(-g[j], r[j*p+j+1:][:p-j-1], g[j+1:])
	}
}

func substitute(r, g []float64) {
	p := len(g)
	for j := p - 1; j >= 0; j-- {
		g[j] = (g[j] - dot(r[j*p+j+1:][:p-j-1], g[j+1:])) / r[j*p+j]
	}
}

// Whiten returns the lower triangle W, n × n, row after row, with WᵀW = V⁻¹ for a covariance
// V of n values: the elements of W(x − mean) are standardised and not correlated, as rows of a
// problem have to be. ok is false unless V is positive definite, but for rounding, of n·n elements.
func Whiten(v []float64, n int) (w []float64, ok bool) {
	const least = 1e-12 // of a variance, that the others leave
	if n < 0 || len(v) != n*n {
		return nil, false
	}
	l := make([]float64, n*n)
	for i := range n {
		for j := range i + 1 {
			sum := v[i*n+j] - dot(l[i*n:][:j], l[j*n:][:j])
			switch {
			case i > j:
				l[i*n+j] = sum / l[j*n+j]
			case !(sum > least*v[i*n+i]):
				return nil, false
			default:
				l[i*n+i] = math.Sqrt(sum)
			}
		}
	}
	w = make([]float64, n*n)
	for j := range n { // L·W = 1, column by column
		w[j*n+j] = 1 / l[j*n+j]
		for i := j + 1; i < n; i++ {
			sum := 0.0
			for k := j; k < i; k++ {
				sum += l[i*n+k] * w[k*n+j]
			}
			w[i*n+j] = -sum / l[i*n+i]
		}
	}
	return w, true
}
