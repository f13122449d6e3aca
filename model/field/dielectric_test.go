package field

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// spherical cuts a shell between spheres of the radii a and b.
func sphericalShell(a, b, permittivity float64, edges []float64) shell {
	s := shell{kappa: 1 / (permittivity - 1), outer: sphere(b, 0, edges), inner: sphere(a, 0, edges)}
	for k := range s.outer {
		share := s.outer[k].area() / (4 * math.Pi * b * b)
		s.slices = append(s.slices, slice{thick: b - a, across: func(u float64) (area, v float64) {
			r := a + u*(b-a)
			return share * 4 * math.Pi * r * r, (r*r*r - a*a*a) / (b*b*b - a*a*a)
		}})
	}
	pole := ribbon{radius: b, from: 0, to: 1e-6} // nothing goes along: the faces are points
	s.faces = [2][]ribbon{{pole}, {pole}}
	return s
}

// A sphere of radius a in a coat of radius b: 4πε0/((1/a − 1/b)/ε + 1/b), in closed form;
// and a shell between two spheres that it doesn't touch: three layers in series.
func TestCoatedSphere(t *testing.T) {
	edges := spherical().grade(1)
	for _, c := range []struct{ a, b, permittivity float64 }{{1, 1.5, 2.3}, {1, 1.2, 4}, {1, 2, 10}, {1, 1.05, 3}, {1.3, 2, 5}} {
		e := electrodes{n: 1}
		e.add(sphere(1, 0, edges), share{0, 1})
		solved := must.Get(e.solve()).In(t)
		s := sphericalShell(c.a, c.b, c.permittivity, edges)
		for k := range s.slices {
			s.slices[k].along = 1e6 // radial alone: a flux along would cost
		}
		must.Do(t, solved.insulate([]shell{s}))
		want := 4 * math.Pi * Eps0 / (1 - 1/c.a + (1/c.a-1/c.b)/c.permittivity + 1/c.b)
		near.Times(t, "coated sphere", solved.maxwell().At(0, 0), want, 2e-3)
	}
}

// Two coaxial cylinders with a tube between: 2πε0/(ln(b/a) + ln(c/b)/ε + ln(d/c)) for each
// metre, in closed form, in the middle of a length of 40 radii.
func TestCoaxialCylinders(t *testing.T) {
	const a, b, c, d, length, permittivity = 1.0, 1.3, 1.8, 2.5, 40.0, 3.0
	z := make([]float64, 81)
	for i := range z {
		z[i] = length * float64(i) / 80
	}
	e := electrodes{n: 3}
	guarded := 0.0
	for i := range 80 {
		k := 1 // a guard
		if i >= 36 && i < 44 {
			k = 0
			guarded += z[i+1] - z[i]
		}
		e.add([]ribbon{{rho0: a, z0: z[i], rho1: a, z1: z[i+1]}}, share{k, 1})
		e.add([]ribbon{{rho0: d, z0: z[i], rho1: d, z1: z[i+1]}}, share{2, 1})
	}
	solved := must.Get(e.solve()).In(t)
	must.Do(t, solved.insulate(shells([]Tube{{2 * b, 2 * c, permittivity}}, z)))
	want := -2 * math.Pi * Eps0 / (math.Log(b/a) + math.Log(c/b)/permittivity + math.Log(d/c))
	near.Times(t, "mutual capacitance per metre", solved.maxwell().At(0, 2)/guarded, want, 2e-3)
}

// A solid rod in a winding, cut as an insulator and as a core is: two descriptions of its
// polarisation.
func TestRodTwice(t *testing.T) {
	for _, ratio := range []float64{2, 8} {
		c := Coil{Turns: 1, Diameter: 1, Length: ratio}
		solved := must.Get(c.electrodes(20, math.Inf(1), normal()).solve()).In(t)
		body := must.Get(solved.core(newBody(Beads{Diameter: 0.9, Length: ratio, Count: 1, Permittivity: 2.56}, normal()))).In(t)
		air, ends := solved.maxwell(), c.ends(20)
		must.Do(t, solved.insulate(shells([]Tube{{0, 0.9, 2.56}}, c.bands(20, normal()))))
		near.Times(t, "what the rod adds", evenCapacitance(solved.maxwell(), ends)-evenCapacitance(air, ends), evenCapacitance(body, ends), 0.03)
	}
}

// tubed is the coil of the demo on a tube, coated.
func tubed() Coil {
	return Coil{Turns: 640, Diameter: 28.3e-3, Length: 0.24, Wire: 0.32e-3, Former: Tube{Inner: 24e-3, Permittivity: 2.3},
		Coating: Coating{Thickness: 1e-3, Permittivity: 3.5}}
}

