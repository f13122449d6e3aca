package field

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// On the axis of a disc with unit charge density the potential is (√(a²+z²) −
// |z|)/2 and the field ½(1 − z/√(a²+z²)) (Smythe, Static and Dynamic
// Electricity).
func TestDiscOnAxis(t *testing.T) {
	const a = 0.7
	for _, z := range []float64{-2, -0.1, 0.3, 5} {
		r := math.Hypot(a, z)
		if got := discPotential(a, 0, z); !(math.Abs(got-r/2) <= 1e-15*r) {
			t.Errorf("potential at %g: %g, want %g", z, got, r/2)
		}
		if got, want := discAxial(a, 0, z), z/(2*r); !(math.Abs(got-want) <= 1e-15) {
			t.Errorf("field at %g: %g, want %g", z, got, want)
		}
	}
}

// The fields are the potential's derivatives, and the potential is a solution
// of Laplace's equation.
func TestDiscField(t *testing.T) {
	const a, h = 0.7, 1e-4
	for _, p := range [][2]float64{{0.2, 0.3}, {0.5, -0.1}, {0.69, 0.05}, {0.3, 4}} {
		rho, z := p[0], p[1]
		u := func(dr, dz float64) float64 { return discPotential(a, rho+dr*h, z+dz*h) }
		if got, want := (u(0, 1)-u(0, -1))/(2*h), discAxial(a, rho, z); !(math.Abs(got-want) <= 1e-6) {
			t.Errorf("%v: ∂U/∂z = %g, field %g", p, got, want)
		}
		if got, want := -(u(1, 0)-u(-1, 0))/(2*h), discRadial(a, rho, z); !(math.Abs(got-want) <= 1e-6) {
			t.Errorf("%v: −∂U/∂ρ = %g, field %g", p, got, want)
		}
		laplace := (u(1, 0)+u(-1, 0)+u(0, 1)+u(0, -1)-4*u(0, 0))/(h*h) + (u(1, 0)-u(-1, 0))/(2*h*rho)
		if !(math.Abs(laplace) <= 1e-4) {
			t.Errorf("%v: ∇²U = %g", p, laplace)
		}
	}
}

// Right above a disc's edge the field is that from within and from outside, of which the second lacks half of
// a plane's less; so does a hoop as wide as the core that it stands above.
func TestFieldAboveTheEdge(t *testing.T) {
	for _, z := range []float64{0.4, -0.01, 7} {
		within, outside := discAxial(0.7, 0.7*(1-1e-9), z), discAxial(0.7, 0.7*(1+1e-9), z)
		near.Times(t, "field", discAxial(0.7, 0.7, z), within, 1e-6)
		near.Times(t, "from outside", outside, within-math.Copysign(0.5, z), 1e-6)
		near.Times(t, "potential of a hoop, to either side", hoopPotential(0.7, 0.7*(1+1e-9), z), hoopPotential(0.7, 0.7*(1-1e-9), z), 1e-6)
		// far off that of a dipole, a² cos θ/4R², but for the half turn that it stands on either side of the hoop
		dipole := 0.7 * 0.7 / 4 * z / math.Pow(1+z*z, 1.5) / 1e4
		near.To(t, "potential far off", hoopPotential(0.7, 100, 100*z)+math.Copysign(0.5, z), dipole, 1e-3*math.Abs(dipole))
	}
}

// A box whose floor is cut into hoops as wide as the core is one like those a little narrower and wider.
func TestBoxAsWideAsItComes(t *testing.T) {
	c := Coil{Turns: 400, Diameter: 0.02, Length: 0.1, Wire: 0.2e-3, Slices: 12}
	var f []float64
	for _, wide := range []float64{59.9e-3, 60e-3, 60.1e-3} {
		c.Box = Box{Diameter: wide, Bottom: -0.05, Top: 0.15}
		f = append(f, must.Get(c.Predict()).In(t).Frequency.Value)
	}
	near.Times(t, "frequency", f[1], math.Sqrt(f[0]*f[2]), 1e-5)
}
