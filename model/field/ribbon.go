package field

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// ribbon is a narrow band of a surface of revolution: its meridian is a
// straight line, or an arc. Its charge density is
// constant.
type ribbon struct {
	rho0, z0, rho1, z1 float64 // ends of the line
	radius, centre     float64 // of the arc; radius 0 for a line
	axis               float64 // distance of the arc's centre from the axis
	from, to           float64 // polar angles of the arc's ends, from the upper pole
}

// line cuts a straight meridian at the fractions edges into ribbons.
func line(rho0, z0, rho1, z1 float64, edges []float64) []ribbon {
	rs := make([]ribbon, len(edges)-1)
	for i := range rs {
		a, b := edges[i], edges[i+1]
		rs[i] = ribbon{
			rho0: rho0 + a*(rho1-rho0), z0: z0 + a*(z1-z0),
			rho1: rho0 + b*(rho1-rho0), z1: z0 + b*(z1-z0),
		}
	}
	return rs
}

// sphere cuts a sphere at the fractions edges of its meridian into ribbons.
func sphere(radius, centre float64, edges []float64) []ribbon {
	rs := make([]ribbon, len(edges)-1)
	for i := range rs {
		rs[i] = ribbon{radius: radius, centre: centre, from: math.Pi * edges[i], to: math.Pi * edges[i+1]}
	}
	return rs
}

// at returns the meridian's point at t ∈ [−1, 1].
func (r *ribbon) at(t float64) (rho, z float64) {
	s := (1 + t) / 2
	if r.radius > 0 {
		sin, cos := math.Sincos(r.from + s*(r.to-r.from))
		return r.axis + r.radius*sin, r.centre + r.radius*cos
	}
	return r.rho0 + s*(r.rho1-r.rho0), r.z0 + s*(r.z1-r.z0)
}

func (r *ribbon) length() float64 {
	if r.radius > 0 {
		return r.radius * (r.to - r.from)
	}
	return math.Hypot(r.rho1-r.rho0, r.z1-r.z0)
}

// mean returns the mean over r of f(ρ, z), by Gauss's rule of three points.
func (r *ribbon) mean(f func(rho, z float64) float64) float64 {
	nodes, weights := gauss3()
	sum, weight := 0.0, 0.0
	for i, x := range nodes {
		rho, z := r.at(x)
		sum += weights[i] * rho * f(rho, z)
		weight += weights[i] * rho
	}
	return sum / weight
}

// potential returns the mean of 1/4πR [1/m] between (ρ, z) and r: ε0 times the
// potential of one coulomb on r.
func (r *ribbon) potential(rho, z float64) float64 {
	nodes, weights := gauss3()
	weight := 0.0
	for i, x := range nodes {
		sr, _ := r.at(x)
		weight += weights[i] * sr
	}
	return r.integral(rho, z, -1, 1, 12, func(sr, dz float64) float64 { return sr * ringMean(sr, rho, dz) }) / weight / (4 * math.Pi)
}

// integral integrates over [t0, t1] what a ring of r, of the radius and at the height given
// above (ρ, z), makes there: ring, which has a logarithm where both meet. It is cut in
// halves where (ρ, z) is near.
func (r *ribbon) integral(rho, z, t0, t1 float64, depth int, ring func(a, dz float64) float64) float64 {
	mid, half := (t0+t1)/2, (t1-t0)/2
	sr, sz := r.at(mid)
	distance, size := math.Hypot(sr-rho, sz-z), r.length()*half
	switch {
	case depth > 0 && distance < 1e-9*size:
		return r.singular(z, mid, t0, ring) + r.singular(z, mid, t1, ring)
	case depth > 0 && distance < 2*size:
		return r.integral(rho, z, t0, mid, depth-1, ring) + r.integral(rho, z, mid, t1, depth-1, ring)
	}
	nodes, weights := gauss3()
	sum := 0.0
	for i, x := range nodes {
		sr, sz := r.at(mid + half*x)
		sum += weights[i] * ring(sr, sz-z)
	}
	return sum * half
}

// singular integrates ring from t0, where the point of height z lies, to t1 with
// t − t0 ∝ s³, which takes the edge off the logarithm.
func (r *ribbon) singular(z, t0, t1 float64, ring func(a, dz float64) float64) float64 {
	nodes, weights := gauss6()
	sum := 0.0
	for i, x := range nodes {
		s := (1 + x) / 2
		sr, sz := r.at(t0 + (t1-t0)*s*s*s)
		sum += weights[i] / 2 * 3 * s * s * ring(sr, sz-z)
	}
	return sum * math.Abs(t1-t0)
}

// ringMean is the mean of 1/R over a ring of radius a, seen from radius rho and
// height z (Smythe, Static and Dynamic Electricity, 3rd ed., 5.02).
func ringMean(a, rho, z float64) float64 {
	w2 := (a+rho)*(a+rho) + z*z
	return 2 / math.Pi * completeK(4*a*rho/w2, ((a-rho)*(a-rho)+z*z)/w2) / math.Sqrt(w2)
}

// completeK is the complete elliptic integral K of the parameter m = 1 − m1; near 1, where m
// rounds, by ln(4/√m1) (DLMF 19.12.1).
func completeK(m, m1 float64) float64 {
	if m1 < nearOne {
		return math.Log(16/m1) / 2
	}
	return mathext.CompleteK(m)
}

// nearOne is the 1 − m below which K and E are taken by their first terms: what is left out is
// below it.
const nearOne = 1e-9
