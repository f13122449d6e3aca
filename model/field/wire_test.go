package field

import (
	"math"
	"testing"
)

// ASTM B258.
func TestAWG(t *testing.T) {
	for _, c := range []struct{ gauge, mm float64 }{
		{10, 2.58819}, {16, 1.29085}, {20, 0.81182}, {22, 0.64380}, {24, 0.51056}, {26, 0.40489},
		{28, 0.32109}, {30, 0.25464}, {32, 0.20194}, {34, 0.16014}, {36, 0.12700}, {38, 0.10072}, {40, 0.07987},
	} {
		if got := 1e3 * AWG(c.gauge); math.Abs(got-c.mm) > 6e-6 {
			t.Errorf("gauge %g: %.5f mm, want %.5f", c.gauge, got, c.mm)
		}
	}
}

// ISO 3, series R 20, from memory.
func TestMetric(t *testing.T) {
	for _, c := range []struct{ mm, want float64 }{
		{0.34, 0.355}, {0.33, 0.315}, {0.1, 0.1}, {0.51, 0.5}, {0.95, 1}, {0.09, 0.09}, {1.03, 1}, {2.3, 2.24}, {0.061, 0.063},
	} {
		if got := 1e3 * Metric(c.mm*1e-3); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%g mm: %g, want %g", c.mm, got, c.want)
		}
	}
}
