package page

import "math"

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

// What an expansion promises of f, relative, and of u(f), relative: well within
// the millionth that the page promises, and half of what the second digit of an
// uncertainty shows.
const (
	frequencyTolerance   = 2e-7
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
		if e.holds(sample) {
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

// settle finds how many terms the i-th axis needs, along three lines through the
// box.
func settle(axes []axis, i int, sample sampler) bool {
	a := &axes[i]
	if a.Values != nil {
		return true
	}
	x := make([]float64, len(axes))
	for _, t := range []float64{-1, 0, 1} {
		for k := range axes {
			x[k] = axes[k].at(t)
		}
		for a.N = max(a.N, 4); ; a.N += 2 {
			lnF, v := make([]float64, a.N), make([]float64, a.N)
			least := math.Inf(1)
			for k := range a.N {
				var ok bool
				x[i] = a.node(k)
				if lnF[k], v[k], ok = sample(x); !ok {
					return false
				}
				least = math.Min(least, v[k])
			}
			line := []axis{*a}
			expand(line, lnF)
			expand(line, v)
			if tail(lnF) < 4*frequencyTolerance && tail(v) < 4*uncertaintyTolerance*least {
				break
			}
			if a.N >= mostTerms {
				return false
			}
		}
	}
	return true
}

// tail is the size of the last two coefficients: about what was left out.
func tail(c []float64) float64 {
	return math.Abs(c[len(c)-1]) + math.Abs(c[len(c)-2])
}

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

// holds compares the expansion with the model at the corners of the box and at
// points all over it.
func (e *expansion) holds(sample sampler) bool {
	const points = 48
	x := make([]float64, len(e.axes))
	for p := range points + 1<<len(e.axes) {
		for i := range e.axes {
			t := 2*halton(p+1, [...]int{2, 3, 5}[i]) - 1
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
