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
