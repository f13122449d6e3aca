package resonator

// meanSquares returns the means over x in [0, 1] of cos² φx, (sin φx/φ)² and
// cos φx · sin φx/φ.
func meanSquares(phi, sin, cos float64) (a, b, d float64) {
	if phi < seriesBelow { // b's closed form cancels
		q := phi * phi
		b = meanSquareSine(q)
		return 1 - q*b, b, 0.5 * (1 - q*(1./3-q*(2./45-q*(1./315-q*2/14175))))
	}
	a = 0.5 * (1 + sin*cos/phi)
	return a, (1 - a) / (phi * phi), 0.5 * sin * sin / (phi * phi)
}

// seriesBelow is the φ below which series take over: their next terms are below
// 1e-17 there.
const seriesBelow = 0.1

// meanSquareSine returns the mean of (sin φx/φ)² for q = φ² below seriesBelow².
func meanSquareSine(q float64) float64 {
	return 1./3 - q*(1./15-q*(2./315-q*(1./2835-q*2/155925)))
}
