package field

import (
	"errors"
	"math"
	"slices"
	"testing"

	"fitcoil/internal/must"
)

// Every dimension by itself, on either side of each of its bounds: what is told, and what would do.
func TestEachDimensionAtItsBounds(t *testing.T) {
	check := func(c Coil, what string, set func(c *Coil, v float64), low, high float64, also ...float64) {
		t.Helper()
		for _, b := range []struct {
			v    float64
			fits bool
		}{{low + 1e-3*math.Abs(low), true}, {low - 1e-3*math.Abs(low), false}, {high * 0.999, true}, {high * 1.001, false}} {
			if b.v == 0 || math.IsInf(b.v, 0) || math.IsNaN(b.v) {
				continue
			}
			d := c
			set(&d, b.v)
			var size *SizeError
			err := d.CheckSizes()
			if errors.As(err, &size); b.fits && size != nil && size.Quantity == what || !b.fits && (size == nil || size.Quantity != what || size.Value != b.v) {
				t.Errorf("%s %v: %v", what, b.v, err)
			}
			if !b.fits && size != nil && (!(math.Abs(size.Low-low) <= 1e-9*math.Abs(low)) || !(math.Abs(size.High-high) <= 1e-9*high) && size.High != high) {
				t.Errorf("%s %v: from %v to %v, want %v to %v", what, b.v, size.Low, size.High, low, high)
			}
		}
	}
	for _, d := range []struct {
		what      string
		set       func(c *Coil, v float64)
		low, high float64
	}{
		{"winding diameter", func(c *Coil, v float64) { c.Diameter = v }, 0.5e-3, 5},
		{"winding length", func(c *Coil, v float64) { c.Length = v }, 1e-4, 50},
		{"turns", func(c *Coil, v float64) { c.Turns = v }, 0.1, 1e6},
		{"wire diameter", func(c *Coil, v float64) { c.Wire = v }, 5e-6, 0.1},
		{"ball diameter", func(c *Coil, v float64) { c.Ball = v }, 1e-4, 10},
		{"ball gap", func(c *Coil, v float64) { c.BallGap = v }, 0, 50},
		{"height above ground", func(c *Coil, v float64) { c.Height = v }, 0, 1000},
		{"hand diameter", func(c *Coil, v float64) { c.Hand = v }, 1e-3, 10},
		{"bead diameter", func(c *Coil, v float64) { c.Beads.Diameter = v }, 1e-4, 5},
		{"bead length", func(c *Coil, v float64) { c.Beads.Length = v }, 2e-5, 50},
		{"bead spacing", func(c *Coil, v float64) { c.Beads.Spacing = v }, 0, 50},
		{"former outer diameter", func(c *Coil, v float64) { c.Former.Outer = v }, 0.2e-3, 5},
		{"former inner diameter", func(c *Coil, v float64) { c.Former.Inner = v }, 0, 5},
		{"former permittivity", func(c *Coil, v float64) { c.Former.Permittivity = v }, 1, 100},
		{"coating thickness", func(c *Coil, v float64) { c.Coating.Thickness = v }, 1e-6, 1},
		{"coating permittivity", func(c *Coil, v float64) { c.Coating.Permittivity = v }, 1, 100},
		{"primary turns", func(c *Coil, v float64) { c.Primary.Turns = v }, 0.25, mostPrimary},
		{"primary diameter", func(c *Coil, v float64) { c.Primary.Diameter = v }, 1e-3, 10},
		{"primary wire diameter", func(c *Coil, v float64) { c.Primary.Wire = v }, 5e-6, 0.1},
		{"primary spacing", func(c *Coil, v float64) { c.Primary.Spacing = v }, 0, 1},
		{"ring diameter", func(c *Coil, v float64) { c.Ring.Diameter = v }, 1e-3, 10},
		{"ring thickness", func(c *Coil, v float64) { c.Ring.Thickness = v }, 1e-5, 1},
		{"plate diameter", func(c *Coil, v float64) { c.Plate.Diameter = v }, 1e-3, 50},
		{"plate hole", func(c *Coil, v float64) { c.Plate.Hole = v }, 0, 50},
		{"box diameter", func(c *Coil, v float64) { c.Box.Diameter = v }, 1e-3, 50},
		{"bead permeability", func(c *Coil, v float64) { c.Beads.Permeability = v }, 1, 1e6},
	} {
		check(Coil{}, d.what, d.set, d.low, d.high)
	}
	if err := (Coil{Beads: Beads{Count: 200}}).CheckSizes(); err != nil {
		t.Error(err)
	}
	if err := (Coil{Beads: Beads{Count: 201}}).CheckSizes(); err == nil {
		t.Error("201 beads")
	}
	// Against each other, of a coil 20 mm wide and 100 mm long: 20 times its size is 2.4 m.
	of := func(change func(c *Coil)) Coil {
		c := Coil{Diameter: 20e-3, Length: 100e-3, Turns: 200, Wire: 0.3e-3}
		change(&c)
		return c
	}
	none := func(*Coil) {}
	beads := func(c *Coil) { c.Beads = Beads{Diameter: 8e-3, Length: 10e-3, Count: 5, Spacing: 1e-3} }
	for _, d := range []struct {
		c         Coil
		what      string
		set       func(c *Coil, v float64)
		low, high float64
	}{
		{of(func(c *Coil) { c.Turns, c.Wire = 0, 0 }), "winding length", func(c *Coil, v float64) { c.Length = v }, 0.2e-3, 2},
		{of(func(c *Coil) { c.Wire = 0 }), "turns", func(c *Coil, v float64) { c.Turns = v }, 0, 1e4},
		{of(none), "wire diameter", func(c *Coil, v float64) { c.Wire = v }, 0, 1.001 * 0.5e-3},
		{of(none), "ring height", func(c *Coil, v float64) { c.Ring.Height = v }, -2.4, 2.4},
		{of(none), "plate height", func(c *Coil, v float64) { c.Plate.Height = v }, -2.4, 2.4},
		{of(none), "box bottom", func(c *Coil, v float64) { c.Box.Bottom = v }, -2.4, 2.4},
		{of(none), "box top", func(c *Coil, v float64) { c.Box.Top = v }, -2.4, 2.4},
		{of(none), "ring diameter", func(c *Coil, v float64) { c.Ring.Diameter = v }, 0, 2.4},
		{of(none), "plate diameter", func(c *Coil, v float64) { c.Plate.Diameter = v }, 0, 2.4},
		{of(none), "box diameter", func(c *Coil, v float64) { c.Box.Diameter = v }, 0, 2.4},
		{of(func(c *Coil) { c.Ring.Diameter = 0.2 }), "ring thickness", func(c *Coil, v float64) { c.Ring.Thickness = v }, 0, 0.1},
		{of(func(c *Coil) { c.Plate.Diameter = 0.2 }), "plate hole", func(c *Coil, v float64) { c.Plate.Hole = v }, 0, 0.198},
		{of(beads), "bead length", func(c *Coil, v float64) { c.Beads.Length = v }, 0.08e-3, 0.8},
		{of(beads), "bead spacing", func(c *Coil, v float64) { c.Beads.Spacing = v }, 0, 2.4},
		{of(beads), "bead start", func(c *Coil, v float64) { c.Beads.Start = v }, -2.4, 2.4},
		{of(beads), "bead diameter", func(c *Coil, v float64) { c.Beads.Diameter = v }, 0.2e-3, 20e-3 - 0.3e-3},
		{of(func(c *Coil) { beads(c); c.Former = Tube{Outer: 16e-3, Permittivity: 3} }), "former inner diameter", func(c *Coil, v float64) { c.Former.Inner = v }, 8e-3, 16e-3 * 0.999},
		{of(func(c *Coil) { beads(c); c.Primary.Turns = 3 }), "primary diameter", func(c *Coil, v float64) { c.Primary.Diameter = v }, 8e-3 * 1.001, 2.4},
		{of(func(c *Coil) { beads(c); c.Primary.Turns, c.Primary.Diameter = 3, 0.05 }), "primary height", func(c *Coil, v float64) { c.Primary.Height = v }, -2.4, 2.4},
	} {
		check(d.c, d.what, d.set, d.low, d.high)
	}
	for outer, fits := range map[float64]bool{19.7e-3: true, 19.71e-3: false} { // the turns leave 20 mm less 0.999 of the wire's 0.3
		c := of(beads)
		c.Former = Tube{Inner: 12e-3, Outer: outer, Permittivity: 3}
		if err := c.CheckSizes(); (err == nil) != fits {
			t.Errorf("former %v: %v", outer, err)
		}
	}
	// A rod all along is no thinner than 1/250 of the winding; of beads 2400 fields fit, five each and one
	// by bead of their length over diameter: five of 11 mm in 100 mm are nine and a bit.
	long := Coil{Diameter: 20e-3, Length: 1.5}
	check(long, "bead diameter", func(c *Coil, v float64) { c.Beads = Beads{Diameter: v, Count: 1} }, 6e-3, math.Inf(1))
	held := 100.0 / 11
	c := of(beads)
	c.Beads.Diameter = 10e-3 / (2400/held - 5) * 0.999
	if c.Beads.Diameter < 10e-3/100 {
		c.Beads.Diameter = 10e-3 / 100 * 0.999 // the bead itself is too thin first
	}
	if err := c.CheckSizes(); err == nil {
		t.Errorf("beads %v thick", c.Beads.Diameter)
	}
}

