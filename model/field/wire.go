package field

import "math"

// AWG returns the bare diameter [m] of American wire gauge n, by ASTM B258:
// 0.127 mm × 92^((36−n)/39). Gauges 00, 000 and 0000 are −1, −2 and −3.
func AWG(n float64) float64 { return 0.127e-3 * math.Pow(92, (36-n)/39) }
