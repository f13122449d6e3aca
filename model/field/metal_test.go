package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// capacitance returns the capacitances between conductors, one a body [F].
func capacitance(t *testing.T, e electrodes, bodies ...[]ribbon) *mat.SymDense {
	t.Helper()
	for i, b := range bodies {
		e.add(b, share{i, 1})
	}
	solved := must.Get(e.solve()).In(t)
	return solved.maxwell()
}

// legendre returns P_n−½(cosh u) and Q_n−½(cosh u) by their integrals (NIST Digital Library of
// Mathematical Functions, 14.12.8 and 14.12.6, from memory).
func legendre(n, u float64) (p, q float64) {
	x, root := math.Cosh(u), math.Sinh(u)
	p = quad.Fixed(func(phi float64) float64 { return math.Pow(x+root*math.Cos(phi), n-0.5) }, 0, math.Pi, 400, nil, 0) / math.Pi
	q = quad.Fixed(func(w float64) float64 { return math.Pow(x+root*math.Cosh(w), -n-0.5) }, 0, 60, 4000, nil, 0)
	return p, q
}

// A ring of round section: 8ε0 c (Q_−½/P_−½ + 2 Σ Q_n−½/P_n−½), n = 1 …, of cosh u = a/r,
// c² = a² − r² (Hicks 1881; C. Snow, Formulas for Computing Capacitance and Inductance, NBS
// Circular 544, 1954; from memory), which is 4π²ε0 a/ln(8a/r) for a thin one.
func TestRingCapacitance(t *testing.T) {
	for _, ratio := range []float64{2, 4, 10, 50} {
		u, sum := math.Acosh(ratio), 0.0
		for n := range 12 {
			p, q := legendre(float64(n), u)
			if n > 0 {
				q *= 2
			}
			sum += q / p
		}
		want := 8 * Eps0 * math.Sqrt(ratio*ratio-1) * sum
		thin := 4 * math.Pi * math.Pi * Eps0 * ratio / math.Log(8*ratio)
		near.Times(t, "thin ring", thin, want, math.Log(ratio)/(ratio*ratio)) // of the series itself
		near.Times(t, "ring", capacitance(t, electrodes{n: 1}, torus(ratio, 1, 0, 16)).At(0, 0), want, 5e-4)
	}
}

// A disc: 8ε0 a (Maxwell); with a hole of half its radius, 0.98 of that (W. R. Smythe, J. Appl.
// Phys. 22, 1951, 1499, from memory).
func TestPlateCapacitance(t *testing.T) {
	near.Times(t, "disc", capacitance(t, electrodes{n: 1}, disc(0, 1, 0, 0.5, 0.1)).At(0, 0), 8*Eps0, 0.01)
	near.Times(t, "annulus", capacitance(t, electrodes{n: 1}, disc(0.5, 1, 0, 0.5, 0.1)).At(0, 0), 0.98*8*Eps0, 0.015)
}

// A winding in the middle of a box: 2πε0/ln(b/a) for each metre of coaxial cylinders.
func TestBoxIsCoaxial(t *testing.T) {
	const n, middle = 60, 15
	for _, ratio := range []float64{1.5, 3, 5} {
		c := Coil{Turns: 100, Diameter: 0.02, Length: 0.6, Metal: Metal{Box: Box{Diameter: 0.02 * ratio, Bottom: -0.01, Top: 0.61}}}
		solved := must.Get(c.electric(n, math.Inf(1), normal())).In(t)
		m := solved.maxwell()
		q := 0.0 // on the slices of the middle half, all ends at one volt
		for i := middle; i < n-middle; i++ {
			for j := range n {
				q += m.At(i, j)
			}
		}
		near.Times(t, "capacitance to the box", q/(c.Length/2), 2*math.Pi*Eps0/math.Log(ratio), 3e-3)
	}
}

// Two spheres of which one floats: c₁₁ − c₁₂²/c₂₂, with the coefficients of TestTwoSpheres
// (Maxwell; Jeans); in units of 4πε0a.
func TestFloatingSphere(t *testing.T) {
	for _, c := range []struct{ s, c11, c12 float64 }{
		{2.02, 1.966428, -1.271807}, {2.1, 1.583959, -0.883524}, {3, 1.146287, -0.389083}, {10, 1.010205, -0.101031},
	} {
		e := electrodes{n: 1, free: 1}
		e.add(sphere(1, 0, polar.grade(1)), share{0, 1})
		e.add(sphere(1, c.s, polar.grade(1)), share{1, 1})
		solved := must.Get(e.solve()).In(t)
		near.Times(t, "beside a floating sphere", solved.maxwell().At(0, 0)/(4*math.Pi*Eps0), c.c11-c.c12*c.c12/c.c11, 1e-3)
	}
}