// What makes a coil impossible though its sizes are not.
func TestImpossibleCoils(t *testing.T) {
	for what, change := range map[string]func(c *Coil){
		"no turns": func(c *Coil) { c.Turns = 0 }, "no diameter": func(c *Coil) { c.Diameter = 0 }, "no length": func(c *Coil) { c.Length = 0 },
		"one slice": func(c *Coil) { c.Slices = 1 }, "fewer": func(c *Coil) { c.Slices = -1 },
		"beads without a diameter": func(c *Coil) { c.Beads.Diameter = 0 }, "without a length": func(c *Coil) { c.Beads.Length = 0 }, "minus one": func(c *Coil) { c.Beads.Count = -1 },
		"no more than air": func(c *Coil) { c.Beads.Permeability = 1 }, "of nothing": func(c *Coil) { c.Beads.Permeability = 0 }, "less than air": func(c *Coil) { c.Beads.Permittivity = 0.9 },
	} {
		c := drawnCoil()
		must.Do(t, c.Check())
		if change(&c); c.Check() == nil {
			t.Errorf("%s is possible", what)
		}
	}
	c := drawnCoil()
	if c.Slices, c.Beads.Count, c.Beads.Permeability = 2, 0, 0; c.Check() != nil {
		t.Error(c.Check())
	}
}

