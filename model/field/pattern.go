package field

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// pattern is a core in a winding for any susceptibility χ at once: the
// spectrum n of its demagnetisation and, in the same basis, how the winding's
// slices drive it. With them the inductance that the core adds is, in units of
// the whole winding's in air,
//
//	ΔL = Bᵀ diag(1/(κ + n)) B,  κ = 1/χ.
type pattern struct {
	n    []float64
	b    *mat.Dense     // len(n) × slices of the winding
	sums []float64      // of b's rows: the drive of a current that is the same in all turns
	c    blas64.General // F, what the core adds to the capacitances; without data: nothing
	pri  []float64      // how a primary drives the same, in the units of Ladder.row
}

// newPattern makes the pattern of a body that is driven so by the slices of a winding and a
// primary, whose inductance in air is whole, as a sheet of one turn per metre [H m²].
func newPattern(m *body, by driven, whole float64) (*pattern, error) {
	// With T = R Rᵀ, (κT + P)⁻¹ = R⁻ᵀ (κ + R⁻¹ P R⁻ᵀ)⁻¹ R⁻¹.
	var chol mat.Cholesky
	if !chol.Factorize(m.t) {
		return nil, impossible(NoCore)
	}
	var r mat.TriDense
	chol.LTo(&r)
	var half, both, drive mat.Dense
	if err := r.SolveTo(&half, false, by.p); err != nil {
		return nil, err
	}
	if err := r.SolveTo(&both, false, half.T()); err != nil {
		return nil, err
	}
	if err := r.SolveTo(&drive, false, by.h); err != nil {
		return nil, err
	}
	k, columns := drive.Dims()
	var eigen mat.EigenSym
	if !eigen.Factorize(symmetric(&both), true) {
		return nil, impossible(NoCore)
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	b := mat.NewDense(k, columns, nil)
	b.Mul(vectors.T(), &drive)
	b.Scale(math.Sqrt(Mu0/whole), b)
	slices := columns - 1
	p := &pattern{n: eigen.Values(nil), b: mat.DenseCopyOf(b.Slice(0, k, 0, slices)), sums: make([]float64, k), pri: mat.Col(nil, slices, b)}
	for i := range k {
		p.sums[i] = floats.Sum(p.b.RawRowView(i))
	}
	return p, nil
}

// gain returns the inductance gain for a current that is the same in all
// turns, and its derivative to κ.
func (p *pattern) gain(kappa float64) (g, slope float64) {
	g = 1
	for i, s := range p.sums {
		d := 1 / (kappa + p.n[i])
		g += s * s * d
		slope -= s * s * d * d
	}
	return g, slope
}

// material returns the κ = 1/χ that gives the gain g, +Inf for 1, and a factor
// on what it adds. The factor is 1 between the greatest gain that a material
// gives, κ = 0, and what a conductor gives that keeps almost all flux out,
// χ = −1/1.1; beyond, what the extreme material adds is scaled.
func (p *pattern) material(g float64) (kappa, factor float64) {
	if g == 1 {
		return math.Inf(1), 1
	}
	end := 0.0
	if g < 1 {
		end = -1.1
	}
	if most, _ := p.gain(end); (g-1)/(most-1) >= 1 {
		return end, (g - 1) / (most - 1)
	}
	return p.kappa(g), 1
}

// kappa returns the κ that gives a gain g ≠ 1 that a material can give.
func (p *pattern) kappa(g float64) float64 {
	total, mean := 0.0, 0.0
	for i, s := range p.sums {
		total += s * s
		mean += s * s * p.n[i]
	}
	// The gain is a weighted sum of 1/(κ+n): it lies between those of the mean n
	// and of an extreme n, which gives the bounds.
	even := total / (g - 1)
	lo, hi := even-mean/total, even-p.n[0]
	if g < 1 {
		lo, hi = even-p.n[len(p.n)-1], even-mean/total
	}
	kappa := (lo + hi) / 2
	for range 100 { // Newton's steps in 1/(g−1), which is close to straight
		now, slope := p.gain(kappa)
		if now > g {
			lo = kappa
		} else {
			hi = kappa
		}
		next := kappa + (1/(g-1)-1/(now-1))*(now-1)*(now-1)/-slope
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-kappa) <= 1e-15*math.Abs(kappa) {
			return next
		}
		kappa = next
	}
	return kappa
}