// hooped returns closed metal, and how a loop of radius a at height z sees it.
func hooped(t *testing.T, m Metal, a, z float64) *shorts {
	t.Helper()
	return must.Get(m.shorts(1, []float64{100, 101}, Primary{Turns: 1, Diameter: 2 * a, Height: z, Wire: a / 1000})).In(t)
}

// A plate above the top takes what one as far below the foot does, from the slices counted from the other end; and a
// box that reaches as far beyond one end as another beyond the other.
func TestMetalAboveAndBelowIsAlike(t *testing.T) {
	z := []float64{0, 0.25, 0.5, 0.75, 1}
	takes := func(m Metal) *mat.SymDense { return must.Get(m.shorts(0.2, z, Primary{})).In(t).takes() }
	for _, c := range []struct {
		below, above Metal
		within       float64 // of hoops that are listed in another order
	}{
		{Metal{Plate: Plate{Diameter: 1, Hole: 0.02, Height: -0.03}}, Metal{Plate: Plate{Diameter: 1, Hole: 0.02, Height: 1.03}}, 1e-9},
		{Metal{Box: Box{Diameter: 1, Bottom: -0.05, Top: 1.2}}, Metal{Box: Box{Diameter: 1, Bottom: -0.2, Top: 1.05}}, 1e-3},
	} {
		below, above := takes(c.below), takes(c.above)
		for i := range 4 {
			for j := range 4 {
				near.Times(t, "taken", above.At(3-i, 3-j), below.At(i, j), c.within)
			}
		}
	}
}

// A closed ring of thin wire beside a loop takes M²/L from its inductance, with Maxwell's M
// and L = μ0 a (ln(8a/r) − 2) (Rosa and Grover 1912).
func TestRingIsAShortedTurn(t *testing.T) {
	const a, r = 0.05, 0.0005
	for _, loop := range []struct{ a, z float64 }{{0.02, 0.03}, {0.05, 0.1}, {0.1, 0}} {
		s := hooped(t, Metal{Ring: Ring{Diameter: 2 * a, Thickness: 2 * r}}, loop.a, loop.z)
		mutual := LoopMutual(a, loop.a, loop.z)
		near.Times(t, "taken by a ring", s.takes().At(1, 1), mutual*mutual/loopSelf(a, r), 3e-3)
	}
	if s, err := (Metal{Ring: Ring{Diameter: 0.1, Thickness: 0.001, Slit: true}}).shorts(0.02, []float64{0, 0.1}, Primary{}); s != nil || err != nil {
		t.Errorf("a slit ring carries current: %v", err)
	}
}

// A wide plate takes from a loop's inductance its mutual inductance with its image (Maxwell,
// A Treatise on Electricity and Magnetism, § 647 and on, images in a conducting sheet).
func TestPlateMirrorsALoop(t *testing.T) {
	for _, h := range []float64{0.2, 0.5, 1} {
		s := hooped(t, Metal{Plate: Plate{Diameter: 30, Height: -h}}, 1, 0)
		near.Times(t, "taken by a plate", s.takes().At(1, 1), LoopMutual(1, 1, 2*h), 0.01)
	}
}

// A long winding in a long closed box: the flux comes back between both, which leaves
// 1 − (a/b)² of it, by the areas.
func TestBoxReturnsTheFlux(t *testing.T) {
	const n = 60
	for _, ratio := range []float64{1.5, 3, 5} {
		c := Coil{Turns: 600, Diameter: 0.02, Length: 0.6, Metal: Metal{Box: Box{Diameter: 0.02 * ratio, Bottom: -0.02, Top: 0.62}}}
		near.Times(t, "flux in the middle", middle(t, c, n)/(c.Length/n), Mu0*math.Pi*0.01*0.01*(1-1/(ratio*ratio)), 4e-3)
	}
}

