package field

import (
	"math"
)

// checkMetal returns what makes the metal around c impossible, nil if nothing does.
func (c Coil) checkMetal() error {
	r, p, b := c.Ring, c.Plate, c.Box
	switch {
	case c.primaryTouches():
		return impossible(PrimaryTouches)
	case r != Ring{} && !(r.Diameter > 0 && r.Thickness > 0 && r.Thickness < r.Diameter/2):
		return impossible(RingIncomplete)
	case r.Diameter > 0 && c.clearance(r.Diameter/2, r.Height) <= r.Thickness/2:
		return impossible(RingTouches)
	case p != Plate{} && !(p.Diameter > p.Hole && p.Hole >= 0):
		return impossible(PlateIncomplete)
	case p.Diameter > 0 && c.clearance(p.Hole/2, p.Height) <= 0:
		return impossible(PlateTouches)
	case b != Box{} && !(b.Diameter > 0 && b.Top > b.Bottom):
		return impossible(BoxIncomplete)
	case b.Diameter > 0:
		return c.checkBox()
	}
	return nil
}

// primaryTouches tells whether a primary whose metal counts runs into the winding's wire.
func (c Coil) primaryTouches() bool {
	p := c.Primary
	if p.Turns == 0 || p.Metal == NotCounted {
		return false
	}
	heights, _ := p.loops()
	for _, h := range heights {
		beyond := math.Max(math.Max(-h, h-c.Length), 0)
		if math.Hypot(math.Max(math.Abs(p.Diameter-c.Diameter)/2-c.Wire/2, 0), beyond) <= p.Wire/2 {
			return true
		}
	}
	return false
}

// checkBox returns what isn't inside the box, nil if all is.
func (c Coil) checkBox() error {
	b := c.Box
	low, high := 0.0, c.top()
	wide := c.outside()
	if c.Ball/2 > wide {
		wide = c.Ball / 2
	}
	if k := c.Beads; k.Count > 0 {
		low, high = math.Min(low, k.Start), math.Max(high, k.Start+k.Whole()-k.Spacing)
	}
	add := func(there bool, height, up, radius float64) {
		if there {
			low, high, wide = math.Min(low, height-up), math.Max(high, height+up), math.Max(wide, radius)
		}
	}
	add(c.Ring.Diameter > 0, c.Ring.Height, c.Ring.Thickness/2, (c.Ring.Diameter+c.Ring.Thickness)/2)
	add(c.Plate.Diameter > 0, c.Plate.Height, 0, c.Plate.Diameter/2)
	if q := c.Primary; q.Turns > 0 {
		ends := q.sheet()
		add(true, ends[0], 0, (q.Diameter+q.Wire)/2)
		add(true, ends[1], 0, 0)
	}
	if !(b.Bottom < low && b.Top > high && b.Diameter/2 > wide) {
		return impossible(BoxTooSmall, low, high, 2*wide)
	}
	if c.Height > 0 && b.Bottom < -c.Height {
		return impossible(BoxBelowGround)
	}
	return nil
}

// Nearly is the part of a winding's length that beads may leave free at either end, or stick out beyond
// it, as by the last gap or by the sizes' own uncertainty. Our choice.
const Nearly = 1.0 / 30

// coreInBall tells whether the core ends in the ball, or goes through it, further than Nearly.
func (c Coil) coreInBall() bool {
	b, ball := c.Beads, c.Length+c.BallGap
	return c.Ball > 0 && b.Start+b.Whole()-b.Spacing > ball+Nearly*c.Length && b.Start < ball+c.Ball
}

// top returns the height of the highest point of winding and ball [m].
func (c Coil) top() float64 {
	if c.Ball > 0 {
		return c.Length + c.BallGap + c.Ball
	}
	return c.Length
}

// outside returns the outer radius of winding and coating [m].
func (c Coil) outside() float64 {
	r := (c.Diameter + c.Wire) / 2
	if c.Coating.Permittivity > 1 {
		r += c.Coating.Thickness
	}
	return r
}

// clearance returns how far the point at radius rho and height z is from winding, ball and
// beads [m]; 0 inside.
func (c Coil) clearance(rho, z float64) float64 {
	from := func(radius, low, high float64) float64 {
		return math.Hypot(math.Max(rho-radius, 0), math.Max(math.Max(low-z, z-high), 0))
	}
	d := from(c.outside(), 0, c.Length)
	if c.Ball > 0 {
		d = math.Min(d, math.Max(math.Hypot(rho, z-c.Length-c.BallGap-c.Ball/2)-c.Ball/2, 0))
	}
	if b := c.Beads; b.Count > 0 {
		d = math.Min(d, from(b.Diameter/2, b.Start, b.Start+b.Whole()-b.Spacing))
	}
	return d
}
