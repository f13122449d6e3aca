package resonator

import "math"

// The lowest mode is the one without a node: from the base to the top, voltage and
// current keep their signs (Sturm's oscillation theorem, from memory).

// withoutNode tells whether the wave at Ω = omega has no node but at the ends: it is
// then that of the lowest mode, or of a frequency below it.
func (line *Line) withoutNode(omega float64) bool {
	nodes, _, _ := line.wave(omega)
	return !nodes
}

// wave carries voltage and current from the base to the top at Ω = omega, and tells
// whether the voltage has changed its sign on the way.
func (line *Line) wave(omega float64) (nodes bool, v, i float64) {
	i = 1
	for k := range line.pieces {
		p := &line.pieces[k]
		phi := omega * math.Sqrt(p.l*p.c)
		if phi >= math.Pi {
			return true, v, i
		}
		sin, cos := math.Sincos(phi)
		sinc := 1.0
		if phi != 0 {
			sinc = sin / phi
		}
		v, i = v*cos+i*omega*p.l*sinc, i*cos-v*omega*p.c*sinc
		if !(v >= 0) { // with its sign, the current has changed its own before
			return true, v, i
		}
	}
	return false, v, i
}

// lowest returns the Ω of the lowest mode by halving, beginning at guess: below it,
// more current arrives at the top than the load takes, and nothing has changed its
// sign.
func (line *Line) lowest(guess, top float64) float64 {
	below := func(omega float64) bool {
		nodes, v, i := line.wave(omega)
		return !nodes && i > omega*top*v
	}
	lo, hi := 0.0, guess
	for hi > 0 && below(hi) {
		lo, hi = hi, 2*hi
	}
	for range 2000 { // 1100 halvings take a double to zero
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if below(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
