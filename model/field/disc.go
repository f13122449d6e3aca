package field

import "math"

// A disc of radius a with unit charge density, and fields as of unit
// permittivity: potential = ∮ dq/4πR. ρ is the radius of the field point and z
// its height above the disc.

// discRadial is the radial field of a disc.
func discRadial(a, rho, z float64) float64 {
	w2 := (a+rho)*(a+rho) + z*z
	b, d := completeBD(4 * a * rho / w2)
	return a / (math.Pi * math.Sqrt(w2)) * (d - b)
}

// discAxial is what the axial field of a disc lacks of a plane's: the field is
// sgn(z)/2 − discAxial over the disc, −discAxial beside it. It is also the axial
// field of half a solenoid that ends at the disc (Derby and Olbert, Am. J. Phys.
// 78 (2010) 229, eq. 6), thus smooth for ρ < a.
func discAxial(a, rho, z float64) float64 {
	sum := a + rho
	w2 := sum*sum + z*z
	gamma := (a - rho) / sum
	if gamma == 0 { // from within: half of the step at the edge, and what is the same on either side
		return math.Copysign(0.25, z) + z/(2*math.Pi*math.Sqrt(w2))*completeK(sum*sum/w2, z*z/w2)
	}
	kc := math.Sqrt(((a-rho)*(a-rho) + z*z) / w2)
	return a * z / (math.Pi * sum * math.Sqrt(w2)) * cel(kc, gamma*gamma, 1, gamma)
}

// discPotential is the potential of a disc plus |z|/2: the primitive of
// discAxial over z for ρ < a. The potential U of a disc has the dimension of a
// length, so that Euler's theorem gives U = a ∂U/∂a + ρ ∂U/∂ρ + z ∂U/∂z; ∂U/∂a
// is the potential of a ring.
func discPotential(a, rho, z float64) float64 {
	return a*a/2*ringMean(a, rho, z) - rho*discRadial(a, rho, z) + z*discAxial(a, rho, z)
}
