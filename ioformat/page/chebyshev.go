package page

import (
	"math"
	"slices"
)

// axis is one variable of an expansion. Functions of x in From … To are expanded
// in ln(x + Shift), which makes them close to straight, or in x itself where Shift
// is nil. Where neither does, an axis holds the only values that x may have, and
// nothing is expanded along it.
type axis struct {
	Name     string
	From, To float64
	Shift    float64
	N        int       // number of terms
	Values   []float64 // N of them, or none
}

func (a *axis) straight(x float64) float64 {
	if a.Shift == 0 {
		return x
	}
	return math.Log(x + a.Shift)
}

// at is the x at which the mapped variable, brought to −1 … 1, is t.
func (a *axis) at(t float64) float64 {
	if a.Values != nil {
		return a.Values[int(math.Round((t+1)/2*float64(a.N-1)))]
	}
	lo, hi := a.straight(a.From), a.straight(a.To)
	m := lo + (t+1)/2*(hi-lo)
	if a.Shift == 0 {
		return m
	}
	return math.Exp(m) - a.Shift
}

// node returns the k-th zero of the polynomial T_N, as an x, or the k-th value.
func (a *axis) node(k int) float64 {
	if a.Values != nil {
		return a.Values[k]
	}
	return a.at(math.Cos(math.Pi * (float64(k) + 0.5) / float64(a.N)))
}

// basis returns T_0 … T_{N−1} at x; among values, one for x and nil for the others.
func (a *axis) basis(x float64) []float64 {
	list := make([]float64, a.N)
	if a.Values != nil {
		for k, v := range a.Values {
			if math.Abs(x-v) < 1e-6 {
				list[k] = 1
			}
		}
		return list
	}
	lo, hi := a.straight(a.From), a.straight(a.To)
	t := (2*a.straight(x) - lo - hi) / (hi - lo)
	for k := range list {
		switch k {
		case 0:
			list[k] = 1
		case 1:
			list[k] = t
		default:
			list[k] = 2*t*list[k-1] - list[k-2]
		}
	}
	return list
}

// grid calls visit with every node of a tensor product, the last axis fastest.
func grid(axes []axis, visit func(x []float64)) {
	x := make([]float64, len(axes))
	var descend func(i int)
	descend = func(i int) {
		if i == len(axes) {
			visit(x)
			return
		}
		for k := range axes[i].N {
			x[i] = axes[i].node(k)
			descend(i + 1)
		}
	}
	descend(0)
}

// expand turns the values at the nodes of a tensor product, in the order of grid,
// into the coefficients of the polynomial through them: along each axis
//
//	c_j = (2 − δ_j0)/N · Σ_k f_k cos(π j (k + ½)/N)
//
// (J. C. Mason and D. C. Handscomb, Chebyshev Polynomials, 2003, ch. 6).
func expand(axes []axis, values []float64) {
	stride := 1
	for _, a := range slices.Backward(axes) {
		n := a.N
		line := make([]float64, n)
		cosines := make([]float64, 4*n) // of multiples of π/2N
		for k := range cosines {
			cosines[k] = math.Cos(math.Pi * float64(k) / float64(2*n))
		}
		for start := range values {
			if start/stride%n != 0 || a.Values != nil {
				continue
			}
			for j := range line {
				sum := 0.0
				for k := range n {
					sum += values[start+k*stride] * cosines[j*(2*k+1)%(4*n)]
				}
				line[j] = 2 * sum / float64(n)
			}
			line[0] /= 2
			for j, c := range line {
				values[start+j*stride] = c
			}
		}
		stride *= n
	}
}

// evaluate sums an expansion at x: what the page does in its script.
func evaluate(axes []axis, coefficients, x []float64) float64 {
	c := coefficients
	for i := len(axes) - 1; i >= 0; i-- {
		basis := axes[i].basis(x[i])
		next := make([]float64, 0, len(c)/len(basis))
		for start := 0; start < len(c); start += len(basis) {
			sum := 0.0
			for k, t := range basis {
				sum += t * c[start+k]
			}
			next = append(next, sum)
		}
		c = next
	}
	return c[0]
}
