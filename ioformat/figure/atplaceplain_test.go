package figure

import (
	"math"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
)

func told(name, unit string, v, u float64) quantities.Estimate {
	return quantities.Estimate{Key: quantities.Key{Name: name}, Unit: unit, Value: v, Uncertainty: u, Determined: true, Interval: [2]float64{v - 2*u, v + 2*u}}
}

// A sweep of spacing from 1 to 3 mm: a gain of 2, none and 1.5, a frequency of 1 MHz less 0.1 MHz
// a millimetre within 20 kHz.
func TestSweepLaidOut(t *testing.T) {
	nan := math.NaN()
	s := Sweep{Name: "spacing", Unit: "m", At: []float64{1e-3, 2e-3, 3e-3}, Now: 2.5e-3, Outcomes: []Outcome{
		{Name: "core gain", Value: []float64{2, nan, 1.5}, Band: "not drawn"},
		{Name: "drop", Unit: "V", Value: []float64{nan, nan, math.Inf(1)}},
		{Name: "frequency", Unit: "Hz", Value: []float64{0.9e6, 0.8e6, 0.7e6}, Low: []float64{0.88e6, nan, 0.68e6}, High: []float64{0.92e6, 0.82e6, 0.72e6}, Band: "95 % interval"},
		{Name: "second", Unit: "Hz", Value: []float64{90, 80, 70}, Low: []float64{88}, High: []float64{92, 82}, Band: "95 % interval"}}}
	sameLaid(t, "sweep", Swept(s), `
		sweep: What does a change of spacing do?
		alt: A change of spacing from 1 mm to 3 mm. The core gain goes from 2.00 to 1.50. The frequency goes from 900 kHz to 700 kHz. The second goes from 90.0 Hz to 70.0 Hz.
		key: 95 % interval, ink line band
		panel 150
		x : 1…3 unshown 1=1.0 1.5 2=2.0 2.5 3=3.0
		y core gain: 1.5…2 1.5 1.6 1.7 1.8 1.9 2=2.0
		rule 2.5 upright dashed
		line c0 1,2 3,1.5
		mark c0 disc 1,2
		mark c0 disc 3,1.5
		panel 150
		empty: The drop can't be worked out for any of these values.
		x spacing [mm]: 1…3 1=1.0 1.5 2=2.0 2.5 3=3.0
		y : 0…0
		panel 150
		x : 1…3 unshown 1=1.0 1.5 2=2.0 2.5 3=3.0
		y frequency [kHz]: 680…920 700 750 800 850 900
		band c2 1,880 3,680 below 1,920 3,720
		rule 2.5 upright dashed
		line c2 1,900 2,800 3,700
		mark c2 disc 1,900
		mark c2 disc 2,800
		mark c2 disc 3,700
		panel 150
		x spacing [mm]: 1…3 1=1.0 1.5 2=2.0 2.5 3=3.0
		y second [Hz]: 70…92 70 75 80 85 90
		band c3 1,88 below 1,92
		rule 2.5 upright dashed
		line c3 1,90 2,80 3,70
		mark c3 disc 1,90
		mark c3 disc 2,80
		mark c3 disc 3,70
		note: Dashed: the present spacing, 2.5 mm.
		table: spacing [mm] | core gain | drop [V] | frequency [kHz] | second [Hz]
		row: 1 | 2.0000 | - | 900.00 | 90.000
		row: 2 | - | - | 800.00 | 80.000
		row: 3 | 1.5000 | - | 700.00 | 70.000`)
	s.Now, s.Outcomes = 3.5e-3, s.Outcomes[:1]
	sameLaid(t, "now beyond", Swept(s), `
		sweep: What does a change of spacing do?
		alt: A change of spacing from 1 mm to 3 mm. The core gain goes from 2.00 to 1.50.
		panel 150
		x spacing [mm]: 1…3 1=1.0 1.5 2=2.0 2.5 3=3.0
		y core gain: 1.5…2 1.5 1.6 1.7 1.8 1.9 2=2.0
		line c0 1,2 3,1.5
		mark c0 disc 1,2
		mark c0 disc 3,1.5
		note: Dashed: the present spacing, 3.5 mm.
		table: spacing [mm] | core gain
		row: 1 | 2.0000
		row: 2 | -
		row: 3 | 1.5000`)
	s.Now = nan
	for range 41 {
		s.At = append(s.At, s.At[len(s.At)-1]+1e-3)
		s.Outcomes[0].Value = append(s.Outcomes[0].Value, 1.5)
	}
	f := Swept(s)
	if !f.Panels[0].Points[0].Small || len(f.Notes) != 0 || len(f.Panels[0].Rules) != 0 {
		t.Errorf("44 marks are small %v, with notes %q and rules %v", f.Panels[0].Points[0].Small, f.Notes, f.Panels[0].Rules)
	}
	points := []decisions.SweepPoint{{Gain: 2, Frequency: told("", "Hz", 1e6, 1e3)}, {Gain: 1.8, Frequency: quantities.Estimate{Value: 3}}}
	sameLaid(t, "rebuilds", Rebuilds("wall", "m", []float64{1e-3, 2e-3}, 1e-3, points), `
		sweep: What does a change of wall do?
		alt: A change of wall from 1 mm to 2 mm. The core gain goes from 2.00 to 1.80. The frequency goes from 1.00 MHz to 1.00 MHz.
		key: 95 % interval, ink line band
		panel 150
		x : 1…2 unshown 1=1.0 1.2 1.4 1.6 1.8 2=2.0
		y core gain: 1.8…2 1.8=1.80 1.85 1.9=1.90 1.95 2=2.00
		rule 1 upright dashed
		line c0 1,2 2,1.8
		mark c0 disc 1,2
		mark c0 disc 2,1.8
		panel 150
		x wall [mm]: 1…2 1=1.0 1.2 1.4 1.6 1.8 2=2.0
		y frequency [MHz]: 0.998…1.002 0.998 0.999 1=1.000 1.001 1.002
		band c1 1,0.998 below 1,1.002
		rule 1 upright dashed
		line c1 1,1
		mark c1 disc 1,1
		note: Dashed: the present wall, 1 mm.
		table: wall [mm] | core gain | frequency [MHz]
		row: 1 | 2.0000 | 1.0000
		row: 2 | 1.8000 | -`)
	points[0].Gain = nan
	if f := Rebuilds("wall", "m", []float64{1e-3, 2e-3}, 1e-3, points); len(f.Panels) != 1 {
		t.Errorf("without a core %d panels", len(f.Panels))
	}
	if f := Rebuilds("wall", "m", nil, 1e-3, nil); len(f.Panels) != 1 {
		t.Errorf("without a point %d panels", len(f.Panels))
	}
}

