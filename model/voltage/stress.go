package voltage

import (
	"cmp"
	"math"

	"fitcoil/model/field"
	"fitcoil/stable"
)

// Stress is how the voltage of the top divides over a coil: all shares are of the
// voltage at the top.
type Stress struct {
	Profile    field.Profile
	Gradient   float64   // 1/m, the largest along the winding
	GradientAt float64   // m, height where that is
	Turns      float64   // share between neighbouring turns there
	Beads      []float64 // share at which each bead floats, from the lowest up; none without a core
	Current    float64   // A into the grounded end per V at the top
	Density    float64   // A/m² of that over the section of the bare wire; 0 where the wire isn't known
	Gaps       []Gap     // the one of each kind that is nearest to sparking, and all between beads
}

// Of returns how the voltage of p stands on the coil c, with its beads if core is true.
// p holds heights from the grounded end to the top.
func Of(c field.Coil, p field.Profile, core bool) Stress {
	s := Stress{Profile: p}
	s.Gradient, s.GradientAt = steepest(p)
	pitch := c.Length / c.Turns
	s.Turns = s.Gradient * pitch
	if s.Current = p.Base; c.Wire > 0 {
		s.Density = p.Base / (math.Pi / 4 * c.Wire * c.Wire)
	}
	s.Gaps = append(s.Gaps, Gap{Kind: BetweenTurns, Height: s.GradientAt, Share: s.Turns, Distance: math.Max(0, pitch-c.Wire)})
	s.Gaps = append(s.Gaps, toMetal(c, p)...)
	if !core || c.Beads.Count == 0 {
		return s
	}
	b := c.Beads
	widest := Gap{Kind: CoreToWinding, Distance: (c.Diameter - c.Wire - b.Diameter) / 2}
	for i := range b.Count {
		low := b.Start + float64(i)*(b.Length+b.Spacing)
		high := low + b.Length
		v := mean(p, low, high)
		s.Beads = append(s.Beads, v)
		if i > 0 {
			s.Gaps = append(s.Gaps, Gap{Kind: BetweenBeads, Lower: i, Height: low - b.Spacing/2, Share: math.Abs(v - s.Beads[i-1]), Distance: b.Spacing})
		}
		for _, z := range []float64{math.Max(low, 0), math.Min(high, c.Length)} {
			if d := math.Abs(at(p, z) - v); low < c.Length && high > 0 && d > widest.Share {
				widest.Share, widest.Height = d, z
			}
		}
	}
	s.Gaps = append(s.Gaps, widest)
	return s
}

// Widest returns the gap of a kind with the largest share; ok is false without one.
func (s *Stress) Widest(k Kind) (g Gap, ok bool) {
	for _, o := range s.Gaps {
		if o.Kind == k && (!ok || o.Share > g.Share) {
			g, ok = o, true
		}
	}
	return g, ok
}

// steepest returns the largest gradient of the voltage of p [1/m], and its height. The
// differences between heights are the gradients in the middles; a parabola through three
// of them gives that at an end.
func steepest(p field.Profile) (gradient, height float64) {
	n := len(p.Height) - 1
	g := make([]float64, n)
	for i := range g {
		g[i] = math.Abs((p.Voltage[i+1] - p.Voltage[i]) / (p.Height[i+1] - p.Height[i]))
		if g[i] > gradient {
			gradient, height = g[i], (p.Height[i]+p.Height[i+1])/2
		}
	}
	if n < 3 {
		return gradient, height
	}
	end := func(a, b, c float64) float64 { return (15*a - 10*b + 3*c) / 8 }
	if e := end(g[0], g[1], g[2]); e > gradient {
		gradient, height = e, p.Height[0]
	}
	if e := end(g[n-1], g[n-2], g[n-3]); e > gradient {
		gradient, height = e, p.Height[n]
	}
	return gradient, height
}

// At returns the share at a height of the winding.
func (s *Stress) At(height float64) float64 { return at(s.Profile, height) }

// at returns the voltage of p at a height: nothing below the grounded end, that of the
// top above it.
func at(p field.Profile, z float64) float64 {
	last := len(p.Height) - 1
	switch {
	case z <= p.Height[0]:
		return p.Voltage[0]
	case z >= p.Height[last]:
		return p.Voltage[last]
	}
	i := 1
	for p.Height[i] < z {
		i++
	}
	t := (z - p.Height[i-1]) / (p.Height[i] - p.Height[i-1])
	return p.Voltage[i-1] + t*(p.Voltage[i]-p.Voltage[i-1])
}

// mean returns the mean voltage of p between two heights.
func mean(p field.Profile, low, high float64) float64 {
	cuts := []float64{low}
	for _, z := range p.Height {
		if z > low && z < high {
			cuts = append(cuts, z)
		}
	}
	cuts = append(cuts, high)
	sum := 0.0
	for i, z := range cuts[1:] {
		sum += (z - cuts[i]) * (at(p, z) + at(p, cuts[i])) / 2
	}
	return sum / (high - low)
}

// MaySpark returns the gaps of s that may spark with the top at v volts, peak: those
// whose voltage is above Spark, the one farthest above it first. The one between turns is held against Paschen's minimum,
// since air fills wedges of any thickness beside the wire.
func (s *Stress) MaySpark(v float64) (gaps []Gap) {
	for _, g := range s.Gaps {
		if g.Share*v > g.Spark() {
			gaps = append(gaps, g)
		}
	}
	stable.Sort(gaps, func(a, b Gap) int { return cmp.Compare(b.Share/b.Spark(), a.Share/a.Spark()) })
	return gaps
}

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
