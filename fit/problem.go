package fit

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Rows is a block of N equations r(x) = 0 that a solution should meet.
//
// Evaluate writes the standardised residuals (observed − model)/u, which are
// dimensionless, of the rows first … first+len(r)−1 into r. When jac is not
// nil it has len(r)·p elements and receives the derivatives ∂r/∂x, row after
// row. Where the model does not exist at x, Evaluate writes NaN: the solver
// then takes a shorter step. Evaluate keeps no reference to its arguments.
//
// In a problem with own parameters, Own tells which of them each row hangs on,
// counted from the first of these, −1 for none; a row of jac then holds the
// derivatives by the common parameters and last that by its own parameter.
type Rows struct {
	N        int
	Evaluate func(x []float64, first int, r, jac []float64)
	Own      []int // of each row; nil where no row has one

	width int   // derivatives that Evaluate writes for each row; 0: not known
	err   error // why they can't be evaluated
}

// Problem is a weighted nonlinear least-squares problem: find the x of Params
// elements that makes the sum of squares of all rows of Data and Prior least.
//
// Data holds what was observed; Prior what was known beforehand, as further
// rows of the same kind (see Gaussians). They are kept apart since the scatter
// of the data says nothing on the uncertainty of a prior.
//
// Lower and Upper bound x from below and above; nil, or an infinite element,
// means no bound.
//
// The last Own parameters are own parameters: each stands in few rows, and no two
// of them in the same one, as the error of a part that only some readings share.
// The others are common. Own parameters are eliminated, so that time and memory
// grow with their number and not with its cube; what is found is the same.
//
// Alike is the number of data rows whose errors are those of others: n rows that share one
// error, each stated with √n times its uncertainty, count as one among the degrees of
// freedom, n − 1 being alike.
type Problem struct {
	Params       int
	Own          int
	Data, Prior  Rows
	Alike        float64
	Lower, Upper []float64
}

// common is the number of parameters that aren't own.
func (p *Problem) common() int { return p.Params - p.Own }

// width is the number of derivatives in a row.
func (p *Problem) width() int {
	if p.Own > 0 {
		return p.common() + 1
	}
	return p.Params
}

// Join returns the rows of blocks one after another, of as many derivatives each as width says.
func Join(width int, blocks ...Rows) (all Rows) {
	for _, b := range blocks {
		for i := range b.N {
			if k := b.own(i); k >= 0 || all.Own != nil {
				all.Own = append(append(all.Own, slices.Repeat([]int{-1}, all.N+i-len(all.Own))...), k)
			}
		}
		all.N += b.N
		all.err = cmp.Or(all.err, b.err)
	}
	all.Evaluate = func(x []float64, first int, r, jac []float64) {
		for _, b := range blocks {
			from := min(max(0, first), b.N)
			m := min(b.N-from, len(r))
			first -= b.N
			if m == 0 {
				continue
			}
			var head []float64
			if jac != nil {
				head, jac = jac[:m*width], jac[m*width:]
			}
			b.Evaluate(x, from, r[:m], head)
			r = r[m:]
		}
	}
	return all
}

// own returns the own parameter of row i, or −1.
func (e *Rows) own(i int) int {
	if e.Own == nil {
		return -1
	}
	return e.Own[i]
}

// whole returns the same problem without own parameters: rows are as wide as there
// are parameters.
func (p Problem) whole() Problem {
	if p.Own == 0 {
		return p
	}
	spread := func(e Rows) Rows {
		narrow, m, n := p.width(), p.common(), p.Params
		return Rows{N: e.N, Evaluate: func(x []float64, first int, r, jac []float64) {
			if jac == nil {
				e.Evaluate(x, first, r, nil)
				return
			}
			compact := make([]float64, len(r)*narrow)
			e.Evaluate(x, first, r, compact)
			clear(jac)
			for i := range r {
				row := compact[i*narrow:][:narrow]
				copy(jac[i*n:], row[:m])
				if k := e.own(first + i); k >= 0 {
					jac[i*n+m+k] = row[m]
				}
			}
		}}
	}
	p.Data, p.Prior, p.Own = spread(p.Data), spread(p.Prior), 0
	return p
}

// Gaussian is the prior knowledge that x[Param] is Mean with the standard
// uncertainty Sigma, both in the unit of x[Param].
type Gaussian struct {
	Param       int
	Mean, Sigma float64
}

// Gaussians returns the rows (x[Param] − Mean)/Sigma for a problem of p
// parameters, none of them own. Solve returns an error for a Param that the problem
// doesn't have, for a Sigma that isn't a positive number, and for a Mean that is none.
func Gaussians(p int, priors []Gaussian) Rows { return OwnGaussians(p, 0, priors) }

// OwnGaussians is Gaussians for a problem whose last own of p parameters are own.
func OwnGaussians(p, own int, priors []Gaussian) Rows {
	e := Rows{N: len(priors)}
	width, common := p, p
	if own > 0 {
		common = p - own
		width = common + 1
		e.Own = make([]int, len(priors))
		for i, g := range priors {
			e.Own[i] = max(g.Param-common, -1)
		}
	}
	e.width, e.err = width, checkGaussians(p, own, priors)
	e.Evaluate = func(x []float64, first int, r, jac []float64) {
		clear(jac)
		for i := range r {
			g := priors[first+i]
			r[i] = (x[g.Param] - g.Mean) / g.Sigma
			if jac != nil {
				jac[i*width+min(g.Param, common)] = 1 / g.Sigma
			}
		}
	}
	return e
}

func (p *Problem) bounds(j int) (lower, upper float64) {
	lower, upper = math.Inf(-1), math.Inf(1)
	if p.Lower != nil {
		lower = p.Lower[j]
	}
	if p.Upper != nil {
		upper = p.Upper[j]
	}
	return lower, upper
}

// checkGaussians returns an error for knowledge that is none.
func checkGaussians(p, own int, priors []Gaussian) error {
	for i, g := range priors {
		switch {
		case g.Param < 0 || g.Param >= p:
			return fmt.Errorf("fit: prior %d is on parameter %d of %d", i, g.Param, p)
		case own < 0 || own >= p && p > 0:
			return fmt.Errorf("fit: %d own parameters of %d", own, p)
		case !(g.Sigma > 0) || math.IsInf(g.Sigma, 1):
			return fmt.Errorf("fit: the standard uncertainty %g of prior %d isn't a positive number", g.Sigma, i)
		case math.IsNaN(g.Mean) || math.IsInf(g.Mean, 0):
			return fmt.Errorf("fit: the mean %g of prior %d isn't a number", g.Mean, i)
		}
	}
	return nil
}

// walkRows is the number of rows that a walk evaluates at a time.
const walkRows = 256

// rows evaluates a block of equations at x, piece by piece, and calls visit
// with each row's index, residual and derivatives until it returns false.
func rows(e Rows, x []float64, p int, visit func(i int, r float64, jac []float64) bool) {
	n := min(walkRows, e.N)
	r, jac := make([]float64, n), make([]float64, n*p)
	for first := 0; first < e.N; first += n {
		m := min(n, e.N-first)
		e.Evaluate(x, first, r[:m], jac[:m*p])
		for i := range m {
			if !visit(first+i, r[i], jac[i*p:][:p]) {
				return
			}
		}
	}
}
