package field

import "math"

// Nagaoka returns Nagaoka's coefficient K of a cylindrical current sheet, by
// which L = μ0 N² (π D²/4) K/l, for u = D/l: diameter over length, both of the
// sheet. It falls from 1 at u = 0 as 2/(πu) (ln 4u − ½) for a narrow ring.
//
// With k² = u²/(1+u²), k'² = 1 − k² and the complete integrals K(k), E(k),
//
//	K_L = 4/(3π k') [ (k'²/k²)(K(k) − E(k)) + E(k) − k ]
//
// (Lorenz 1879; Nagaoka, J. Coll. Sci. Tokyo 27 (1909) art. 6). The bracket
// cancels at both ends, where expansions take its place.
func Nagaoka(u float64) float64 {
	switch {
	case u < 1e-2: // the next term, 5u⁶/1024, is below 1e-14
		u2 := u * u
		return 1 - 4*u/(3*math.Pi) + u2/8 - u2*u2/64
	case u > 100:
		return nagaokaRing(u)
	}
	q := 1 / (1 + u*u)
	k2 := u * u * q
	b, d := completeBD(k2)
	// (K − E)/k² = D and E = B + k'²D
	return 4 / (3 * math.Pi * math.Sqrt(q)) * (2*q*d + b - math.Sqrt(k2))
}

// nagaokaRing is Nagaoka's coefficient of a sheet much shorter than wide, by
// the expansions of K and E in q = k'² (DLMF 19.12.1-2); terms in q⁴ are left
// out.
func nagaokaRing(u float64) float64 {
	q := 1 / (1 + u*u)
	k2 := 1 - q
	l := math.Log(4 * math.Sqrt(1+u*u))
	k := l + q*((l-1)/4+q*9./64*(l-7./6))
	e := (l-0.5)/2 + q*(3./16*(l-13./12)+q*15./128*(l-6./5)) // (E − 1)/q
	return 4 * math.Sqrt(q) / (3 * math.Pi) * ((k-1-q*e)/k2 + e + 1/(1+math.Sqrt(k2)))
}

// SheetInductance returns the inductance [H] of a cylindrical current sheet
// of the given turns, diameter [m] and length [m].
func SheetInductance(turns, diameter, length float64) float64 {
	return turns * turns * sheetSelf(diameter, length) / (length * length)
}

// sheetSelf returns the self-inductance of a sheet with one turn per metre
// [H m²]: the function whose second differences are the inductances between
// slices of a sheet. It is 0 at length 0.
func sheetSelf(diameter, length float64) float64 {
	if length == 0 {
		return 0
	}
	return Mu0 * math.Pi / 4 * diameter * diameter * length * Nagaoka(diameter/length)
}

// sheetMutual returns the function M(z) [H m²] whose second differences are
// the mutual inductances of coaxial sheets of one turn per metre and radii a ≠ b
// [m]: of [z1, z2] and [z3, z4] it is
//
//	M(z1−z4) + M(z2−z3) − M(z1−z3) − M(z2−z4).
//
// Neumann's integral of two loops, integrated over both lengths and twice by
// parts over the angle between them, becomes
//
//	M(z) = ½ μ0 a²b² ∮ sin²φ √(s²+z²)/s² dφ,  s² = a² + b² − 2ab cos φ,
//
// and with φ = π − 2θ three complete elliptic integrals.
func sheetMutual(a, b, z float64) float64 {
	sum := a + b
	w2 := sum*sum + z*z
	m := 4 * a * b / w2
	q := 4 * a * b / (sum * sum)
	p := (a - b) * (a - b) / (sum * sum)
	kb, kd := completeBD(m)
	third := cel(math.Sqrt(((a-b)*(a-b)+z*z)/w2), p, 1, 1)
	near := sinCosSquared(m, kb, kd)    // ∫ sin²θ cos²θ/Δ
	far := kd/q + p/(q*q)*(kb+kd-third) // ∫ sin²θ cos²θ/((cos²θ+p sin²θ)Δ)
	return 8 * Mu0 * a * a * b * b / math.Sqrt(w2) * (near + z*z/(sum*sum)*far)
}

// sinCosSquared returns ∫sin²θ cos²θ/Δ over [0, π/2], given ∫cos²θ/Δ and
// ∫sin²θ/Δ.
func sinCosSquared(m, b, d float64) float64 {
	if m < 1e-3 { // the closed form cancels
		return math.Pi / 16 * (1 + m*(1./4+m*(15./128+m*35./512)))
	}
	return ((2-m)*(b+(1-m)*d) - 2*(1-m)*(b+d)) / (3 * m * m)
}
