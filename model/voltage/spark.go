package voltage

import "math"

// needles are sparking distances in air between needle points [m] at peak voltages [V],
// 25 °C, 760 mmHg (American Institute of Electrical Engineers, as reprinted). Rods and
// edges spark at about these, rounded bodies at more.
func needles() (volts, metres []float64) {
	return []float64{5e3, 10e3, 15e3, 20e3, 30e3, 50e3, 100e3}, []float64{4.2e-3, 8.5e-3, 13.0e-3, 17.5e-3, 26.9e-3, 52e-3, 155e-3}
}

const (
	// leastSpark is the least voltage at which air of any thickness sparks [V]: the
	// minimum of Paschen's curve, 7.5 µm at one atmosphere.
	leastSpark = 327
	// radio is what is left of a sparking voltage at radio frequency: Peek's spheres
	// lose 12 to 26 % from 60 Hz to 40 kHz.
	radio = 0.75
)

// Spark returns a peak voltage [V] at which air gaps of that length [m] have been seen
// to spark at radio frequency: three quarters of the needle figures, which run straight
// to nothing below 4.2 mm, and of Paschen's minimum at the least. It is no limit below
// which a gap holds.
func Spark(gap float64) float64 {
	volts, metres := needles()
	return radio * math.Max(leastSpark, along(gap, metres, volts))
}

// Reach returns the gap [m] that Spark gives for a voltage [V]: how far a point may
// spark to another. A train of sparks reaches farther than one.
func Reach(v float64) float64 {
	volts, metres := needles()
	return along(v/radio, volts, metres)
}

// along returns y at x, straight from nothing through the points, and on beyond them.
func along(x float64, xs, ys []float64) float64 {
	x0, y0 := 0.0, 0.0
	for i := range xs {
		if x <= xs[i] || i == len(xs)-1 {
			return y0 + (x-x0)*(ys[i]-y0)/(xs[i]-x0)
		}
		x0, y0 = xs[i], ys[i]
	}
	return y0
}

// Gap is air, or what else is there, between two things at different voltages.
type Gap struct {
	Kind     Kind
	Lower    int     // for BetweenBeads, the number of the lower bead, from 1
	Height   float64 // m, of its middle above the grounded end
	Share    float64
	Distance float64 // m
}

// Kind says what a gap is between.
type Kind int

// Kinds of gaps.
const (
	BetweenTurns Kind = iota // the distance is between bare wires; enamel and air share it
	BetweenBeads
	CoreToWinding // the former's wall is in it
	ToPrimary     // from winding or ball, all four
	ToRing
	ToPlate
	ToBox
)

// Spark returns a peak voltage [V] at which gaps like g have been seen to spark.
func (g Gap) Spark() float64 {
	if g.Kind == BetweenTurns {
		return Spark(0)
	}
	return Spark(g.Distance)
}