// What a tube and a coating add to the energy of a voltage along the winding, and so take
// from its frequency, is what a solution by finite elements says, to 10 %; in a box as well.
func TestTubeByFiniteElements(t *testing.T) {
	boxed := tubed()
	boxed.Box = Box{Diameter: 0.1, Bottom: -0.03, Top: 0.27}
	for _, c := range []Coil{tubed(), boxed, {Turns: 640, Diameter: 28.3e-3, Length: 0.24, Wire: 0.32e-3, Former: Tube{Inner: 25e-3, Permittivity: 3.5}}} {
		const n = 40
		bare := c
		bare.Former, bare.Coating = Tube{}, Coating{}
		air := must.Get(bare.circuit(n, false, math.Inf(1), normal())).In(t)
		with := must.Get(c.circuit(n, false, math.Inf(1), normal())).In(t)
		var m Mode
		air.resonate(0, &m)
		before := m.Omega
		v := append([]float64(nil), m.Voltage...)
		stored := m.Capacitance
		with.resonate(0, &m)
		shift := m.Omega/before - 1
		g := newMesh(c)
		along := func(z float64) float64 {
			k := z / c.Length * n
			i := min(int(k), n-1)
			below := 0.0
			if i > 0 {
				below = v[i-1]
			}
			return below + (k-float64(i))*(v[i]-below)
		}
		added := g.energy(c, along) - g.energy(bare, along) // twice, per volt at the top
		want := -added / stored / 2                         // Rayleigh, to first order
		q := func(k circuit) (sum float64) {
			for i := range n {
				for j := range n {
					sum += k.c.At(i, j) * v[i] * v[j]
				}
			}
			return sum
		}
		t.Logf("added %.5f pF, by finite elements %.5f", 1e12*(q(with)-q(air)), 1e12*added)
		t.Logf("frequency %+.3f %%, by finite elements %+.3f %%; bare capacitance %.4f pF, by finite elements %.4f", 100*shift, 100*want, 1e12*stored, 1e12*g.energy(bare, along))
		near.Times(t, "capacitance in air", stored, g.energy(bare, along), 0.03)
		near.Times(t, "shift of the frequency", shift, want, 0.06) // 10 % at the least
	}
}

// mesh is a grid of rectangles over half a plane through the axis, with lines along all
// surfaces of a coil.
type mesh struct{ rho, z []float64 }

func newMesh(c Coil) mesh {
	lines := func(stops []float64, least float64) (x []float64) {
		for i := range stops[1:] {
			a, b := stops[i], stops[i+1]
			step := math.Min(least, (b-a)/4)
			half := []float64{0}
			for s := step; half[len(half)-1] < (b-a)/2; s *= 1.4 { // finer towards both stops
				half = append(half, half[len(half)-1]+s)
			}
			last := half[len(half)-1]
			for k := range 2*len(half) - 2 {
				f := half[min(k, 2*len(half)-2-k)] / (2 * last)
				if k > len(half)-1 {
					f = 1 - f
				}
				x = append(x, a+f*(b-a))
			}
		}
		return append(x, stops[len(stops)-1])
	}
	r, l := c.Diameter/2, c.Length
	rho := []float64{0, c.former().Inner / 2, c.former().Outer / 2, r}
	if c.Coating.Thickness > 0 {
		rho = append(rho, c.coating().Inner/2, c.coating().Outer/2)
	}
	if b := c.Box; b.Diameter > 0 {
		return mesh{lines(append(rho, b.Diameter/2), 0.6e-3), lines([]float64{b.Bottom, 0, l, b.Top}, 1.5e-3)}
	}
	return mesh{lines(append(rho, 6*l), 0.6e-3), lines([]float64{-6 * l, 0, l, 7 * l}, 1.5e-3)}
}