// middle returns the flux through the middle one of n slices of one turn per metre, with the
// same current in all.
func middle(t *testing.T, c Coil, n int) (sum float64) {
	t.Helper()
	m := must.Get(c.magnetic(n, true, normal())).In(t)
	for j := range n {
		sum += m.l.At(n/2, j)
	}
	sum += RoundWire(c.Turns, c.Diameter, c.Length, c.wire()) / float64(n) // a sheet has no wire
	return sum / math.Pow(c.Turns/c.Length, 2)
}

// A core in a long winding in a long box, by the areas: what flux is in the winding comes
// back outside it. A core and closed metal at once, whose effects don't add up.
func TestCoreInABox(t *testing.T) {
	const n = 40
	c := Coil{Turns: 600, Diameter: 0.02, Length: 1.2, Beads: Beads{Diameter: 0.01, Length: 1.16, Count: 1, Start: 0.02, Permeability: 9},
		Metal: Metal{Box: Box{Diameter: 0.04, Bottom: -0.01, Top: 1.21}}}
	// With the field H inside and −H' outside, H + H' = N I/l; no flux leaves the box:
	// H ((μ−1)c² + a²) = H' (b² − a²).
	inside, outside := (9-1)*0.005*0.005+0.01*0.01, 0.02*0.02-0.01*0.01
	near.Times(t, "flux in the middle", middle(t, c, n)/(c.Length/n), Mu0*math.Pi*inside*outside/(inside+outside), 0.01)
}

// What stands around is seen through the whole chain: a ladder of the same drawing rings as
// the drawing does, with metal, former and core.
func TestLadderKnowsMetal(t *testing.T) {
	c := boxed()
	p := predict(t, c)
	l := newLadder(t, c.Shape())
	s := State{Inductance: p.Inductance.Value, Capacitance: p.WindingCapacitance.Value, Top: p.TopCapacitance.Value}
	var m Mode
	l.Resonate(s, &m)
	near.Times(t, "bare", m.Omega/(2*math.Pi), p.Frequency.Value, 1e-6)
	near.Times(t, "coupling", m.Coupling, p.Primary.Air.Resonance.Value/p.Primary.Air.Windings.Value, 6e-3)
	s.Cores = []Stretch{{From: 0, To: 1, Gain: p.Core.Full.Value}}
	l.Resonate(s, &m)
	near.Times(t, "with the core", m.Omega/(2*math.Pi), p.Core.Frequency.Value, 4e-3)
	near.Times(t, "coupling with the core", m.Coupling, p.Primary.Core.Resonance.Value/p.Primary.Core.Windings.Value, 6e-3)
	t.Logf("bare %.5g, core %.5g of %.5g; gain %.4f; k %.4f %.4f, with the core %.4f %.4f", p.Frequency.Value, m.Omega/(2*math.Pi), p.Core.Frequency.Value, p.Core.Full.Value,
		p.Primary.Air.Windings.Value, p.Primary.Air.Resonance.Value, p.Primary.Core.Windings.Value, p.Primary.Core.Resonance.Value)
}

// A winding with a core over a wide plate: by the images in it (Maxwell), a second winding with
// the opposite current and a second core, as two beads of one body.
func TestCoreOverAPlate(t *testing.T) {
	const radius, length, thick = 0.5, 3.0, 0.6
	for _, h := range []float64{0.3, 0.6, 1.5} {
		for _, r := range []resolution{normal(), rough()} {
			twice := newBody(Beads{Diameter: 2 * thick * radius, Length: length, Spacing: 2 * h, Count: 2, Start: -h - length, Permeability: 50}, r)
			z := []float64{-h - length, -h, h, h + length}
			added := twice.added(t, radius, z)
			image := sheetSelf(2*radius, length) - (sheetSelf(2*radius, 2*length+2*h)-2*sheetSelf(2*radius, length+2*h)+sheetSelf(2*radius, 2*h))/2
			want := image + added.At(2, 2) - added.At(2, 0)

			c := Coil{Turns: length, Diameter: 2 * radius, Length: length, Wire: 1e-4, Metal: Metal{Plate: Plate{Diameter: 30, Height: -h}},
				Beads: Beads{Diameter: 2 * thick * radius, Length: length, Count: 1, Permeability: 50}}
			s := must.Get(c.shorts(c.Diameter, c.ends(1), Primary{})).In(t)
			b := newBody(c.Beads, r)
			d := must.Get(b.driven(c.Diameter, c.ends(1), Primary{}, s)).In(t)
			l := must.Get(b.response(d.p, 1./49, d.h, Mu0)).In(t)
			got := sheetSelf(2*radius, length) - s.takes().At(0, 0) + l.At(0, 0)
			near.Times(t, "inductance over a plate", got, want, 0.01)
			free := sheetSelf(2*radius, length) + b.added(t, radius, c.ends(1)).At(0, 0)
			near.Times(t, "what the plate takes", free-got, free-want, 0.05)
			t.Logf("h %g: %.4g of %.4g, free %.4g", h, got, want, free)
		}
	}
}