// Every bound tells where it comes from, in words that end a sentence; none for what holds for any coil. Turns, a count, and
// what is relative are plain numbers.
func TestWhatBoundsComeFrom(t *testing.T) {
	c := Coil{Turns: 200, Diameter: 20e-3, Length: 100e-3, Wire: 0.3e-3, Former: Tube{Outer: 16e-3, Permittivity: 3}, Primary: Primary{Turns: 3, Diameter: 0.05},
		Beads: Beads{Diameter: 8e-3, Length: 10e-3, Count: 5, Spacing: 1e-3}}
	rod := c
	rod.Beads = Beads{Diameter: 8e-3, Length: 90e-3, Count: 1}
	const size = "20 times the size of the coil"
	want := map[string][]string{
		"winding length": {"1/100 to 100 times the winding diameter"}, "turns": {"a pitch of 10 µm"}, "wire diameter": {"the winding length over the turns"},
		"bead length":           {"1/100 to 100 times the bead diameter", size, "so that the winding holds 300 beads or fewer"},
		"bead diameter":         {"to fit into the winding", "for beads of this length, as many as there are or fit", "1/250 of the winding length, for a rod"},
		"former outer diameter": {"to lie inside the turns and outside its own bore"}, "former inner diameter": {"to lie inside the turns and to hold the core"},
		"primary diameter": {"to go around the core, and 20 times the size of the coil"}, "primary height": {size}, "bead spacing": {size}, "bead start": {size},
		"ring height": {size}, "plate height": {size}, "box bottom": {size}, "box top": {size}, "ring diameter": {size}, "plate diameter": {size}, "box diameter": {size},
		"ring thickness": {"half of the ring diameter"}, "plate hole": {"within the plate diameter"},
	}
	pure := []string{"turns", "bead count", "former permittivity", "coating permittivity", "primary turns", "bead permeability"}
	told := map[string][]string{}
	for _, c := range []Coil{c, rod} {
		for i, list := range [][]SizeError{c.anyCoil(), c.winding(), c.core(), c.around()} {
			for _, e := range list {
				if e.Pure != slices.Contains(pure, e.Quantity) || (e.Against == "") != (i == 0) {
					t.Errorf("%+v", e)
				}
				if i > 0 && !slices.Contains(told[e.Quantity], e.Against) {
					told[e.Quantity] = append(told[e.Quantity], e.Against)
				}
			}
		}
	}
	for what, list := range want {
		if !slices.Equal(told[what], list) {
			t.Errorf("%s: %q, want %q", what, told[what], list)
		}
	}
	if len(told) != len(want) {
		t.Errorf("told of %d quantities, want %d", len(told), len(want))
	}
}
