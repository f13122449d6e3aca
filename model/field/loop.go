package field

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// LoopMutual returns the mutual inductance [H] of two coaxial circular loops of
// radii a and b, a distance z apart [m]:
//
//	M = μ0 √(ab) [(2/κ − κ) K − (2/κ) E],  κ² = 4ab/((a+b)² + z²)
//
// (Maxwell, A Treatise on Electricity and Magnetism, 1873, § 701). With
// B = (E − κ'²K)/κ² and D = (K − E)/κ² the bracket is κ (D − B), which doesn't
// cancel for loops that are near. It is +Inf for loops that coincide.
func LoopMutual(a, b, z float64) float64 {
	sum := a + b
	m := 4 * a * b / (sum*sum + z*z)
	if m1 := ((a-b)*(a-b) + z*z) / (sum*sum + z*z); m1 < nearOne {
		return Mu0 * math.Sqrt(a*b) * (math.Log(16/m1)/2 - 2) // K − 2E
	}
	return Mu0 * math.Sqrt(a*b*m) * (mathext.CompleteD(m) - mathext.CompleteB(m))
}

// loopSelf returns the inductance [H] of a loop of round wire whose current
// flows on its surface, as it does at high frequency: μ0 a (ln(8a/r) − 2) for
// a radius r of the wire much below a, that of the loop (Rosa and Grover,
// Bull. Bur. Stand. 8 (1912) 1).
func loopSelf(a, r float64) float64 { return Mu0 * a * (math.Log(8*a/r) - 2) }

// loopSheet returns the flux linkage [H] of a loop of radius a at height h with a
// sheet of one turn per metre and radius b between the heights z0 and z1, by
// Gauss's rule, in halves where the loop is near.
func loopSheet(a, h, b, z0, z1 float64, depth int) float64 {
	mid, half := (z0+z1)/2, (z1-z0)/2
	if depth > 0 && math.Hypot(a-b, mid-h) < 3*half {
		return loopSheet(a, h, b, z0, mid, depth-1) + loopSheet(a, h, b, mid, z1, depth-1)
	}
	nodes, weights := gauss6()
	sum := 0.0
	for i, x := range nodes {
		sum += weights[i] * LoopMutual(a, b, mid+half*x-h)
	}
	return sum * half
}
