package field

import (
	"errors"
	"math"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// A box holds all that is drawn, to a micrometre: core, winding, ball, ring, plate and primary.
func TestBoxHoldsWhatIsDrawn(t *testing.T) {
	const mm, little = 1e-3, 1e-6
	bare := Coil{Turns: 400, Diameter: 20 * mm, Length: 100 * mm, Wire: 0.2 * mm}
	for name, c := range map[string]struct {
		coil            Coil
		low, high, wide float64 // of all that is drawn
	}{
		"winding":    {bare, 0, 100 * mm, 10.1 * mm},
		"coating":    {func(c Coil) Coil { c.Coating.Permittivity, c.Coating.Thickness = 3, 0.5*mm; return c }(bare), 0, 100 * mm, 10.6 * mm},
		"ball":       {func(c Coil) Coil { c.Ball, c.BallGap = 30*mm, 2*mm; return c }(bare), 0, 132 * mm, 15 * mm},
		"small ball": {func(c Coil) Coil { c.Ball, c.BallGap = 15*mm, 2*mm; return c }(bare), 0, 117 * mm, 10.1 * mm},
		"primary below": {func(c Coil) Coil { // of three turns, 2 mm apart: a sheet 6 mm high, from half a spacing below the first
			c.Primary = Primary{Turns: 3, Diameter: 40 * mm, Height: -4 * mm, Spacing: 2 * mm, Wire: 1 * mm}
			return c
		}(bare), -5 * mm, 100 * mm, 20.5 * mm},
		"primary above": {func(c Coil) Coil {
			c.Primary = Primary{Turns: 3, Diameter: 40 * mm, Height: 100 * mm, Spacing: 2 * mm, Wire: 1 * mm}
			return c
		}(bare), 0, 105 * mm, 20.5 * mm},
		"core": {func(c Coil) Coil {
			c.Beads = Beads{Diameter: 10 * mm, Length: 30 * mm, Spacing: 2 * mm, Count: 4, Start: -5 * mm, Permeability: 100}
			return c
		}(bare), -5 * mm, 121 * mm, 10.1 * mm}, // −5 + 4·30 + 3·2
		"ring":  {func(c Coil) Coil { c.Ring = Ring{Diameter: 60 * mm, Thickness: 4 * mm, Height: 110 * mm}; return c }(bare), 0, 112 * mm, 32 * mm},
		"plate": {func(c Coil) Coil { c.Plate = Plate{Diameter: 80 * mm, Height: -10 * mm}; return c }(bare), -10 * mm, 100 * mm, 40 * mm},
	} {
		for _, f := range []struct {
			low, high, wide float64
			fits            bool
		}{{-little, little, little, true}, {little, little, little, false}, {-little, -little, little, false}, {-little, little, -little, false}} {
			coil := c.coil
			coil.Box = Box{Diameter: 2 * (c.wide + f.wide), Bottom: c.low + f.low, Top: c.high + f.high}
			if err := coil.checkMetal(); (err == nil) != f.fits {
				t.Errorf("%s, box %+v: %v", name, coil.Box, err)
			}
		}
	}
	over := bare
	over.Height = 50 * mm
	over.Box = Box{Diameter: 200 * mm, Bottom: -51 * mm, Top: 200 * mm}
	if over.checkMetal() == nil {
		t.Error("a box reaches below the ground")
	}
	over.Box.Bottom = -49 * mm
	if err := over.checkMetal(); err != nil {
		t.Error(err)
	}
}

// What metal needs to be a body: a ring thinner than its radius, a plate wider than its hole, a
// box with its top above its bottom; and none touches the coil.
func TestMetalIsPossible(t *testing.T) {
	const mm = 1e-3
	bare := Coil{Turns: 400, Diameter: 20 * mm, Length: 100 * mm, Wire: 0.2 * mm}
	for name, c := range map[string]struct {
		change func(c *Coil)
		fits   bool
	}{
		"ring":               {func(c *Coil) { c.Ring = Ring{Diameter: 30 * mm, Thickness: 9.7 * mm, Height: 50 * mm} }, true}, // 15 − 10.1 = 4.9 mm away
		"ring on the wire":   {func(c *Coil) { c.Ring = Ring{Diameter: 30 * mm, Thickness: 9.9 * mm, Height: 50 * mm} }, false},
		"ring too thick":     {func(c *Coil) { c.Ring = Ring{Diameter: 30 * mm, Thickness: 15 * mm, Height: 150 * mm} }, false},
		"ring without wire":  {func(c *Coil) { c.Ring = Ring{Diameter: 30 * mm, Height: 150 * mm} }, false},
		"plate below":        {func(c *Coil) { c.Plate = Plate{Diameter: 30 * mm, Height: -1 * mm} }, true},
		"plate within":       {func(c *Coil) { c.Plate = Plate{Diameter: 30 * mm, Height: 50 * mm} }, false},
		"plate around":       {func(c *Coil) { c.Plate = Plate{Diameter: 50 * mm, Hole: 21 * mm, Height: 50 * mm} }, true},
		"plate all hole":     {func(c *Coil) { c.Plate = Plate{Diameter: 50 * mm, Hole: 50 * mm, Height: 150 * mm} }, false},
		"box upside down":    {func(c *Coil) { c.Box = Box{Diameter: 50 * mm, Bottom: 200 * mm, Top: -100 * mm} }, false},
		"box without a size": {func(c *Coil) { c.Box = Box{Bottom: -100 * mm, Top: 200 * mm} }, false},
	} {
		coil := bare
		c.change(&coil)
		if err := coil.checkMetal(); (err == nil) != c.fits {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Of a primary of up to ten turns each wire is a conductor, a ring around its middle; more are a tube around them, half
// a spacing longer at either end, cut fine where its edges are.
func TestSurfaceOfAPrimary(t *testing.T) {
	p := Primary{Turns: 10, Diameter: 0.08, Height: 0.01, Spacing: 0.004, Wire: 0.001}
	around := map[int]int{}
	for _, r := range p.surface() {
		rho, z := r.at(0)
		turn := int(math.Round((z - 0.01) / 0.004))
		near.To(t, "radius of the wire", math.Hypot(rho-0.04, z-0.01-0.004*float64(turn)), 0.0005, 1e-9)
		around[turn]++
	}
	if len(around) != 10 || around[0] != around[9] || around[9] < 4 {
		t.Errorf("ribbons around the turns %v", around)
	}
	for _, turns := range []float64{11, 40} {
		p.Turns = turns
		tube := p.surface()
		low := 0.01 - 0.002
		for i, r := range tube {
			if !(math.Abs(r.z0-low) <= 1e-12) || r.rho0 != 0.04 || r.rho1 != 0.04 || !(r.z1 > r.z0) {
				t.Errorf("%v turns: piece %d is from %v at %v to %v at %v, want from %v", turns, i, r.z0, r.rho0, r.z1, r.rho1, low)
			}
			if low = r.z1; !(r.length() <= 0.1001*0.08) {
				t.Errorf("%v turns: piece %d is %v long", turns, i, r.length())
			}
		}
		near.To(t, "upper end", low, 0.01+0.004*(turns-0.5), 1e-12)
		if last := len(tube) - 1; !(tube[0].length() <= 0.0301*0.08 && tube[last].length() <= 0.0301*0.08) {
			t.Errorf("%v turns: edges are cut to %v and %v", turns, tube[0].length(), tube[last].length())
		}
	}
}

// The pieces that metal is cut into make it up: they follow one another without gaps, together as large as a ring, a
// plate with its hole, a can, and a primary's wires. Closed are all but a slit ring and a primary; what faces the winding
// is cut into pieces of half its distance, or of a thirtieth of the winding's diameter.
func TestPiecesMakeUpTheMetal(t *testing.T) {
	const wide, length = 0.03, 0.2
	p := Primary{Turns: 3, Diameter: 0.08, Height: 0.01, Spacing: 0.004, Wire: 0.001, Metal: Grounded}
	uncounted := p
	if uncounted.Metal = NotCounted; len(Metal{}.pieces(uncounted, wide, length)) != 0 {
		t.Error("a primary that doesn't count is metal")
	}
	for _, c := range []struct {
		what             string
		m                Metal
		p                Primary
		area             float64
		floating, closed bool
	}{
		{"ring", Metal{Ring: Ring{Diameter: 0.1, Thickness: 0.006, Height: 0.11}}, Primary{}, math.Pi * 0.1 * math.Pi * 0.006, false, true},
		{"floating ring", Metal{Ring: Ring{Diameter: 0.1, Thickness: 0.006, Floating: true}}, Primary{}, math.Pi * 0.1 * math.Pi * 0.006, true, true},
		{"slit ring", Metal{Ring: Ring{Diameter: 0.1, Thickness: 0.006, Slit: true}}, Primary{}, math.Pi * 0.1 * math.Pi * 0.006, false, false},
		{"plate", Metal{Plate: Plate{Diameter: 0.12, Height: -0.02}}, Primary{}, math.Pi * 0.06 * 0.06, false, true},
		{"plate around the winding", Metal{Plate: Plate{Diameter: 0.12, Hole: 0.05, Height: 0.1}}, Primary{}, math.Pi * (0.06*0.06 - 0.025*0.025), false, true},
		{"box", Metal{Box: Box{Diameter: 0.14, Bottom: -0.03, Top: 0.25}}, Primary{}, math.Pi*0.14*0.28 + 2*math.Pi*0.07*0.07, false, true},
		{"primary", Metal{}, p, 3 * math.Pi * 0.08 * math.Pi * 0.001, false, false},
	} {
		list := c.m.pieces(c.p, wide, length)
		if len(list) != 1 || list[0].floating != c.floating || list[0].closed != c.closed {
			t.Errorf("%s: %d pieces, %+v", c.what, len(list), list)
			continue
		}
		area := 0.0
		for i := range list[0].surface {
			r := &list[0].surface[i]
			area += r.area()
			rho, z := r.at(0)
			switch {
			case !(r.length() > 0):
				t.Errorf("%s: piece %d has no length", c.what, i)
			case c.what == "plate" && (z != -0.02 || rho < wide/2 && r.length() > 0.0101), c.what == "plate around the winding" && (z != 0.1 || rho < 0.025 || rho < 0.03 && r.length() > 0.0051):
				t.Errorf("%s: piece %d, %v long, at %v, %v high", c.what, i, r.length(), rho, z)
			case c.what == "box" && z != -0.03 && z != 0.25 && (!(math.Abs(rho-0.07) <= 1e-12) || r.length() > 0.055/3):
				t.Errorf("%s: piece %d, %v long, at %v, %v high", c.what, i, r.length(), rho, z)
			case c.what == "box" && z == -0.03 && rho < wide/2 && r.length() > 0.0151, c.what == "box" && z == 0.25 && rho < wide/2 && r.length() > 0.0251:
				t.Errorf("%s: floor or lid, piece %d, %v long, at %v", c.what, i, r.length(), rho)
			}
		}
		near.Times(t, c.what+", area", area, c.area, 1e-4)
		coil := Coil{Turns: 300, Diameter: wide, Length: length, Wire: 0.2e-3, Metal: c.m, Primary: c.p}
		e := coil.electrodes(8, math.Inf(1), normal())
		for _, r := range list[0].surface { // the electric field sees the same pieces
			if !slices.Contains(e.ribbons, r) {
				t.Errorf("%s: no electrode at %+v", c.what, r)
			}
		}
	}
}

// What a core does with all of it in is the same wherever it is drawn: of one drawn half in, that of the one that fills
// the winding, gain and capacitance; a ladder has no room for one as thick as the winding.
func TestAllOfACoreDrawnHalfIn(t *testing.T) {
	half := Coil{Turns: 200, Diameter: 0.03, Length: 0.12, Wire: 0.3e-3, Slices: 8, Beads: Beads{Diameter: 0.012, Length: 0.06, Count: 1, Permeability: 60}}
	all := half
	all.Beads.Length = 0.12
	p, q := must.Get(half.Predict()).In(t).Core, must.Get(all.Predict()).In(t).Core
	near.Times(t, "gain with all in", p.Full.Value, q.Full.Value, 1e-12)
	near.Times(t, "that of the whole one", q.Gain.Value, q.Full.Value, 2e-3)
	near.Times(t, "by itself", must.Get(half.FullGain()).In(t), q.Full.Value, 1e-12)
	near.Times(t, "capacitance", p.Capacitance.Value, q.Capacitance.Value, 1e-12)
	if !(p.Gain.Value < 0.9*p.Full.Value) {
		t.Errorf("half in %v, all in %v", p.Gain.Value, p.Full.Value)
	}
	shape := half.Shape()
	shape.Core.Diameter = 0.031
	var impossible *Impossible
	if _, err := NewLadder(shape); !errors.As(err, &impossible) || impossible.Flaw != BeadsTooThick || !slices.Equal(impossible.Values, []float64{0.031, 0.03}) {
		t.Errorf("%+v", impossible)
	}
}