// energy returns twice the energy of the field of a sheet at the potentials along the
// winding [F·V²], by bilinear elements and conjugate gradients.
func (g mesh) energy(c Coil, along func(z float64) float64) float64 {
	nr, nz := len(g.rho), len(g.z)
	at := func(i, j int) int { return i*nz + j }
	fixed, v := make([]bool, nr*nz), make([]float64, nr*nz)
	for i, rho := range g.rho {
		for j, z := range g.z {
			switch {
			case math.Abs(rho-c.Diameter/2) < 1e-9 && z > -1e-9 && z < c.Length+1e-9:
				fixed[at(i, j)], v[at(i, j)] = true, along(math.Min(math.Max(z, 0), c.Length))
			case i == nr-1 || j == 0 || j == nz-1:
				fixed[at(i, j)] = true
			}
		}
	}
	within := func(u Tube, rho, z float64) bool {
		return u.there() && rho > u.Inner/2 && rho < u.Outer/2 && z > 0 && z < c.Length
	}
	// A rectangle h by k at the mean radius: energies of linear variation in either
	// direction, of which the cross terms are the usual thirds and sixths.
	weights := make([]float64, (nr-1)*(nz-1))
	for i := range nr - 1 {
		for j := range nz - 1 {
			rho, z := (g.rho[i]+g.rho[i+1])/2, (g.z[j]+g.z[j+1])/2
			e := 1.0
			if within(c.former(), rho, z) {
				e = c.Former.Permittivity
			} else if within(c.coating(), rho, z) {
				e = c.Coating.Permittivity
			}
			weights[i*(nz-1)+j] = 2 * math.Pi * Eps0 * e * rho
		}
	}
	apply := func(dst, x []float64) {
		clear(dst)
		for i := range nr - 1 {
			for j := range nz - 1 {
				h, k, w := g.rho[i+1]-g.rho[i], g.z[j+1]-g.z[j], weights[i*(nz-1)+j]
				p, q := w*k/h/6, w*h/k/6
				n := [4]int{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)}
				a, b, d, e := x[n[0]], x[n[1]], x[n[2]], x[n[3]]
				dst[n[0]] += p*(2*(a-b)+(e-d)) + q*(2*(a-e)+(b-d))
				dst[n[1]] += p*(2*(b-a)+(d-e)) + q*(2*(b-d)+(a-e))
				dst[n[2]] += p*(2*(d-e)+(b-a)) + q*(2*(d-b)+(e-a))
				dst[n[3]] += p*(2*(e-d)+(a-b)) + q*(2*(e-a)+(d-b))
			}
		}
	}
	n := nr * nz
	res, dir, out, pre, unit := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range nr - 1 { // the diagonal
		for j := range nz - 1 {
			h, k, w := g.rho[i+1]-g.rho[i], g.z[j+1]-g.z[j], weights[i*(nz-1)+j]
			for _, m := range []int{at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)} {
				unit[m] += w * (k/h + h/k) / 3
			}
		}
	}
	apply(out, v)
	dot := func(a, b []float64) (sum float64) {
		for i := range a {
			sum += a[i] * b[i]
		}
		return sum
	}
	project := func(x []float64) {
		for i := range x {
			if fixed[i] {
				x[i] = 0
			}
		}
	}
	for i := range res {
		res[i] = -out[i]
	}
	project(res)
	for i := range pre {
		pre[i] = res[i] / unit[i]
	}
	copy(dir, pre)
	rz := dot(res, pre)
	for first := rz; rz > 1e-16*first; {
		apply(out, dir)
		project(out)
		alpha := rz / dot(dir, out)
		for i := range v {
			v[i] += alpha * dir[i]
			res[i] -= alpha * out[i]
			pre[i] = res[i] / unit[i]
		}
		next := dot(res, pre)
		for i := range dir {
			dir[i] = pre[i] + next/rz*dir[i]
		}
		rz = next
	}
	apply(out, v)
	return dot(out, v)
}

// A coating as thin as varnish, on slim and on wide coils: what it adds grows with its thickness,
// as it does where it is thick enough for any cells.
func TestThinCoating(t *testing.T) {
	for _, diameter := range []float64{0.02, 0.0785, 0.3} {
		c := Coil{Turns: 500, Diameter: diameter, Length: 0.2, Wire: 0.1e-3, Slices: 20}
		bare := predict(t, c).Frequency.Value
		last := 0.0
		for _, thickness := range []float64{0.02e-3, 0.05e-3, 0.1e-3, 0.2e-3, 0.5e-3, 1e-3} {
			c.Coating = Coating{thickness, 3.3}
			drop := 1 - predict(t, c).Frequency.Value/bare
			if grows := drop / last; !(drop > 0) || last > 0 && (grows < 1.2 || grows > 3) {
				t.Errorf("%g mm of coating on %g mm: %g, after %g", 1e3*thickness, 1e3*diameter, drop, last)
			}
			last = drop
		}
	}
}

