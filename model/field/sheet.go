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
