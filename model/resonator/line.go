package resonator

import "math"

// Line is the winding as a chain of uniform lines: base grounded, a lumped
// capacitance at the free end. One piece of line gives
//
//	cot θ = θ·Ct/Cw,  θ = ω √(L·Cw)
//
// with the limits θ = π/2 (no top load) and ω = 1/√(L·Ct) (all capacitance at
// the top: the lumped model is this same chain). A core makes a piece of its
// own. Pieces have no mutual inductance.
//
// A Line keeps its working memory from call to call: use one per goroutine.
type Line struct {
	pieces []piece
}

// piece is a stretch of uniform line.
type piece struct {
	length float64 // fraction of the winding
	l, c   float64 // fractions of the coil's whole inductance and capacitance
	core   int     // index of the core that fills it, or −1

	meanVV   float64 // mean of V² along the piece, in the last sweep
	magnetic float64 // magnetic energy in the last sweep
}

// report writes to r what the last sweep, at Ω = omega, says.
func (line *Line) report(r *Resonance, omega, l, c, v, electric, magnetic float64) {
	r.Omega = omega / math.Sqrt(l*c)
	r.Capacitance = c * electric / (v * v)
	r.BaseCurrent = math.Sqrt(c/l) / v
	r.Coupling = atFoot(r.BaseCurrent, l, r.Capacitance)
	r.PerTop = -0.5 * v * v / electric / c
	r.PerWinding = 0
	clear(r.Cores)
	for _, p := range line.pieces {
		perFarad := -0.5 * p.meanVV / electric / c
		r.PerWinding += p.length * perFarad
		if p.core >= 0 {
			r.Cores[p.core] = CoreShare{PerGain: -0.5 * p.magnetic / magnetic, PerCapacitance: perFarad}
		}
	}
}

// cut divides w into pieces and returns the whole inductance and capacitance.
func (line *Line) cut(w Winding) (l, c float64) {
	line.pieces = line.pieces[:0]
	add := func(from, to, gain, extra float64, core int) {
		if to > from {
			n := to - from
			line.pieces = append(line.pieces, piece{
				length: n, l: n * gain * w.Inductance, c: n*w.Capacitance + extra, core: core,
			})
		}
	}
	at := 0.0
	for i, s := range w.Cores {
		add(at, s.From, 1, 0, -1)
		add(s.From, s.To, s.Gain, s.Capacitance, i)
		at = math.Max(at, s.To)
	}
	add(at, 1, 1, 0, -1)
	c = w.Top
	for _, p := range line.pieces {
		l += p.l
		c += p.c
	}
	for i := range line.pieces {
		line.pieces[i].l /= l
		line.pieces[i].c /= c
	}
	return l, c
}

// sound tells whether the pieces make a resonator.
func (line *Line) sound(l, c, top float64) bool {
	if !(l > 0 && c > 0 && top >= -leastTop*(c-top)) || math.IsInf(l, 0) || math.IsInf(c, 0) {
		return false
	}
	for _, p := range line.pieces {
		if !(p.l >= 0 && p.c >= 0) {
			return false
		}
	}
	return true
}

// guess returns an Ω near the resonance: Rayleigh's quotient of the shape that a
// direct current gives, in which V rises with the inductance passed. A uniform
// line then counts as a third of its capacitance, where it is 4/π² when bare
// and tends to a third with load; the correction follows that to 0.1 % in Ω.
func (line *Line) guess(top float64) float64 {
	v, electric := 0.0, 0.0
	for _, p := range line.pieces {
		w := v + p.l
		electric += p.c * (v*v + v*w + w*w) / 3
		v = w
	}
	const bare = 12/(math.Pi*math.Pi) - 1
	return 1 / math.Sqrt(electric*(1+bare*(1-top)/(1+2*top))+top*v*v)
}

// sweep carries the mode from the base to the top at Ω = omega and returns the
// top voltage and twice the mean energies, all in units of a base current of 1.
func (line *Line) sweep(omega, top float64) (v, electric, magnetic float64) {
	i := 1.0
	for k := range line.pieces {
		p := &line.pieces[k]
		phi := omega * math.Sqrt(p.l*p.c)
		sin, cos := math.Sincos(phi)
		a, b, d := meanSquares(phi, sin, cos)
		sinc := 1.0
		if phi != 0 {
			sinc = sin / phi
		}
		zi, yv := i*omega*p.l, v*omega*p.c
		p.meanVV = v*v*a + 2*v*zi*d + zi*zi*b
		p.magnetic = p.l * (i*i*a - 2*i*yv*d + yv*yv*b)
		electric += p.c * p.meanVV
		magnetic += p.magnetic
		v, i = v*cos+zi*sinc, i*cos-yv*sinc
	}
	return v, electric + top*v*v, magnetic
}