// The sections that a fit uses know how insulators and metal change the winding's
// capacitance along it: their voltages are those of the drawing's own mode, and would be
// farther off without.
func TestLadderKnowsTheTube(t *testing.T) {
	c := tubed()
	c.Coating.Thickness, c.Coating.Permittivity = 8e-3, 6
	c.Ring = Ring{Diameter: 0.055, Thickness: 0.004, Height: 0.2, Slit: true}
	c.Slices = 40
	p := predict(t, c)
	off := func(s Shape) (worst float64) {
		var m Mode
		newLadder(t, s).Resonate(State{Inductance: p.Inductance.Value, Capacitance: p.WindingCapacitance.Value, Top: p.TopCapacitance.Value}, &m)
		for k, v := range m.Voltage {
			worst = math.Max(worst, math.Abs(v-p.Bare.Voltage[k+1]))
		}
		return worst
	}
	whole, plain := c.Shape(), c.Shape()
	plain.Insulators, plain.Metal = nil, Metal{}
	if with, without := off(whole), off(plain); with > 1e-3 || without < 10*with {
		t.Errorf("voltages are off by %g, without insulators and metal by %g", with, without)
	}
}

// A conducting rod floats in a winding at its mean potential: coaxial cylinders, by whose
// capacitance C the even line that stores as much has 3·C/12. With a tube of permittivity ε
// around the rod, 2πε0 l/(ln(b/a) + ln(c/b)/ε + ln(d/c)): the core sees the tube that it is in.
func TestCoreSeesTheTube(t *testing.T) {
	const a, b, c, d, length = 20e-3, 21e-3, 27.98e-3, 28.3e-3, 0.24
	for _, permittivity := range []float64{0, 2.3, 8} {
		coil := Coil{Turns: 640, Diameter: d, Length: length, Wire: d - c, Beads: Beads{Diameter: a, Length: length, Count: 1, Permeability: 100, Permittivity: math.Inf(1)}}
		gap := math.Log(d / a)
		if permittivity > 0 {
			coil.Former = Tube{Inner: b, Permittivity: permittivity}
			gap = math.Log(b/a) + math.Log(c/b)/permittivity + math.Log(d/c)
		}
		added := must.Get(coil.coreCapacitance(20)).In(t)
		near.Times(t, "a floating rod", added, 2*math.Pi*Eps0*length/gap/4, 0.05)
	}
}

// A solid rod in a winding, in one piece and as a core in a tube of the same material around
// it: what both add is what the whole does.
func TestRodInATube(t *testing.T) {
	const material = 10
	for ratio, within := range map[float64]float64{1: 0.04, 4: 0.01} {
		c := Coil{Turns: 100, Diameter: 1, Length: ratio, Wire: 0.003, Slices: 20, Former: Tube{Permittivity: material}}
		adds := func(c Coil) float64 {
			t.Helper()
			solved := must.Get(c.electric(20, math.Inf(1), normal())).In(t)
			sum := evenCapacitance(solved.maxwell(), c.ends(20))
			if c.Beads.Count > 0 {
				core := must.Get(c.coreCapacitance(20)).In(t)
				sum += core
			}
			return sum
		}
		whole := adds(c)
		c.Former.Inner = 0.6
		tube := adds(c)
		c.Beads = Beads{Diameter: 0.597, Length: ratio, Count: 1, Permeability: 2, Permittivity: material}
		both := adds(c)
		c.Former, c.Beads = Tube{}, Beads{}
		bare := adds(c)
		t.Logf("l/D %g: whole %.4g, in two pieces %.4g, the tube alone %.4g", ratio, whole-bare, both-bare, tube-bare)
		near.Times(t, "in two pieces", both-bare, whole-bare, within)
	}
}

// Former and coating touch the wire, within and outside: half a wire from the sheet of the
// wires' centres.
func TestInsulatorsTouchTheWire(t *testing.T) {
	c := Coil{Turns: 100, Diameter: 30e-3, Length: 0.1, Wire: 1e-3, Former: Tube{Inner: 25e-3, Permittivity: 3}, Coating: Coating{Thickness: 2e-3, Permittivity: 4}}
	want := []Tube{{25e-3, 29e-3, 3}, {31e-3, 35e-3, 4}}
	for i, u := range c.Insulators() {
		near.Times(t, "inner", u.Inner, want[i].Inner, 1e-12)
		near.Times(t, "outer", u.Outer, want[i].Outer, 1e-12)
		near.Times(t, "permittivity", u.Permittivity, want[i].Permittivity, 1e-12)
	}
	if n := len(c.Insulators()); n != 2 {
		t.Errorf("%d insulators", n)
	}
	c.Former.Outer = 28e-3
	near.Times(t, "outer as drawn", c.Insulators()[0].Outer, 28e-3, 1e-12)
}
