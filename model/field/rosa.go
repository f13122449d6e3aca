package field

import "math"

// RoundWire returns what the inductance of a winding of round wire falls short
// of its current sheet's [H]: μ0 (D/2) N (A + B), negative when the wire is
// thin. diameter is the winding's from wire centre to wire centre, wire the
// bare wire's, length = turns × pitch, all in m.
//
// Source: Rosa, Bull. Bur. Stand. 2 (1906) 161; Rosa and Grover, Bull. Bur.
// Stand. 8 (1912) 1 (S169). A takes the current to be uniform in the wire,
// which holds at low frequency only.
func RoundWire(turns, diameter, length, wire float64) float64 {
	return Mu0 * diameter / 2 * turns * (rosaA(wire*turns/length) + rosaB(turns))
}

// rosaA is Rosa's A for the ratio of bare wire diameter to pitch: the self
// term, from the geometric mean distances of a circle's area and of a line.
func rosaA(ratio float64) float64 { return 1.25 - math.Ln2 + math.Log(ratio) }

// rosaB is Rosa's B(N) = (2/N) Σ (N−n) δ_n, n = 1 … N−1: what wires at
// distance n pitches couple less than strips do. It runs linearly between whole
// numbers of turns.
func rosaB(turns float64) float64 {
	whole := math.Floor(turns)
	sum, first := 0.0, 0.0
	for n := 1.0; n < whole; n++ {
		d := rosaDelta(n)
		sum += (whole - n) * d
		first += d
	}
	if whole < 1 {
		return 0
	}
	at := 2 * sum / whole
	if turns == whole {
		return at
	}
	next := 2 * (sum + first + rosaDelta(whole)) / (whole + 1)
	return at + (turns-whole)*(next-at)
}

// rosaDelta returns ln n − ln(geometric mean distance of two strips one pitch
// wide, n pitches apart) in units of a pitch, = 1/12n² + 1/60n⁴ + 1/168n⁶ + ….
func rosaDelta(n float64) float64 {
	if n > 3 { // the closed form cancels; the next term is 1/660n¹⁰
		q := 1 / (n * n)
		return q * (1./12 + q*(1./60+q*(1./168+q*(1./360+q*(1./660+q/1092)))))
	}
	square := func(x float64) float64 {
		if x == 0 {
			return 0
		}
		return x * x * math.Log(x) / 2
	}
	return math.Log(n) + 1.5 - square(n+1) + 2*square(n) - square(n-1)
}
