package fit

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// stepper solves the trust-region subproblem
//
//	min ‖T z + c‖  subject to  ‖z‖ ≤ Δ
//
// for the scaled step z = D s of the free parameters, T being the triangle of
// the scaled columns. Its solution is z(λ) = −(TᵀT + λI)⁻¹Tᵀc with λ = 0 if
// that step is short enough, or else the λ for which ‖z(λ)‖ = Δ, found by
// Newton's method on 1/‖z‖ (Moré 1978, §5). TᵀT is never formed: the triangle
// of T stacked on √λ·I is built by plane rotations. Where T is nearly singular
// its singular values are used instead, so that the undamped step is the
// shortest of all least-squares solutions; but not where even faint damping leaves it
// longer than Δ.
type stepper struct {
	p, n int
	free []int     // the parameters of the n columns
	t    []float64 // n × n, column after column
	c    []float64
	z    []float64
	s    []float64 // the damped triangle
	w, e []float64
	weak bool

	damped bool // weak, and not asked for its undamped step
	known  bool // its singular values
	svd    singular
	rank   int
}

// weakDiagonal is the ratio of a diagonal element of the scaled triangle to
// one below which the singular values decide.
const weakDiagonal = 1e-9

// faint is the λ that leaves directions of a weak triangle alone that have not lost their hold.
const faint = lostRank * lostRank

// stepRank is the ratio of singular values below which a direction is rounding.
const stepRank = 1e-14

func stepperRoom(p int) int { return 2*p*p + 5*p }

func newStepper(p int, store []float64, index []int) stepper {
	cut := func(n int) []float64 {
		v := store[:n:n]
		store = store[n:]
		return v
	}
	return stepper{p: p, free: index[:0], t: cut(p * p), s: cut(p * p), c: cut(p),
		z: cut(p), w: cut(p), e: cut(2 * p)}
}

// load takes the columns of the triangle that stand at no bound, divided by d, and
// the right-hand side q + R·moved, where moved is the part of the step that is
// already decided.
func (s *stepper) load(t triangle, inverse []float64, active []bool, moved []float64) {
	p := s.p
	s.free = s.free[:0]
	whole := true
	for j := range p {
		if active[j] {
			whole = false
		} else {
			s.free = append(s.free, j)
		}
	}
	s.n = len(s.free)
	copy(s.c, t.q())
	if whole {
		for j := range p {
			f := inverse[j]
			for i, v := range t.column(j) {
				s.t[j*p+i] = v * f
			}
		}
	} else {
		s.retriangle(t, inverse, moved)
	}
	s.weak, s.known, s.damped = false, false, false
	for k := range s.n {
		if math.Abs(s.t[k*s.n+k]) < weakDiagonal {
			s.weak = true
		}
	}
}

// retriangle brings the free columns of an upper triangle back to one.
func (s *stepper) retriangle(t triangle, inverse, moved []float64) {
	p, n := s.p, s.n
	for j, m := range moved {
		if m != 0 {
			axpy(m, t.column(j), s.c)
		}
	}
	full := s.s[:p*n]
	clear(full)
	for k, j := range s.free {
		for i, v := range t.column(j) {
			full[k*p+i] = v * inverse[j]
		}
	}
	for k := range n {
		householder(full[k*p:][k:p], full[(k+1)*p:], p, k, s.c)
	}
	for k := range n {
		copy(s.t[k*n:][:k+1], full[k*p:])
	}
}

// householder maps v to (±‖v‖, 0 …) and applies the same reflection to the
// rows k … p−1 of the columns after it and of c.
func householder(v, rest []float64, p, k int, c []float64) {
	tail := dot(v[1:], v[1:])
	alpha := v[0]
	if tail == 0 || alpha*alpha+tail < vanishing {
		return
	}
	beta := -math.Copysign(math.Sqrt(alpha*alpha+tail), alpha)
	v[0] = alpha - beta
	g := 1 / (beta * v[0])
	for len(rest) > 0 {
		x := rest[k:p]
		axpy(g*dot(v, x), v, x)
		rest = rest[p:]
	}
	axpy(g*dot(v, c[k:]), v, c[k:])
	v[0] = beta
}

// decompose works out the singular values, if need be.
func (s *stepper) decompose() {
	if s.known {
		return
	}
	n := s.n
	a := make([]float64, n*n)
	for j := range n {
		copy(a[j*n:][:j+1], s.t[j*n:])
	}
	s.svd = newSingular(a, n, n)
	s.rank = s.svd.rank(stepRank)
	s.known = true
}

