package page

import (
	"math"
	"slices"
)

// expansion is the fitted frequency of one condition of the coil over a box of
// settings.
type expansion struct {
	axes []axis
	lnF  []float64 // coefficients of ln(f/Hz)
	v    []float64 // coefficients of (u(f)/f)²
	step float64   // v is rounded to it, lnF to frequencyStep
}

// sampler returns ln(f/Hz) and (u(f)/f)² at x, or false where the readings don't
// determine f.
type sampler func(x []float64) (lnF, v float64, ok bool)

// What an expansion promises of f, relative, and of u(f), relative: far within
// the millionth that the page promises, and half of what the second digit of an
// uncertainty shows.
const (
	frequencyTolerance   = 5e-8
	uncertaintyTolerance = 5e-3
	mostTerms            = 28 // along one axis
)

// newExpansion expands what sample tells. It returns false where something in
// the box isn't determined, or bends too sharply for a polynomial.
func newExpansion(axes []axis, sample sampler) (*expansion, bool) {
	for i := range axes {
		if !settle(axes, i, sample) {
			return nil, false
		}
	}
	for {
		e, ok := fill(axes, sample)
		if !ok {
			return nil, false
		}
		if e.holdsAt(sample, boxChecks) {
			return e, true
		}
		grown := false
		for i := range axes {
			if axes[i].Values == nil && axes[i].N < mostTerms {
				axes[i].N, grown = axes[i].N+2, true
			}
		}
		if !grown {
			return nil, false
		}
	}
}

// settle finds how many terms the i-th axis needs, along lines through the corners of
// the box, its middle, and all over it: a whole box that has too few costs as much as
// hundreds of lines.
func settle(axes []axis, i int, sample sampler) bool {
	a := &axes[i]
	if a.Values != nil {
		return true
	}
	for _, x := range lines(axes, i) {
		along := func(at []float64) (lnF, v float64, ok bool) {
			x[i] = at[0]
			return sample(x)
		}
		for a.N = max(a.N, 4); ; a.N += 2 {
			e, ok := fill([]axis{*a}, along)
			if !ok {
				return false
			}
			if e.holdsAt(along, lineChecks) {
				break
			}
			if a.N >= mostTerms {
				return false
			}
		}
	}
	return true
}

// lines lists points on lines along the i-th axis.
func lines(axes []axis, i int) (list [][]float64) {
	point := func(t func(k int) float64) {
		x := make([]float64, len(axes))
		for k := range axes {
			x[k] = axes[k].at(t(k))
		}
		list = append(list, x)
	}
	for corner := range 1 << len(axes) {
		if corner>>i&1 == 0 {
			point(func(k int) float64 { return float64(corner>>k&1)*2 - 1 })
		}
	}
	if len(axes) == 1 {
		return list
	}
	point(func(int) float64 { return 0 })
	for n := 1; n <= 2*len(axes); n++ {
		point(func(k int) float64 { return halton2(n, k) })
	}
	return list
}

// halton2 is Halton's sequence in −1 … 1 for the k-th axis.
func halton2(n, k int) float64 { return 2*halton(n, [...]int{2, 3, 5}[k]) - 1 }

func fill(axes []axis, sample sampler) (*expansion, bool) {
	e := &expansion{axes: axes}
	all := true
	grid(axes, func(x []float64) {
		lnF, v, ok := sample(x)
		all = all && ok
		e.lnF, e.v = append(e.lnF, lnF), append(e.v, v)
	})
	if !all {
		return nil, false
	}
	expand(axes, e.lnF)
	expand(axes, e.v)
	round(e.lnF, frequencyStep)
	e.step = math.Pow(10, math.Floor(math.Log10(math.Abs(e.v[0])))-7)
	round(e.v, e.step)
	return e, true
}

// frequencyStep is what the coefficients of ln f are rounded to.
const frequencyStep = 1e-10

func round(c []float64, step float64) {
	for i := range c {
		c[i] = step * math.Round(c[i]/step)
	}
}

// at returns the frequency [Hz] and its standard uncertainty at x.
func (e *expansion) at(x []float64) (f, u float64) {
	f = math.Exp(evaluate(e.axes, e.lnF, x))
	return f, f * math.Sqrt(math.Max(0, evaluate(e.axes, e.v, x)))
}

// How many points all over a box, and along a line, an expansion is compared with the
// model at.
const (
	boxChecks  = 48
	lineChecks = 12
)

// holdsAt compares the expansion with the model at the corners of the box and at
// points all over it.
func (e *expansion) holdsAt(sample sampler, points int) bool {
	x := make([]float64, len(e.axes))
	for p := range points + 1<<len(e.axes) {
		for i := range e.axes {
			t := halton2(p+1, i)
			if p >= points {
				t = 0.9999 * (float64((p-points)>>i&1)*2 - 1)
			}
			x[i] = e.axes[i].at(t)
		}
		lnF, v, ok := sample(x)
		f, u := e.at(x)
		if !ok || !(math.Abs(math.Log(f)-lnF) < frequencyTolerance) || !(math.Abs(u/f/math.Sqrt(v)-1) < uncertaintyTolerance) {
			return false
		}
	}
	return true
}

// halton returns the n-th point of Halton's sequence: the digits of n in a base,
// mirrored at the point (J. H. Halton, Numerische Mathematik 2, 1960, 84).
func halton(n, base int) float64 {
	x, place := 0.0, 1.0
	for ; n > 0; n /= base {
		place /= float64(base)
		x += place * float64(n%base)
	}
	return x
}

// axis is one variable of an expansion. Functions of x in From … To are expanded
// in ln(x + Shift), which makes them close to straight, or in x itself where Shift
// is nil. Where neither does, an axis holds the only values that x may have, and
// nothing is expanded along it.
type axis struct {
	Name   string    `json:"name"`
	From   float64   `json:"from"`
	To     float64   `json:"to"`
	Shift  float64   `json:"shift"`
	N      int       `json:"n"`                // number of terms
	Values []float64 `json:"values,omitempty"` // N of them, or none
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
