package figure

import (
	"testing"

	"fitcoil/model/drawing"
	"fitcoil/model/field"
)

// The voltage drawn of a coil with its core in is that of the mode with it, without one the bare one's.
func TestVoltageAsDrawn(t *testing.T) {
	heights := []float64{0, 0.05, 0.1}
	d := &drawing.Drawn{Prediction: &field.Prediction{Bare: field.Profile{Height: heights, Voltage: []float64{0, 0.6, 1}, Current: []float64{1, 0.8, 0.2}}},
		Drawing: drawing.Drawing{Coil: field.Coil{Turns: 100, Diameter: 0.02, Length: 0.1, Wire: 0.5e-3}}}
	middle := func() float64 { return DrawnVoltage(d, 2000).Panels[1].Lines[0].Points[1].Y }
	beads := func() int { return len(DrawnVoltage(d, 2000).Panels[1].Lines) - 1 }
	if y := middle(); y != 1.2 { // kV
		t.Errorf("bare: %v", y)
	}
	d.Core = &field.CorePrediction{Mode: field.Profile{Height: heights, Voltage: []float64{0, 0.8, 1}, Current: []float64{1, 0.7, 0.1}}}
	d.Drawing.Coil.Beads = field.Beads{Diameter: 0.01, Length: 0.03, Spacing: 0.002, Count: 2, Start: 0.01, Permeability: 100}
	if n := beads(); n != 2 {
		t.Errorf("%d beads float", n)
	}
	if y := middle(); y != 1.6 {
		t.Errorf("with the core: %v", y)
	}
	if d.Core = nil; beads() != 0 {
		t.Error("beads float in a coil drawn without its core")
	}
}
