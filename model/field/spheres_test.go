package field

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// ball returns the capacitance matrix, in units of 4πε0a, of spheres of unit
// radius at the heights given, with a grounded plane at 0 if there is one.
func ball(t *testing.T, r resolution, plane bool, heights ...float64) [][]float64 {
	t.Helper()
	e := electrodes{n: len(heights), ground: plane}
	for k, z := range heights {
		e.add(sphere(1, z, r.grade(1)), share{k, 1})
	}
	solved := must.Get(e.solve()).In(t)
	m := solved.maxwell()
	c := make([][]float64, len(heights))
	for i := range c {
		for j := range heights {
			c[i] = append(c[i], m.At(i, j)/(4*math.Pi*Eps0))
		}
	}
	return c
}

// polar is fine enough at the poles for spheres that nearly touch.
var polar = resolution{edge: 0.003, most: 0.02, growth: 1.3}

// Isolated sphere: 4πε0 r. Ball diameters in mm, capacitances in pF.
func TestSphere(t *testing.T) {
	for _, c := range []struct{ mm, pF float64 }{
		{5, 0.2782}, {10, 0.5563}, {12, 0.6676}, {15, 0.8345}, {20, 1.1127}, {30, 1.6690}, {50, 2.7816}, {100, 5.5633},
	} {
		e := electrodes{n: 1}
		e.add(sphere(c.mm*1e-3/2, 0, spherical().grade(1)), share{0, 1})
		solved := must.Get(e.solve()).In(t)
		if got := 1e12 * solved.maxwell().At(0, 0); !(math.Abs(got-c.pF) <= 6e-5*math.Max(1, c.pF)) {
			t.Errorf("%g mm: %.5f pF, want %.4f", c.mm, got, c.pF)
		}
	}
}

// Sphere over a grounded plane: C/4πε0a = sinh b Σ 1/sinh nb, cosh b = h/a
// (Smythe; Jeans).
func TestSphereOverPlane(t *testing.T) {
	for _, c := range []struct{ h, ratio float64 }{
		{1.01, 3.238235}, {1.05, 2.467483}, {1.1, 2.155086}, {1.25, 1.778396}, {1.5, 1.535371}, {2, 1.341060},
		{3, 1.201155}, {5, 1.111236}, {10, 1.052639}, {20, 1.025641}, {50, 1.010101}, {100, 1.005025},
	} {
		near.Times(t, "sphere over plane", ball(t, polar, true, c.h)[0][0], c.ratio, 1e-3)
	}
}

// Two equal spheres (Maxwell; Jeans).
func TestTwoSpheres(t *testing.T) {
	for _, c := range []struct{ s, c11, c12 float64 }{
		{2.02, 1.966428, -1.271807}, {2.1, 1.583959, -0.883524}, {2.5, 1.253023, -0.525373},
		{3, 1.146287, -0.389083}, {4, 1.071821, -0.269238}, {6, 1.029438, -0.171717},
		{10, 1.010205, -0.101031}, {20, 1.002513, -0.050126},
	} {
		m := ball(t, polar, false, 0, c.s)
		near.Times(t, "c11", m[0][0], c.c11, 1e-3)
		near.Times(t, "c12", m[0][1], c.c12, 1e-3)
	}
}

// The error falls as panels are halved.
func TestSphereConvergence(t *testing.T) {
	last := math.Inf(1)
	for _, n := range []int{8, 16, 32} {
		edges := make([]float64, n+1)
		for i := range edges {
			edges[i] = float64(i) / float64(n)
		}
		e := electrodes{n: 1, ground: true, plane: -1.5}
		e.add(sphere(1, 0, edges), share{0, 1})
		solved := must.Get(e.solve()).In(t)
		off := math.Abs(solved.maxwell().At(0, 0)/(4*math.Pi*Eps0)/1.535371 - 1)
		t.Logf("%d bands: %.2g off", n, off)
		if off > last/3 {
			t.Errorf("%d bands: %.2g off, with half as many %.2g", n, off, last)
		}
		last = off
	}
}

func TestTouchingConductors(t *testing.T) {
	e := electrodes{n: 2}
	e.add(sphere(1, 0, spherical().grade(1)), share{0, 1})
	e.add(sphere(1, 0, spherical().grade(1)), share{1, 1})
	if _, err := e.solve(); err == nil {
		t.Error("two spheres in one place: expected an error")
	}
}

// speck is a winding so small beside what hangs over it that only this counts.
func speck(ball, gap, height float64) Coil {
	return Coil{Turns: 2, Diameter: 2e-5, Length: 2e-5, Wire: 5e-6, Ball: ball, BallGap: gap, Height: height, Slices: 2}
}

// onTop returns the charge on the top of a coil at a potential of one volt, its foot and
// the hand grounded.
func onTop(t *testing.T, c Coil, hand float64) float64 {
	t.Helper()
	solved := must.Get(c.electrodes(2, hand, normal()).solve()).In(t)
	return solved.maxwell().At(1, 1)
}

// A coil's height is that of its foot above a grounded plane, whose distance from a ball
// is then known: as for TestSphereOverPlane.
func TestHeightOfACoil(t *testing.T) {
	const a = 0.02
	for _, c := range []struct{ h, want float64 }{{1.5, 1.535371}, {2, 1.341060}, {5, 1.111236}} {
		coil := speck(2*a, 1e-4, 0)
		coil.Height = c.h*a - a - coil.BallGap - coil.Length
		near.Times(t, "ball over a plane", onTop(t, coil, math.Inf(1))/(4*math.Pi*Eps0*a), c.want, 2e-3)
	}
	near.Times(t, "ball without a plane", onTop(t, speck(2*a, 1e-4, 0), math.Inf(1))/(4*math.Pi*Eps0*a), 1, 2e-3)
}

// A hand is a grounded sphere of 100 mm if no other diameter is given, and its distance is
// that between the surfaces: beside an equal ball c₁₁ of two spheres (Maxwell; Jeans; values
// as for TestTwoSpheres).
func TestHandOfACoil(t *testing.T) {
	const a = 0.05
	for _, c := range []struct{ s, want float64 }{{2.1, 1.583959}, {2.5, 1.253023}, {4, 1.071821}} {
		coil := speck(2*a, 1e-4, 0)
		near.Times(t, "hand over a ball", onTop(t, coil, (c.s-2)*a)/(4*math.Pi*Eps0*a), c.want, 2e-3)
		coil.Ball, coil.Hand = a, a // half of everything
		near.Times(t, "half a hand over half a ball", onTop(t, coil, (c.s-2)*a/2)/(2*math.Pi*Eps0*a), c.want, 2e-3)
	}
}
