package decisions

import "math"

// preferred returns the values of the E24 series in one decade, of which every
// second one is the E12 series (IEC 60063:2015, table 1).
func preferred() [24]float64 {
	return [24]float64{1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0,
		3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1}
}

// series6 returns the values of the E6 series, every fourth one, from … to.
func series6(from, to float64) (list []float64) {
	series := preferred()
	for decade := math.Pow(10, math.Floor(math.Log10(from))); decade <= to; decade *= 10 {
		for i := 0; i < len(series); i += 4 {
			if c := series[i] * decade; c >= from && c <= to {
				list = append(list, c)
			}
		}
	}
	return list
}

// Preferred returns the nearest values of the E24 series at or below, and
// above, v > 0.
func Preferred(v float64) (below, above float64) {
	decade := math.Pow(10, math.Floor(math.Log10(v)))
	series := preferred()
	below, above = series[23]*decade/10, decade
	for _, e := range series {
		if c := e * decade; c <= v*(1+1e-12) {
			below = c
		} else {
			return below, c
		}
	}
	return below, 10 * decade
}
