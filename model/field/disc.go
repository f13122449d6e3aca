package field

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// The sources of the magnetic problem, each with unit density, and fields as
// of unit permittivity: potential = ∮ dq/4πr. ρ is the radius of the field
// point and z its height above the source.

// ringPotential is the potential of a ring of radius a that is charged by one
// per metre of height: of a cylinder's element, per dz.
func ringPotential(a, rho, z float64) float64 {
	w2 := (a+rho)*(a+rho) + z*z
	return a / (math.Pi * math.Sqrt(w2)) * mathext.CompleteK(4*a*rho/w2)
}

// stripRadial is the primitive of a cylindrical strip's radial field: of a
// strip over [z1, z2] it is stripRadial(z−z1) − stripRadial(z−z2). On the strip
// itself it is the mean of both sides.
func stripRadial(a, rho, z float64) float64 {
	sum := a + rho
	w2 := sum*sum + z*z
	gamma := (a - rho) / sum
	if gamma == 0 {
		return z / (2 * math.Pi * math.Sqrt(w2)) * mathext.CompleteK(4*a*rho/w2)
	}
	kc := math.Sqrt(((a-rho)*(a-rho) + z*z) / w2)
	return a * z / (math.Pi * sum * math.Sqrt(w2)) * cel(kc, gamma*gamma, 1, -gamma)
}

// discRadial is the radial field of a disc of radius a.
func discRadial(a, rho, z float64) float64 {
	w2 := (a+rho)*(a+rho) + z*z
	b, d := completeBD(4 * a * rho / w2)
	return a / (math.Pi * math.Sqrt(w2)) * (d - b)
}

// discAxial is what the axial field of a disc of radius a lacks of a plane's:
// the field is sgn(z)/2 − discAxial over the disc, −discAxial beside it. It is
// also the axial field of half a solenoid that ends at the disc (Derby and
// Olbert, Am. J. Phys. 78 (2010) 229, eq. 6), thus smooth for ρ < a.
func discAxial(a, rho, z float64) float64 {
	sum := a + rho
	w2 := sum*sum + z*z
	gamma := (a - rho) / sum
	kc := math.Sqrt(((a-rho)*(a-rho) + z*z) / w2)
	return a * z / (math.Pi * sum * math.Sqrt(w2)) * cel(kc, gamma*gamma, 1, gamma)
}

// discPotential is the potential of a disc of radius a plus |z|/2, the primitive
// of discAxial over z for ρ < a. The potential U of a disc has the dimension of
// a length, so that Euler's theorem gives U = a ∂U/∂a + ρ ∂U/∂ρ + z ∂U/∂z.
func discPotential(a, rho, z float64) float64 {
	return a*ringPotential(a, rho, z) - rho*discRadial(a, rho, z) + z*discAxial(a, rho, z)
}
