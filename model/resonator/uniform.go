package resonator

import (
	"math"

	"fitcoil/model/field"
)

// leastTop is that of the ladder.
const leastTop = field.LeastTop

// uniform writes the lowest resonance of one uniform line, of inductance l and
// capacitance winding with top at its free end, to r, but for the cores. It
// reports whether there is one.
//
// In units of C = winding + top and with θ = Ω√c, for the shares c and t of
// winding and top, cot θ = θ·t/c reads
//
//	G(Ω) = cos θ − t Ω² sinc θ = 0
//	G' = −Ω (sinc θ + t cos θ),  G″ = t θ² sinc θ − (1 + t) cos θ
//
// which holds down to c = 0. Halley's rule multiplies the digits by three: from
// uniformGuess one step is enough. At the root sin²θ/c = 1/(c + Ω²t²), so that
// the energies need no further sines: electric and magnetic, twice their means
// for a base current of 1, are both ½(1 + t/(c + Ω²t²)).
func (r *Resonance) uniform(l, winding, top float64) bool {
	whole := winding + top
	if !(l > 0 && whole > 0 && winding >= 0 && top >= -leastTop*winding) || math.IsInf(l, 0) || math.IsInf(whole, 0) {
		r.void()
		return false
	}
	c, t := winding/whole, top/whole
	omega := uniformGuess(t)
	root := math.Sqrt(c)
	for range 60 {
		theta := omega * root
		sin, cos := math.Sincos(theta)
		sinc := 1.0
		if theta > 0 {
			sinc = sin / theta
		}
		g := cos - t*omega*omega*sinc
		slope := -omega * (sinc + t*cos)
		curvature := t*theta*theta*sinc - (1+t)*cos
		step := g * slope / (slope*slope - 0.5*g*curvature)
		omega -= step
		if !(math.Abs(step) > 1e-5*omega) { // the error left is about its cube
			break
		}
	}
	square := omega * omega
	v := c + square*t*t // 1/V² at the top
	n := v + t
	r.Omega = omega / math.Sqrt(l*whole)
	r.Capacitance = 0.5 * n * whole
	r.BaseCurrent = math.Sqrt(whole / l * v)
	r.Coupling = atFoot(r.BaseCurrent, l, r.Capacitance)
	r.PerTop = -1 / (n * whole)
	// Along the winding V² is (1 − t/v)/2c in the mean. Where that cancels, the
	// series doesn't.
	if q := square * c; q < seriesBelow*seriesBelow {
		r.PerWinding = -square * meanSquareSine(q) * v / (n * whole)
	} else {
		r.PerWinding = -0.5 * (v - t) / (c * n * whole)
	}
	return true
}

// uniformGuess returns the Ω of a line with the share t of its capacitance at the
// top, to 3e-6 of itself.
func uniformGuess(t float64) float64 {
	square, _ := GuessSquare(t)
	return 1 / math.Sqrt(square)
}

// GuessSquare returns 1/Ω², from 4/π² at t = 0 to 1 at t = 1, by a rational
// function with coefficients fitted to the roots (TestGuessSquareIsFittedAgain), and
// d ln(1/Ω²)/dt.
func GuessSquare(t float64) (square, slope float64) {
	const p0, p1, p2, p3, q1, q2 = 0.40528276, 1.52822118, 2.84360227, 2.25892802, 2.76994291, 3.26611352
	p, q := p0+t*(p1+t*(p2+t*p3)), 1+t*(q1+t*q2)
	return p / q, (p1+t*(2*p2+t*3*p3))/p - (q1+t*2*q2)/q
}

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
