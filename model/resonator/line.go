package resonator

import (
	"math"

	"fitcoil/model/field"
)

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

// Resonate finds the lowest resonance of w and writes it to r. Every quantity
// is NaN where there is none: no capacitance at all, a negative or infinite
// element. Where the whole winding is of one piece, the energies have closed
// forms.
func (line *Line) Resonate(w Winding, r *Resonance) {
	r.reserve(len(w.Cores))
	switch {
	case len(w.Cores) == 0:
		r.uniform(w.Inductance, w.Capacitance, w.Top)
	case len(w.Cores) == 1 && w.Cores[0].From == 0 && w.Cores[0].To == 1:
		core := &w.Cores[0]
		if r.uniform(core.Gain*w.Inductance, w.Capacitance+core.Capacitance, w.Top) {
			r.Cores[0] = CoreShare{PerGain: -0.5, PerCapacitance: r.PerWinding}
		}
	default:
		line.chain(w, r)
	}
}

// chain writes the lowest resonance of w, in any number of pieces, to r.
//
// In Ω = ω√(L·C), with the whole L and C, all elements are fractions of one.
// From the base (V = 0, I = 1) each piece carries (V, I) upwards as
//
//	V' = V cos φ + I Ω l sinc φ,  I' = I cos φ − V Ω c sinc φ,  φ = Ω √(l c),
//
// forms that stay sound when l or c is zero. The shape found at any Ω is a
// trial shape for Rayleigh's quotient, Ω² ← Ω² W_M/W_E, whose error is the
// square of the shape's: the iteration converges quadratically and from above.
// Where elements differ so much that it falls onto a higher mode, the lowest is
// looked for by its having no node.
func (line *Line) chain(w Winding, r *Resonance) {
	l, c := line.cut(w)
	if !line.sound(l, c, w.Top) {
		r.void()
		return
	}
	top := w.Top / c
	omega, settled := line.guess(top), false
	var v, electric, magnetic float64
	for range 60 {
		v, electric, magnetic = line.sweep(omega, top)
		next := omega * math.Sqrt(magnetic/electric)
		step := math.Abs(next - omega)
		omega = next
		// The error left is about this step squared, and that of the energies
		// about this step.
		if settled = !(step > 1e-9*omega); settled {
			break
		}
	}
	if nodes, _, _ := line.wave(omega); nodes || !settled {
		omega = line.lowest(omega, top)
		v, electric, magnetic = line.sweep(omega, top)
	}
	line.report(r, omega, l, c, v, electric, magnetic)
}

// The lowest mode is the one without a node: from the base to the top, voltage and
// current keep their signs (Sturm's oscillation theorem, from memory).

// wave carries voltage and current from the base to the top at Ω = omega, and tells
// whether the voltage has changed its sign on the way: without such a node it is the wave of
// the lowest mode, or of a frequency below it.
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
