package field

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The gains and demagnetising factors of gain_test.go and demagnetise_test.go are
// published nowhere: they were computed independently of this package by boundary elements.
// Here a dozen of each kind are computed by finite elements, which share nothing with
// either: no charge on surfaces, no current sheet's function, but the flux in all of
// space. On these coarse cells they give inductances a little too small, and with them
// gains 0.1 to 0.5 % too small and demagnetising factors as much too large; finer cells
// halve that.

// fluxSpace is an axisymmetric space cut into cells along ρ and z. Its unknowns are the
// flux function ψ = ρA at the nodes, which meets
//
//	∂/∂ρ (1/(µρ) ∂ψ/∂ρ) + ∂/∂z (1/(µρ) ∂ψ/∂z) = −J
//
// (P. P. Silvester and R. L. Ferrari, Finite Elements for Electrical Engineers, 3rd ed.,
// 1996, on axisymmetric problems; the statement is from memory). ψ is linear within
// a cell in z and in s = ρ², as ψ is near the axis: the form minimised is
// ∫ (2 ψ_s² + ψ_z²/2s)/µ ds dz.
type fluxSpace struct {
	rho, z []float64 // rising; rho from 0
	mirror bool      // z[0] is a plane of symmetry, across which the field goes straight
	mu     func(rho, z float64) float64
}

// at is the place of a node among the unknowns.
func (f *fluxSpace) at(i, k int) int { return k*len(f.rho) + i }

// shape returns the integrals of the products of slopes and of the functions themselves,
// these by weight, of the two linear functions over a cell.
func shape(a, b float64, weight func(x float64) float64) (slopes, products [2][2]float64) {
	h := b - a
	nodes := []float64{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526}
	weights := []float64{0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538}
	for n, t := range nodes {
		x := (a + b + h*t) / 2
		v := [2]float64{(b - x) / h, (x - a) / h}
		for i := range 2 {
			for j := range 2 {
				products[i][j] += weights[n] * h / 2 * v[i] * v[j] * weight(x)
			}
		}
	}
	return [2][2]float64{{1 / h, -1 / h}, {-1 / h, 1 / h}}, products
}

// solve returns ψ for currents load at the nodes, with ψ = edge(ρ, z) far away.
func (f *fluxSpace) solve(load []float64, edge func(rho, z float64) float64) []float64 {
	width := len(f.rho)
	n := width * len(f.z)
	a := mat.NewSymBandDense(n, width+1, nil)
	right := slices.Clone(load)
	add := func(p, q int, v float64) { a.SetSymBand(p, q, a.At(p, q)+v) }
	fixed := make([]bool, n)
	value := make([]float64, n)
	for k, z := range f.z {
		for i, rho := range f.rho {
			if i == 0 || i == width-1 || k == len(f.z)-1 || k == 0 && !f.mirror {
				fixed[f.at(i, k)], value[f.at(i, k)] = true, edge(rho, z)
			}
		}
	}
	for k := range len(f.z) - 1 {
		zSlopes, zProducts := shape(f.z[k], f.z[k+1], func(float64) float64 { return 1 })
		for i := range width - 1 {
			sSlopes, sProducts := shape(f.rho[i]*f.rho[i], f.rho[i+1]*f.rho[i+1], func(s float64) float64 { return 1 / (2 * s) })
			mu := f.mu((f.rho[i]+f.rho[i+1])/2, (f.z[k]+f.z[k+1])/2)
			for c := range 4 {
				p := f.at(i+c%2, k+c/2)
				for d := range 4 {
					q := f.at(i+d%2, k+d/2)
					v := (2*sSlopes[c%2][d%2]*zProducts[c/2][d/2] + sProducts[c%2][d%2]*zSlopes[c/2][d/2]) / mu
					switch {
					case fixed[p]:
					case fixed[q]:
						right[p] -= v * value[q]
					case p <= q:
						add(p, q, v)
					}
				}
			}
		}
	}
	for p := range fixed {
		if fixed[p] {
			a.SetSymBand(p, p, 1)
			right[p] = value[p]
		}
	}
	var chol mat.BandCholesky
	if !chol.Factorize(a) {
		panic("the field's matrix isn't positive definite")
	}
	var out mat.VecDense
	if err := chol.SolveVecTo(&out, mat.NewVecDense(n, right)); err != nil {
		panic(err)
	}
	return out.RawVector().Data
}

