package field

import (
	"errors"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"fitcoil/internal/must"
)

func drawnCoil() Coil {
	return Coil{Turns: 640, Diameter: 28e-3, Length: 0.24, Wire: 0.32e-3, Ball: 18e-3,
		Beads: Beads{Diameter: 16e-3, Length: 10e-3, Spacing: 4e-3, Count: 17, Permeability: 120, Start: 2e-3}}
}

// One slip of a unit is refused before anything is computed, and by the
// quantity that slipped.
func TestSlipsOfAUnit(t *testing.T) {
	for name, slip := range map[string]func(*Coil){
		"winding length":      func(c *Coil) { c.Length = 24 },
		"winding diameter":    func(c *Coil) { c.Diameter = 28 },
		"turns":               func(c *Coil) { c.Turns = 640e3 },
		"wire diameter":       func(c *Coil) { c.Wire = 0.32 },
		"ball diameter":       func(c *Coil) { c.Ball = 18 },
		"ball gap":            func(c *Coil) { c.BallGap = 2000 },
		"height above ground": func(c *Coil) { c.Height = 8000 },
		"hand diameter":       func(c *Coil) { c.Hand = 100 },
		"bead diameter":       func(c *Coil) { c.Beads.Diameter = 16e-6 },
		"bead length":         func(c *Coil) { c.Beads.Length = 10 },
		"bead spacing":        func(c *Coil) { c.Beads.Spacing = 20 },
		"bead count":          func(c *Coil) { c.Beads.Count = 17000 },
		"bead start":          func(c *Coil) { c.Beads.Start = -20 },
	} {
		c := drawnCoil()
		must.Do(t, c.Check())
		slip(&c)
		for what, err := range map[string]error{"coil": c.Check(), "ladder": ladderError(c)} {
			var size *SizeError
			if what == "ladder" && (name == "turns" || name == "wire diameter" || name == "ball diameter" || name == "ball gap" || name == "hand diameter") {
				continue // it has none of these
			}
			if !errors.As(err, &size) || size.Quantity != name {
				t.Errorf("%s, %s: %v", what, name, err)
			}
		}
	}
}

func ladderError(c Coil) error {
	begin := time.Now()
	_, err := NewLadder(Shape{Diameter: c.Diameter, Length: c.Length, Height: c.Height, Core: c.Beads})
	if time.Since(begin) > 10*time.Second {
		return errors.New("it was computed")
	}
	return err
}

// What passes takes a bounded number of cells, whatever the dimensions.
func TestCellsAreBounded(t *testing.T) {
	passed := 0
	rapid.Check(t, func(t *rapid.T) {
		size := func(what string, low, high float64) float64 {
			return math.Pow(10, rapid.Float64Range(low, high).Draw(t, what))
		}
		c := Coil{Turns: size("turns", 0, 4), Diameter: size("diameter", -2.5, 0)}
		c.Length = c.Diameter * size("slenderness", -3, 3)
		c.Beads = Beads{Diameter: c.Diameter * size("bead diameter", -3, 0), Permeability: 100}
		c.Beads.Length, c.Beads.Spacing = c.Diameter*size("bead length", -4, 3), c.Diameter*size("bead spacing", -5, 2)
		c.Beads.Count = rapid.SampledFrom([]int{0, 1, 2, 20, 200, 300}).Draw(t, "beads")
		if c.CheckSizes() != nil {
			return
		}
		passed++
		if n := len(c.electrodes(80, math.Inf(1), normal()).ribbons); n > 600 {
			t.Fatalf("%d cells of the winding: %+v", n, c)
		}
		for _, b := range []Beads{c.Beads, c.Beads.filling(0, c.Length)} {
			if b.Count == 0 {
				continue
			}
			one := len(b.surface(0, normal()))
			modes := 5 + int(b.Length/b.Diameter)
			if b.Count == 1 || modes >= one {
				modes = one - 1
			}
			if n := b.Count * modes; n > 3600 || b.Count*one > 12000 {
				t.Fatalf("%d modes in %d × %d cells of a core: %+v", n, b.Count, one, c)
			}
		}
	})
	if passed == 0 {
		t.Error("no coil passed")
	}
}

// No coil that could stand on a bench is refused: invented ones, wide apart.
func TestBenchesPass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.Float64Range
		c := Coil{Diameter: math.Exp(draw(math.Log(6e-3), math.Log(0.5)).Draw(t, "diameter"))}
		c.Length = c.Diameter * math.Exp(draw(math.Log(0.1), math.Log(40)).Draw(t, "slenderness"))
		pitch := math.Exp(draw(math.Log(0.06e-3), math.Log(3e-3)).Draw(t, "pitch"))
		c.Turns = math.Max(1, math.Floor(c.Length/pitch))
		c.Wire = c.Length / c.Turns * draw(0.3, 0.95).Draw(t, "wire")
		c.Ball = c.Diameter * draw(0.2, 8).Draw(t, "ball")
		c.BallGap, c.Height, c.Hand = draw(0, 0.3).Draw(t, "gap"), draw(0, 2).Draw(t, "height"), draw(0.03, 0.5).Draw(t, "hand")
		if c.Wire > c.Diameter/10 {
			return // a strap, not a wire
		}
		b := &c.Beads
		b.Diameter = (c.Diameter - c.Wire) * draw(0.2, 0.95).Draw(t, "bead diameter")
		b.Length = b.Diameter * draw(0.3, 4).Draw(t, "bead length")
		b.Spacing = b.Length * draw(0, 0.5).Draw(t, "spacing")
		b.Count = rapid.IntRange(0, int(math.Max(1, math.Min(80, c.Length/b.pitch())))).Draw(t, "count")
		b.Start, b.Permeability = draw(-0.2, 0.5).Draw(t, "start")*c.Length, draw(10, 15000).Draw(t, "permeability")
		b.Start = math.Min(b.Start, c.Length+c.BallGap-b.Whole()) // the ball is in the way
		if c.Length/b.pitch() > 300 {
			return // more beads than anybody threads
		}
		if err := c.Check(); err != nil {
			t.Fatalf("%v: %+v", err, c)
		}
	})
}

// Beads end below the ball, but for a gap or what the sizes leave open; without a ball they may stick
// out.
func TestBeadsDontReachIntoTheBall(t *testing.T) {
	c := Coil{Turns: 450, Diameter: 22e-3, Length: 160e-3, Wire: 0.25e-3, Ball: 14e-3,
		Beads: Beads{Diameter: 12e-3, Length: 8e-3, Spacing: 3e-3, Count: 14, Start: 5e-3, Permeability: 250}}
	for _, k := range []struct {
		count     int
		gap, ball float64
		fits      bool
	}{{14, 0, 14e-3, true}, {15, 0, 14e-3, false}, {15, 5e-3, 14e-3, true}, {20, 0, 14e-3, false}, {20, 0, 0, true}, {20, 80e-3, 14e-3, true}} {
		c.Beads.Count, c.BallGap, c.Ball = k.count, k.gap, k.ball
		if err := c.Check(); (err == nil) != k.fits {
			t.Errorf("%+v: %v", k, err)
		}
	}
}
