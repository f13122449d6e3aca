package field

import (
	"testing"

	"fitcoil/internal/near"
)

// Currents are those in the middle of slices; the one into the grounded end goes on as the lowest two
// do: of 1 and 0.8 A, 1.1 A; and at the upper end, of 0.5 and 0.2 A, 0.05 A.
func TestCurrentAtTheEnds(t *testing.T) {
	m := &Mode{Omega: 1, Current: []float64{1, 0.8, 0.5, 0.2}, Voltage: []float64{0.2, 0.5, 0.8, 1}}
	m.finish()
	near.To(t, "into the grounded end", m.BaseCurrent, 1.1, 1e-15)
	p := m.Profile(0.4)
	for k, want := range []float64{1.1, 0.9, 0.65, 0.35, 0.05} {
		near.To(t, "along", p.Current[k]*p.Base, want, 1e-15)
		near.To(t, "height", p.Height[k], 0.1*float64(k), 1e-15)
	}
}
