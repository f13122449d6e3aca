package loss

import "math"

// Ferrites of one family disperse at frequencies inversely as their permeability: what
// stays is the product (J. L. Snoek, Physica 14, 1948, 207, from memory). dispersing is μ′
// over its value at low frequency, by that product [Hz], of manganese-zinc grades: μi
// 1540 (N49) and 3060 (N95), small signal, 25 °C, from their makers' data sheets as digitised
// by the LEA group of Paderborn, and 2157 (N87) up to 501 kHz (TDK's data sheet of 2021). A nickel-zinc grade of μi 125 is flat to 10 MHz (from memory),
// as either gives.
var dispersing = [...][][2]float64{
	{{0, 1}, {0.66e9, 1.016}, {0.94e9, 1.044}, {1.33e9, 1.102}, {1.68e9, 1.183}, {2.11e9, 1.338}, {2.58e9, 1.436}, {3.10e9, 1.373}, {3.73e9, 1.008}, {4.41e9, 0.530}, {5.36e9, 0.133}},
	{{0, 1}, {0.80e9, 1.018}, {1.34e9, 1.119}, {2.13e9, 1.409}, {2.53e9, 1.449}, {3.15e9, 1.060}, {3.66e9, 0.304}, {4.48e9, 0.046}},
	{{0, 1}, {0.216e9, 1}, {0.431e9, 1.007}, {1.081e9, 1.071}},
}

// Range returns the least and the most that μ′ of a ferrite of initial permeability mu may be
// over the frequencies from low to high [Hz], over mu: by any of the grades.
func Range(mu, low, high float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, grade := range dispersing {
		last := grade[len(grade)-1]
		see := func(product float64) {
			if product > last[0] && last[1] > 0.5 { // the data sheet ends before the material disperses
				return
			}
			v := interpolated(grade, product)
			least, most = math.Min(least, v), math.Max(most, v)
		}
		see(mu * low)
		see(mu * high)
		for _, p := range grade {
			if p[0] > mu*low && p[0] < mu*high {
				see(p[0])
			}
		}
	}
	return least, most
}

// interpolated returns the ordinate of points at x, straight between them; that of the last
// beyond.
func interpolated(points [][2]float64, x float64) float64 {
	for i := 1; i < len(points); i++ {
		if x <= points[i][0] {
			a, b := points[i-1], points[i]
			return a[1] + (x-a[0])/(b[0]-a[0])*(b[1]-a[1])
		}
	}
	return points[len(points)-1][1]
}
