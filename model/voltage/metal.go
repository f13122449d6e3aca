package voltage

import (
	"math"

	"fitcoil/model/field"
)

// body is grounded metal near a coil: how far a point outside is from it [m].
type body struct {
	kind Kind
	from func(rho, z float64) float64
}

// grounded lists the grounded metal around c. What floats is at a voltage of its own, and
// left out.
func grounded(c field.Coil) (list []body) {
	if p := c.Primary; p.Turns > 0 && p.Metal == field.Grounded {
		low, high := p.Height, p.Height+math.Max(0, math.Ceil(p.Turns)-1)*p.Spacing
		list = append(list, body{ToPrimary, func(rho, z float64) float64 {
			beyond := math.Max(math.Max(low-z, z-high), 0)
			return math.Hypot(rho-p.Diameter/2, beyond) - p.Wire/2
		}})
	}
	if r := c.Ring; r.Diameter > 0 && !r.Floating {
		list = append(list, body{ToRing, func(rho, z float64) float64 {
			return math.Hypot(rho-r.Diameter/2, z-r.Height) - r.Thickness/2
		}})
	}
	if p := c.Plate; p.Diameter > 0 {
		list = append(list, body{ToPlate, func(rho, z float64) float64 {
			return math.Hypot(math.Max(math.Max(p.Hole/2-rho, rho-p.Diameter/2), 0), z-p.Height)
		}})
	}
	if b := c.Box; b.Diameter > 0 {
		list = append(list, body{ToBox, func(rho, z float64) float64 {
			return math.Min(b.Diameter/2-rho, math.Min(z-b.Bottom, b.Top-z))
		}})
	}
	return list
}

// toMetal lists, for each body of grounded metal, the gap from winding or ball whose voltage
// is farthest above, or least below, what has been seen to spark over it.
func toMetal(c field.Coil, p field.Profile) (gaps []Gap) {
	for _, b := range grounded(c) {
		worst := Gap{Kind: b.kind, Distance: math.Inf(1)}
		see := func(share, height, distance float64) {
			if distance = math.Max(distance, 0); share/Spark(distance) > worst.Share/Spark(worst.Distance) {
				worst.Share, worst.Height, worst.Distance = share, height, distance
			}
		}
		for k, z := range p.Height {
			see(math.Abs(p.Voltage[k]), z, b.from((c.Diameter+c.Wire)/2, z))
		}
		if r := c.Ball / 2; r > 0 {
			middle := c.Length + c.BallGap + r
			for i := range 91 {
				sin, cos := math.Sincos(math.Pi * float64(i) / 90)
				see(1, middle+r*cos, b.from(r*sin, middle+r*cos))
			}
		}
		gaps = append(gaps, worst)
	}
	return gaps
}