// solve leaves in z the step for the radius delta and returns its λ. guess is
// the λ of the step before.
func (s *stepper) solve(delta, guess float64) float64 {
	if delta == 0 {
		clear(s.z[:s.n])
		return guess
	}
	s.damped = s.weak && guess > 0
	if s.damped {
		s.damped = s.at(faint) > 1.1*delta
	}
	low, length := 0.0, 0.0
	if !s.damped {
		if length = s.at(0); length <= 1.1*delta {
			return 0
		}
	}
	if !s.weak {
		low = (length - delta) * length / s.slope(0)
	}
	high := s.gradient() / delta
	lambda := math.Min(math.Max(guess, low), high)
	if lambda == 0 {
		lambda = math.Max(low, 1e-3*high)
	}
	for range 20 {
		length = s.at(lambda)
		excess := length - delta
		if math.Abs(excess) <= 0.1*delta {
			return lambda
		}
		if excess > 0 {
			low = math.Max(low, lambda)
		} else {
			high = math.Min(high, lambda)
		}
		lambda += excess / delta * (length * length / s.slope(lambda))
		if !(lambda > low && lambda < high) {
			lambda = math.Max(math.Sqrt(low*high), 1e-3*high)
		}
	}
	if length > delta {
		floats.Scale(delta/length, s.z[:s.n])
	}
	return lambda
}

// gradient returns ‖Tᵀc‖.
func (s *stepper) gradient() float64 {
	sum := 0.0
	for k := range s.n {
		g := dot(s.t[k*s.n:][:k+1], s.c)
		sum += g * g
	}
	return math.Sqrt(sum)
}

// at computes z(λ) and returns ‖z‖.
func (s *stepper) at(lambda float64) float64 {
	n := s.n
	z := s.z[:n]
	if s.weak && !s.damped {
		s.decompose()
		s.atSingular(lambda)
		return norm(z)
	}
	copy(z, s.c)
	t := s.t
	if lambda > 0 {
		t = s.s
		s.damp(math.Sqrt(lambda))
	}
	sum := 0.0
	for k := n - 1; k >= 0; k-- {
		col := t[k*n:][:k+1]
		v := z[k] / col[k]
		for i, e := range col[:k] {
			z[i] -= v * e
		}
		z[k] = -v
		sum += v * v
	}
	return math.Sqrt(sum)
}

// slope returns −‖z‖·d‖z‖/dλ = zᵀ(TᵀT + λI)⁻¹z at the λ that at was called
// with.
func (s *stepper) slope(lambda float64) float64 {
	n := s.n
	sum := 0.0
	if s.weak && !s.damped {
		for k := range n {
			y := dot(s.svd.right(k), s.z)
			if d := s.svd.sigma[k]*s.svd.sigma[k] + lambda; d > 0 {
				sum += y * y / d
			}
		}
		return sum
	}
	t, w := s.t, s.w[:n]
	if lambda > 0 {
		t = s.s
	}
	for k := range w {
		col := t[k*n:][:k+1]
		w[k] = (s.z[k] - dot(col[:k], w[:k])) / col[k]
		sum += w[k] * w[k]
	}
	return sum
}

// damp rotates the rows of root·I into a copy of the triangle, and z, which
// holds the right-hand side, with it.
func (s *stepper) damp(root float64) {
	n := s.n
	copy(s.s[:n*n], s.t)
	e := s.e[:n]
	for j := range n {
		clear(e)
		e[j] = root
		ec := 0.0
		for k := j; k < n; k++ {
			a, b := s.s[k*n+k], e[k]
			if b == 0 {
				continue
			}
			h := math.Sqrt(a*a + b*b)
			cs, sn := a/h, b/h
			s.s[k*n+k] = h
			for i := k + 1; i < n; i++ {
				x, y := s.s[i*n+k], e[i]
				s.s[i*n+k], e[i] = cs*x+sn*y, cs*y-sn*x
			}
			s.z[k], ec = cs*s.z[k]+sn*ec, cs*ec-sn*s.z[k]
		}
	}
}

func (s *stepper) atSingular(lambda float64) {
	clear(s.z[:s.n])
	for k := range s.n {
		d := s.svd.sigma[k]*s.svd.sigma[k] + lambda
		if d == 0 || (lambda == 0 && k >= s.rank) {
			continue
		}
		axpy(-dot(s.svd.u(k), s.c)/d, s.svd.right(k), s.z)
	}
}

// lostRank is the singular value, as a share of the largest norm that the
// columns ever had, below which a direction has lost its hold on the residuals.
const lostRank = 1e-10

// lost returns the number of directions of the step just solved for that have
// lost their hold.
func (s *stepper) lost() int {
	if !s.weak {
		return 0
	}
	s.decompose()
	k := 0
	for k < s.n && s.svd.sigma[s.n-1-k] <= lostRank {
		k++
	}
	return k
}