// squareCoil is 100 mm long and 20 mm across, with a ball of 10 mm, two beads of 8 × 20 mm, a
// ground 30 mm below, and metal.
func squareCoil() field.Coil {
	c := field.Coil{Turns: 100, Diameter: 20e-3, Length: 100e-3, Wire: 0.5e-3, Ball: 10e-3, BallGap: 2e-3, Height: 30e-3,
		Beads: field.Beads{Diameter: 8e-3, Length: 20e-3, Spacing: 1e-3, Count: 2, Start: 5e-3, Permeability: 100}}
	c.Primary = field.Primary{Turns: 2, Diameter: 30e-3, Height: 3e-3, Spacing: 4e-3, Wire: 2e-3}
	c.Metal = field.Metal{Ring: field.Ring{Diameter: 40e-3, Thickness: 3e-3, Height: 110e-3, Slit: true},
		Plate: field.Plate{Diameter: 60e-3, Hole: 30e-3, Height: -10e-3}, Box: field.Box{Diameter: 90e-3, Bottom: -20e-3, Top: 150e-3}}
	return c
}

func TestSectionLaidOut(t *testing.T) {
	m := &field.Mode{Voltage: []float64{0.4, 0.7, 0.9, 1}, Current: []float64{0.95, 0.8, 0.5, 0.2}}
	c := squareCoil()
	sameLaid(t, "all", Section(c, m), `
		section: How do voltage and current spread along the winding?
		alt: Section of the coil to scale, with voltage and current along the winding. 100 turns, 100 mm long, 20 mm across. Ball of 10 mm. Core: 2 beads, 8 mm across and 20 mm long, 1 mm apart. Grounded end 30 mm above the ground. Primary: 2 turns, 30 mm across. Slit ring of 40 mm. Plate of 60 mm. In a box 90 mm wide and 170 mm high. The current falls to 20 % at the top.
		key: winding, c1 area
		key: core, faint area
		key: ball, mist area
		key: metal, ink area
		key: ground, ink line
		key: voltage, c2 line
		key: current, c3-1 line
		panel equal
		x : -52.5…172.5 unshown -50=−50 0 50 100 150
		y distance from the axis [mm]: -45…45 0 10 -10=10
		area c1 0,9.75 100,9.75 100,10.25 0,10.25
		area c1 0,-10.25 100,-10.25 100,-9.75 0,-9.75
		area faint 5,-4 25,-4 25,4 5,4
		area faint 26,-4 46,-4 46,4 26,4
		area mist 72 from 112,0 by 102,0 to 112,-0.4358, mean 107,0
		area ink 72 from 4,15 by 2,15 to 3.996,14.91, mean 3,15
		area ink 72 from 4,-15 by 2,-15 to 3.996,-15.09, mean 3,-15
		area ink 72 from 8,15 by 6,15 to 7.996,14.91, mean 7,15
		area ink 72 from 8,-15 by 6,-15 to 7.996,-15.09, mean 7,-15
		area ink 72 from 111.5,20 by 108.5,20 to 111.5,19.87, mean 110,20
		area ink 72 from 111.5,-20 by 108.5,-20 to 111.5,-20.13, mean 110,-20
		line ink -10,15 -10,30
		line ink -10,-15 -10,-30
		line ink -20,0 -20,45
		line ink -20,0 -20,-45
		line ink 150,0 150,45
		line ink 150,0 150,-45
		line ink -20,45 150,45
		line ink -20,-45 150,-45
		line ink -30,-45 -30,45
		panel 130
		x height above the grounded end [mm]: -52.5…172.5 -50=−50 0 50 100 150
		y voltage (top = 1) and current (grounded end = 1): 0…1 0=0.0 0.2 0.4 0.6 0.8 1=1.0
		rule 0
		line c2 0,0 25,0.4 50,0.7 75,0.9 100,1
		line c3-1 12.5,0.95 37.5,0.8 62.5,0.5 87.5,0.2
		note: 100 turns, 100 mm long, 20 mm across. Ball of 10 mm. Core: 2 beads, 8 mm across and 20 mm long, 1 mm apart. Grounded end 30 mm above the ground. Primary: 2 turns, 30 mm across. Slit ring of 40 mm. Plate of 60 mm. In a box 90 mm wide and 170 mm high.
		table: height [mm] | voltage | current
		row: 25.0 | 0.400 | 0.950
		row: 50.0 | 0.700 | 0.800
		row: 75.0 | 0.900 | 0.500
		row: 100.0 | 1.000 | 0.200`)
	c.Metal.Plate.Diameter, c.Metal.Ring = 200e-3, field.Ring{Diameter: 101e-3, Thickness: 1e-3, Height: 5e-3}
	c.Metal.Box.Diameter, c.Primary, c.Wire, c.Height, c.Beads.Count, c.Ball = 101e-3, field.Primary{Turns: 1, Diameter: 30e-3, Wire: 1e-3}, 0, 50e-3, 1, 0
	sameLaid(t, "metal beyond the panel", Section(c, &field.Mode{}), `
		section: How do voltage and current spread along the winding?
		alt: Section of the coil to scale, with voltage and current along the winding. 100 turns, 100 mm long, 20 mm across. Core: one rod, 8 mm across and 20 mm long. Grounded end 50 mm above the ground, which is not drawn. Primary: 1 turn, 30 mm across. Closed ring of 101 mm. Plate of 200 mm. In a box 101 mm wide and 170 mm high.
		key: winding, c1 area
		key: core, faint area
		key: metal, ink area
		panel equal
		x : -60…190 unshown -50=−50 0 50 100 150
		y distance from the axis [mm]: -50…50 0 10 -10=10
		area c1 0,9.5 100,9.5 100,10.5 0,10.5
		area c1 0,-10.5 100,-10.5 100,-9.5 0,-9.5
		area faint 5,-4 25,-4 25,4 5,4
		area ink 72 from 0.5,15 by -0.5,15 to 0.4981,14.96, mean 0,15
		area ink 72 from 0.5,-15 by -0.5,-15 to 0.4981,-15.04, mean 0,-15
		line ink -10,15 -10,50
		line ink -10,-15 -10,-50
		line ink -20,0 -20,50
		line ink -20,0 -20,-50
		line ink 150,0 150,50
		line ink 150,0 150,-50
		panel 130
		empty: The resonance was not worked out.
		x height above the grounded end [mm]: -60…190 -50=−50 0 50 100 150
		y : 0…0
		rule 0
		note: 100 turns, 100 mm long, 20 mm across. Core: one rod, 8 mm across and 20 mm long. Grounded end 50 mm above the ground, which is not drawn. Primary: 1 turn, 30 mm across. Closed ring of 101 mm. Plate of 200 mm. In a box 101 mm wide and 170 mm high.
		table: height [mm] | voltage | current`)
	c = field.Coil{Turns: 12.5, Diameter: 80e-3, Length: 60e-3, Height: 29e-3}
	sameLaid(t, "squat", Section(c, &field.Mode{Voltage: []float64{math.NaN()}, Current: []float64{1}}), `
		section: How do voltage and current spread along the winding?
		alt: Section of the coil to scale, with voltage and current along the winding. 12.5 turns, 60 mm long, 80 mm across. Grounded end 29 mm above the ground. The current falls to 100 % at the top.
		key: winding, c1 area
		key: ground, ink line
		panel equal
		x : -96.5…127.5 unshown -50=−50 0 50 100
		y distance from the axis [mm]: -44.8…44.8 0 40 -40=40
		area c1 0,37.6 60,37.6 60,42.4 0,42.4
		area c1 0,-42.4 60,-42.4 60,-37.6 0,-37.6
		line ink -29,-44.8 -29,44.8
		panel 130
		empty: The coil as drawn has no resonance.
		x height above the grounded end [mm]: -96.5…127.5 -50=−50 0 50 100
		y : 0…0
		rule 0
		note: 12.5 turns, 60 mm long, 80 mm across. Grounded end 29 mm above the ground.
		table: height [mm] | voltage | current
		row: 60.0 | - | 1.000`)
	c = field.Coil{Turns: 2000, Diameter: 12e-3, Length: 1, Primary: field.Primary{Turns: 3, Diameter: 20e-3, Spacing: 5e-3, Wire: 1e-3}}
	sameLaid(t, "slim", Section(c, m), `
		section: How do voltage and current spread along the winding?
		alt: Section of the coil to scale, with voltage and current along the winding. 2000 turns, 1 m long, 12 mm across. Primary: 3 turns, 20 mm across. The current falls to 20 % at the top.
		key: winding, c1 area
		key: metal, ink area
		key: voltage, c2 line
		key: current, c3-1 line
		panel equal
		x : -0.0005…1 unshown 0=0.0 0.2 0.4 0.6 0.8 1=1.0
		y distance from the axis [m]: -0.0105…0.0105 0
		area c1 0,0.0058 1,0.0058 1,0.0063 0,0.0063
		area c1 0,-0.0063 1,-0.0063 1,-0.0058 0,-0.0058
		area ink 72 from 0.0005,0.01 by -0.0005,0.01 to 0.0005,0.01, mean 0,0.01
		area ink 72 from 0.0005,-0.01 by -0.0005,-0.01 to 0.0005,-0.01, mean 0,-0.01
		area ink 72 from 0.0055,0.01 by 0.0045,0.01 to 0.0055,0.01, mean 0.005,0.01
		area ink 72 from 0.0055,-0.01 by 0.0045,-0.01 to 0.0055,-0.01, mean 0.005,-0.01
		area ink 72 from 0.0105,0.01 by 0.0095,0.01 to 0.0105,0.01, mean 0.01,0.01
		area ink 72 from 0.0105,-0.01 by 0.0095,-0.01 to 0.0105,-0.01, mean 0.01,-0.01
		panel 130
		x height above the grounded end [m]: -0.0005…1 0=0.0 0.2 0.4 0.6 0.8 1=1.0
		y voltage (top = 1) and current (grounded end = 1): 0…1 0=0.0 0.2 0.4 0.6 0.8 1=1.0
		rule 0
		line c2 0,0 0.25,0.4 0.5,0.7 0.75,0.9 1,1
		line c3-1 0.125,0.95 0.375,0.8 0.625,0.5 0.875,0.2
		note: 2000 turns, 1 m long, 12 mm across. Primary: 3 turns, 20 mm across.
		table: height [m] | voltage | current
		row: 0.2 | 0.400 | 0.950
		row: 0.5 | 0.700 | 0.800
		row: 0.8 | 0.900 | 0.500
		row: 1.0 | 1.000 | 0.200`)
	p := field.Profile{Height: []float64{0, 0.05, 0.1}, Voltage: []float64{0, 0.6, 1}, Current: []float64{1, 0.8, 0.2}}
	d := &drawing.Drawn{Prediction: &field.Prediction{Frequency: field.Value{Value: 1e6}, Bare: p}, Drawing: drawing.Drawing{Coil: field.Coil{Turns: 100, Diameter: 20e-3, Length: 0.1}}}
	got := Drawing(d).Panels[1].Lines
	if a, b := corners(got[0].Points), corners(got[1].Points); a != "0,0 50,0.6 100,1" || b != "25,0.9 75,0.5" {
		t.Errorf("voltage %s, current %s", a, b)
	}
}
