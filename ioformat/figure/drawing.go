package figure

import (
	"math"

	"fitcoil/model/drawing"
	"fitcoil/model/field"
)

// Drawing is Section with what a drawing predicts: the mode of the coil in air.
func Drawing(d *drawing.Drawn) Figure {
	p := d.Bare
	n := len(p.Current) - 1
	m := &field.Mode{Omega: 2 * math.Pi * d.Prediction.Frequency.Value, Voltage: p.Voltage[1:], Current: make([]float64, n)}
	for k := range n {
		m.Current[k] = (p.Current[k] + p.Current[k+1]) / 2
	}
	return Section(d.Drawing.Coil, m)
}