// graded cuts the stretches between breaks into cells that grow from size at each break by
// a factor of growth, and beyond the last break up to far.
func graded(size, growth, far float64, breaks ...float64) []float64 {
	out := []float64{breaks[0]}
	for i, to := range breaks[1:] {
		from := breaks[i]
		var half []float64 // from a break to the middle
		for at, h := 0.0, size; at < (to-from)/2; h *= growth {
			at += h
			half = append(half, at)
		}
		if len(half) == 0 {
			half = []float64{1}
		}
		stretch := (to - from) / 2 / half[len(half)-1]
		for _, x := range half {
			out = append(out, from+x*stretch)
		}
		for k := len(half) - 2; k >= 0; k-- {
			out = append(out, to-half[k]*stretch)
		}
		out = append(out, to)
	}
	for h := size; out[len(out)-1] < far; h *= growth {
		out = append(out, out[len(out)-1]+h)
	}
	return out
}

// finiteGain is the gain of beads of diameter d in the middle of a current sheet of
// diameter 1 and a length, by finite elements; shift moves the beads out of the middle.
func finiteGain(length, d, bead, gap float64, count int, mu, shift float64) float64 {
	var faces []float64
	whole := float64(count)*bead + float64(count-1)*gap
	for k := range count {
		low := -whole/2 + float64(k)*(bead+gap) + shift
		faces = append(faces, low, low+bead)
	}
	f := fluxSpace{mirror: shift == 0}
	breaks := append(slices.Clone(faces), -length/2, length/2)
	if f.mirror {
		breaks = append(breaks, 0)
		breaks = slices.DeleteFunc(breaks, func(z float64) bool { return z < -1e-9 })
	}
	slices.Sort(breaks)
	breaks = slices.CompactFunc(breaks, func(a, b float64) bool { return math.Abs(b-a) < 1e-9 })
	far := 12 * length
	f.rho = graded(0.015, 1.45, far, 0, d/2, 0.5)
	f.z = graded(0.02, 1.45, far, breaks...)
	if !f.mirror {
		below := graded(0.02, 1.45, far, 0)
		for _, x := range below[1:] {
			f.z = slices.Insert(f.z, 0, breaks[0]-x)
		}
	}
	load := make([]float64, len(f.rho)*len(f.z))
	sheet := slices.IndexFunc(f.rho, func(r float64) bool { return math.Abs(r-0.5) < 1e-9 })
	for k := range len(f.z) - 1 {
		if middle := (f.z[k] + f.z[k+1]) / 2; math.Abs(middle) < length/2 {
			h := f.z[k+1] - f.z[k]
			load[f.at(sheet, k)] += h / 2
			load[f.at(sheet, k+1)] += h / 2
		}
	}
	nothing := func(float64, float64) float64 { return 0 }
	linkage := func(mu func(rho, z float64) float64) float64 {
		f.mu = mu
		return floatsDot(load, f.solve(load, nothing))
	}
	air := linkage(func(float64, float64) float64 { return 1 })
	return linkage(func(rho, z float64) float64 {
		for i := 0; i < len(faces); i += 2 {
			if rho < d/2 && z > faces[i] && z < faces[i+1] {
				return mu
			}
		}
		return 1
	}) / air
}

func floatsDot(a, b []float64) float64 {
	return mat.Dot(mat.NewVecDense(len(a), a), mat.NewVecDense(len(b), b))
}

