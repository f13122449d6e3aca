package field

import (
	"math"
	"sort"
)

// medhurst is the table of R. G. Medhurst (Wireless Engineer 24, 1947, 35 and 80; as
// reproduced in Radiotron Designer's Handbook, 4th ed., chapter 11): length over
// diameter of single-layer coils with one end earthed, and their self-capacitance
// over the diameter [pF/cm]. Stated to 5 %.
var medhurst = [...][2]float64{
	{0.1, 0.96}, {0.15, 0.79}, {0.2, 0.70}, {0.25, 0.64}, {0.3, 0.60}, {0.35, 0.57}, {0.4, 0.54}, {0.45, 0.52},
	{0.5, 0.50}, {0.6, 0.48}, {0.7, 0.47}, {0.8, 0.46}, {0.9, 0.46}, {1, 0.46}, {1.5, 0.47}, {2, 0.50},
	{2.5, 0.56}, {3, 0.61}, {3.5, 0.67}, {4, 0.72}, {4.5, 0.77}, {5, 0.81}, {6, 0.92}, {7, 1.01},
	{8, 1.12}, {9, 1.22}, {10, 1.32}, {15, 1.86}, {20, 2.36}, {25, 2.9}, {30, 3.4}, {40, 4.6}, {50, 5.8},
}

// Medhurst returns the self-capacitance [F] that Medhurst measured of windings of
// the shape given [m], with the uncertainty he states, between his points straight
// over the logarithm of the shape. It is no model of a coil but a cross-check: see
// docs/field.md. ok is false beyond the ends of the table.
func Medhurst(diameter, length float64) (v Value, ok bool) {
	ratio := length / diameter
	last := len(medhurst) - 1
	if !(ratio >= medhurst[0][0] && ratio <= medhurst[last][0]) {
		return Value{}, false
	}
	k := min(sort.Search(last, func(i int) bool { return medhurst[i+1][0] >= ratio }), last-1)
	a, b := medhurst[k], medhurst[k+1]
	t := math.Log(ratio/a[0]) / math.Log(b[0]/a[0])
	const pFPerCm = 1e-10
	return Value{(a[1] + t*(b[1]-a[1])) * pFPerCm * diameter, 0.05}, true
}
