package field

import "math"

// AWG returns the bare diameter [m] of American wire gauge n, by ASTM B258:
// 0.127 mm × 92^((36−n)/39). Gauges 00, 000 and 0000 are −1, −2 and −3.
func AWG(n float64) float64 { return 0.127e-3 * math.Pow(92, (36-n)/39) }

// Metric returns the bare diameter [m] nearest to d [m] in the series R 20 of
// preferred numbers (ISO 3), from which the metric sizes of winding wire are
// taken: …, 0.200, 0.224, 0.250, 0.280, 0.315, … mm. A diameter measured over
// the enamel is 5–15 % above it (common practice).
func Metric(d float64) float64 {
	series := [...]float64{1, 1.12, 1.25, 1.4, 1.6, 1.8, 2, 2.24, 2.5, 2.8, 3.15, 3.55, 4, 4.5, 5, 5.6, 6.3, 7.1, 8, 9}
	step := int(math.Round(20 * math.Log10(d/1e-3)))
	decade := math.Floor(float64(step) / 20)
	return series[step-20*int(decade)] * math.Pow(10, decade) * 1e-3
}
