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
		if got := 1e3 * AWG(c.gauge); !(math.Abs(got-c.mm) <= 6e-6) {
			t.Errorf("gauge %g: %.5f mm, want %.5f", c.gauge, got, c.mm)
		}
	}
}