// Gains computed by boundary elements, against finite elements.
func TestGainsByFiniteElements(t *testing.T) {
	for _, c := range []struct {
		length, d, bead, gap float64
		count                int
		mu, shift, want      float64
	}{
		{10, 0.8, 1, 0, 1, 100, 0, 1.291},
		{10, 0.8, 5, 0, 1, 10, 0, 3.120},
		{10, 0.8, 10, 0, 1, 100, 0, 25.79},
		{10, 0.8, 10, 0, 1, 2000, 0, 42.94},
		{10, 0.8, 15, 0, 1, 400, 0, 61.69},
		{5, 0.5, 2.5, 0, 1, 400, 0, 3.431},
		{5, 0.5, 5, 0, 1, 100, 0, 8.702},
		{5, 0.5, 10, 0, 1, 2000, 0, 30.25},
		{10, 0.8, 10, 0, 1, 400, -7.5, 4.031},
		{10, 0.8, 10, 0, 1, 100, -5, 10.07},
		{10, 0.8, 4.9, 0.2, 2, 100, 0, 17.24},
		{10, 0.8, (10 - 4*0.04) / 5, 0.04, 5, 400, 0, 19.65},
		{10, 0.8, (10 - 9*0.2) / 10, 0.2, 10, 100, 0, 4.39},
	} {
		got := finiteGain(c.length, c.d, c.bead, c.gap, c.count, c.mu, c.shift)
		t.Logf("%+v: %.4g, %+.2f %%", c, got, 100*(got/c.want-1))
		if !(math.Abs(got/c.want-1) <= 0.006) {
			t.Errorf("%+v: by finite elements %.4g", c, got)
		}
	}
}

// finiteCylinder returns the demagnetising factors of a cylinder of m diameters, over its
// middle section and over its volume, in an even field, by finite elements.
func finiteCylinder(m, mu float64) (nf, nm float64) {
	const radius = 0.5
	f := fluxSpace{mirror: true, mu: func(rho, z float64) float64 {
		if rho < radius && z < m/2 {
			return mu
		}
		return 1
	}}
	f.rho = graded(0.01, 1.4, 12*m, 0, radius)
	f.z = graded(0.01, 1.4, 12*m, 0, m/2)
	psi := f.solve(make([]float64, len(f.rho)*len(f.z)), func(rho, _ float64) float64 { return rho * rho / 2 })
	side := slices.Index(f.rho, radius)
	density := func(k int) float64 { return 2 * psi[f.at(side, k)] / (radius * radius) } // mean over a section, over that far away
	factor := func(b float64) float64 { return (1 - b/mu) / (b - b/mu) }                 // of H = 1 − N·M
	mean := 0.0
	for k := range slices.Index(f.z, m/2) {
		mean += (density(k) + density(k+1)) / 2 * (f.z[k+1] - f.z[k]) / (m / 2)
	}
	return factor(density(0)), factor(mean)
}

// Demagnetising factors computed by boundary elements, against finite elements.
func TestCylindersByFiniteElements(t *testing.T) {
	for _, c := range []struct{ m, mu, nf, nm float64 }{
		{1, 101, 0.2277, 0.2600}, {1, 1e6, 0.2275, 0.2590},
		{2, 401, 0.1179, 0.1411}, {2, 1e6, 0.1180, 0.1409},
		{5, 101, 0.03885, 0.05135}, {5, 401, 0.03962, 0.05079}, {5, 1e6, 0.03988, 0.05060},
		{10, 101, 0.01414, 0.02106}, {10, 401, 0.01499, 0.02041}, {10, 1e6, 0.01530, 0.02018},
		{20, 101, 0.00426, 0.00827}, {20, 401, 0.00503, 0.00757}, {20, 1e6, 0.00536, 0.00729},
	} {
		nf, nm := finiteCylinder(c.m, c.mu)
		t.Logf("m = %g, µ = %g: Nf = %.5f (%+.2f %%), Nm = %.5f (%+.2f %%)", c.m, c.mu, nf, 100*(nf/c.nf-1), nm, 100*(nm/c.nm-1))
		if !(math.Abs(nf-c.nf) <= 0.006*c.nf+5e-6) || !(math.Abs(nm-c.nm) <= 0.006*c.nm+5e-6) {
			t.Errorf("m = %g, µ = %g: by finite elements Nf = %.5f, Nm = %.5f", c.m, c.mu, nf, nm)
		}
	}
}