// A square box: a coaxial line with a square outer conductor has 59.95 Ω·ln(1.0787 b/d) (a
// published formula for thin inner conductors, from memory), as a round one of that width.
func TestSquareBox(t *testing.T) { near.Times(t, "diameter", SquareBox(1), 1.0787, 1e-4) }

// A primary of one turn in the electric field is a slit ring of the same sizes; grounded it
// adds more than floating, and that more than a primary that isn't counted.
func TestPrimaryIsARing(t *testing.T) {
	c := Coil{Turns: 300, Diameter: 0.03, Length: 0.15, Slices: 20}
	adds := func(change func(c *Coil)) float64 {
		coil := c
		change(&coil)
		solved := must.Get(coil.electric(20, math.Inf(1), normal())).In(t)
		return evenCapacitance(solved.maxwell(), coil.ends(20))
	}
	primary := func(p Potential) float64 {
		return adds(func(c *Coil) { c.Primary = Primary{Turns: 1, Diameter: 0.06, Height: 0.05, Wire: 0.006, Metal: p} })
	}
	ring := func(floating bool) float64 {
		return adds(func(c *Coil) {
			c.Ring = Ring{Diameter: 0.06, Thickness: 0.006, Height: 0.05, Floating: floating, Slit: true}
		})
	}
	bare := adds(func(*Coil) {})
	near.Times(t, "not counted", primary(NotCounted), bare, 1e-12)
	near.Times(t, "grounded", primary(Grounded)-bare, ring(false)-bare, 0.01)
	near.Times(t, "floating", primary(Floating)-bare, ring(true)-bare, 0.01)
	if !(primary(Grounded) > 1.02*bare && primary(Grounded) > primary(Floating) && primary(Floating) > bare) {
		t.Errorf("bare %g, floating %g, grounded %g", bare, primary(Floating), primary(Grounded))
	}
}

// What of a core is beyond a plate is screened from the winding: however long it is.
func TestCoreThroughThePlate(t *testing.T) {
	l := newLadder(t, boxed().Shape())
	s := State{Inductance: 1.2e-3, Capacitance: 9e-12, Top: 1e-12, Cores: []Stretch{{From: 0, To: 0.5, Gain: 1.9}}}
	var m Mode
	l.Resonate(s, &m)
	short := m.Omega
	s.Cores[0].Length = 0.238
	l.Resonate(s, &m)
	long := m.Omega
	s.Cores[0].Length = 0.4
	l.Resonate(s, &m)
	near.Times(t, "longer still", m.Omega, long, 1e-9)
	near.Times(t, "as far as the plate", long, short, 0.01)
}

// In a box that is drawn, the room isn't uncertain any more; and no hand comes into it.
func TestBoxInPrediction(t *testing.T) {
	c := boxed()
	c.Slices, c.Beads = 20, Beads{}
	p := predict(t, c)
	near.Times(t, "uncertainty", p.WindingCapacitance.Relative, math.Hypot(0.04, 0.02*c.Diameter/c.Length), 1e-9)
	if _, err := c.Predict(0.02); err == nil {
		t.Error("a hand in a closed box")
	}
	if h, err := c.Predict(0.2); err != nil || !(math.Abs(h.Hands[0].Capacitance.Value) <= 1e-17) {
		t.Errorf("a hand outside a closed box: %v, %v", h, err)
	}
	near.Times(t, "what the metal takes", c.MetalTakes(), 1-c.Inductance()/Coil{Turns: c.Turns, Diameter: c.Diameter, Length: c.Length, Wire: c.Wire}.Inductance(), 1e-9)
	if takes := c.MetalTakes(); !(takes > 0.05 && takes < 0.3) {
		t.Errorf("the metal takes %g", takes)
	}
	slit := c
	slit.Box, slit.Plate, slit.Ring.Slit = Box{}, Plate{}, true
	if takes := slit.MetalTakes(); takes != 0 {
		t.Errorf("a slit ring takes %g", takes)
	}
}
