package figure

import (
	"math"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/field"
	"fitcoil/model/ringing"
)

// Metal that is drawn stands at its own height, also level with the grounded end, and as wide as it is, on both sides of
// the axis; what has no diameter isn't there.
func TestMetalStandsAtItsHeight(t *testing.T) {
	at := func(x, y float64) chart.XY { return chart.XY{X: x, Y: y} }
	middle := func(list []chart.XY) (out chart.XY, size float64) {
		for _, p := range list {
			out.X, out.Y = out.X+p.X/float64(len(list)), out.Y+p.Y/float64(len(list))
		}
		for _, p := range list {
			size = math.Max(size, math.Hypot(p.X-out.X, p.Y-out.Y))
		}
		return out, size
	}
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
	for _, z := range []float64{0, 0.03} {
		coil := func(set func(c *field.Coil)) field.Coil {
			c := field.Coil{Turns: 100, Length: 0.1, Diameter: 0.02}
			set(&c)
			return c
		}
		for what, c := range map[string]field.Coil{
			"ring": coil(func(c *field.Coil) { c.Ring.Diameter, c.Ring.Thickness, c.Ring.Height = 0.04, 0.002, z }),
			"primary": coil(func(c *field.Coil) {
				c.Primary.Turns, c.Primary.Diameter, c.Primary.Wire, c.Primary.Height = 1, 0.04, 0.002, z
			}),
		} {
			var p chart.Panel
			x, y := metalPanel(&p, c, at, span{}, span{})
			if len(p.Areas) != 2 || len(p.Lines) != 0 {
				t.Errorf("a %s at %g: %d areas, %d lines", what, z, len(p.Areas), len(p.Lines))
				continue
			}
			for i, side := range []float64{1, -1} {
				if m, r := middle(p.Areas[i].Outline); !near(m.X, z) || !near(m.Y, side*0.02) || !near(r, 0.001) {
					t.Errorf("a %s at %g around %v, of %g", what, z, m, r)
				}
			}
			if !near(x.low, z-0.001) || !near(x.high, z+0.001) || !near(y.low, -0.021) || !near(y.high, 0.021) {
				t.Errorf("a %s at %g takes %+v by %+v", what, z, x, y)
			}
		}
		var plate, box, none chart.Panel
		metalPanel(&plate, coil(func(c *field.Coil) { c.Plate.Diameter, c.Plate.Hole, c.Plate.Height = 0.06, 0.03, z }), at, span{}, span{})
		metalPanel(&box, coil(func(c *field.Coil) { c.Box.Diameter, c.Box.Bottom, c.Box.Top = 0.08, z, 0.15 }), at, span{}, span{})
		metalPanel(&none, coil(func(c *field.Coil) {
			c.Ring.Height, c.Primary.Height, c.Plate.Height, c.Box.Bottom, c.Box.Top = z, z, z, z, 1
		}), at, span{}, span{})
		for what, c := range map[string]struct {
			p    chart.Panel
			want [][2]chart.XY
		}{
			"plate": {plate, [][2]chart.XY{{at(z, 0.015), at(z, 0.03)}, {at(z, -0.015), at(z, -0.03)}}},
			"box": {box, [][2]chart.XY{{at(z, 0), at(z, 0.04)}, {at(z, 0), at(z, -0.04)}, {at(0.15, 0), at(0.15, 0.04)}, {at(0.15, 0), at(0.15, -0.04)},
				{at(z, 0.04), at(0.15, 0.04)}, {at(z, -0.04), at(0.15, -0.04)}}},
			"nothing": {none, nil},
		} {
			if len(c.p.Lines) != len(c.want) || len(c.p.Areas) != 0 {
				t.Errorf("%s at %g: %+v", what, z, c.p)
				continue
			}
			for i, l := range c.p.Lines {
				for k := range 2 {
					if !near(l.Points[k].X, c.want[i][k].X) || !near(l.Points[k].Y, c.want[i][k].Y) {
						t.Errorf("%s at %g: line %d is %v, want %v", what, z, i, l.Points, c.want[i])
					}
				}
			}
		}
	}
	bare := field.Coil{Turns: 100, Length: 0.1, Diameter: 0.02}
	ringed := bare
	ringed.Ring.Diameter, ringed.Ring.Thickness = 0.04, 0.002
	u := quantity.UnitFor(0.1, 0, "m")
	if n := len(sectionPanel(ringed, u).Areas) - len(sectionPanel(bare, u).Areas); n != 2 {
		t.Errorf("a ring at the grounded end adds %d areas to the section", n)
	}
}

// A spectrum is in decibels below its peak, down to a floor; it ends where it says nothing more, and marks two modes.
func TestSpectrumInDecibels(t *testing.T) {
	s := ringing.Spectrum{Frequency: []float64{0, 1e6, 2e6, 3e6}, Trace: []float64{0.1, 2, 0.2, 1e-9}, Residual: []float64{0.02, 0.002, 2e-7, 0.2}}
	tone := func(f float64) (m ringing.Tone) { m.Frequency.Value = f; return m }
	r := &ringing.Result{Tones: []ringing.Tone{tone(1e6)}, Modes: []ringing.Tone{tone(1e6)}}
	p := spectrumPanel(s, r)
	want := [][]float64{{20 * math.Log10(0.05), 0, -20, -100}, {-40, -60, -100, -20}}
	if len(p.Lines) != 2 || len(p.Rules) != 0 || p.Title != "spectrum" {
		t.Fatalf("%+v", p)
	}
	for i, l := range p.Lines {
		for k, xy := range l.Points {
			if len(l.Points) != 4 || math.Abs(xy.Y-want[i][k]) > 1e-9 || math.Abs(xy.X-float64(k)) > 1e-9 {
				t.Errorf("line %d: %v, want %v", i, l.Points, want[i])
			}
		}
	}
	if p.Y.Min > -100 || p.Y.Max < 0 || p.X.Max < 3 {
		t.Errorf("%+v, %+v", p.X, p.Y)
	}
	r.Modes = append(r.Modes, tone(2e6))
	if p = spectrumPanel(s, r); len(p.Rules) != 2 || math.Abs(p.Rules[0].At-1) > 1e-9 || math.Abs(p.Rules[1].At-2) > 1e-9 || !p.Rules[0].Upright || p.Title != "spectrum, with the modes marked" {
		t.Errorf("%+v %q", p.Rules, p.Title)
	}
	r.Tones[0] = tone(0.25e6) // up to 2.5 MHz
	if p = spectrumPanel(s, r); len(p.Lines[0].Points) != 3 {
		t.Errorf("%v", p.Lines[0].Points)
	}
	for _, none := range []ringing.Spectrum{{}, {Frequency: []float64{0, 1}, Trace: []float64{0, 0}, Residual: []float64{0, 0}}} {
		if p = spectrumPanel(none, r); p.Empty != "There is no spectrum to show." || p.Lines != nil {
			t.Errorf("%+v", p)
		}
	}
}
