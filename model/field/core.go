package field

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Beads is a core on the axis: one rod (Count 1), or equal beads in a row. The
// zero value is no core.
type Beads struct {
	Diameter, Length float64 // m, of one bead
	Spacing          float64 // m, gap between two beads
	Count            int
	Permeability     float64 // relative, of the material; above 1
	Start            float64 // m, lower face of the lowest bead above the grounded end of the winding
}

// Span returns the length of the whole core [m].
func (b Beads) Span() float64 {
	return float64(b.Count)*b.Length + float64(b.Count-1)*b.Spacing
}

// resolution is how finely a surface is cut: sizes in diameters.
type resolution struct {
	edge, most, growth float64 // lateral panels: the first, the largest, and each to the one before
	rings              int     // of a face
}

var coarse = resolution{edge: 0.03, growth: 1.7, most: 0.25, rings: 5}

// grade returns the edges of panels over [0, length] that grow from both ends
// towards the middle.
func (r resolution) grade(length float64) []float64 {
	half := []float64{0}
	for at, step := 0.0, r.edge; at < length/2; step = math.Min(step*r.growth, r.most) {
		at += step
		half = append(half, at)
	}
	last := len(half) - 1
	scale := length / 2 / half[last]
	edges := make([]float64, 2*last+1)
	for i, x := range half {
		edges[i], edges[2*last-i] = x*scale, length-x*scale
	}
	return edges
}

// surface cuts one bead, whose lower face is at z, into ribbons along its
// meridian from the lower face's middle to the upper's.
func (b Beads) surface(z float64, r resolution) []ribbon {
	a := b.Diameter / 2
	in := make([]float64, r.rings+1)
	out := make([]float64, r.rings+1)
	for i := range in {
		in[i] = math.Sin(math.Pi / 2 * float64(i) / float64(r.rings))
		out[r.rings-i] = 1 - in[i]
	}
	edges := r.grade(b.Length / b.Diameter)
	for i := range edges {
		edges[i] *= b.Diameter / b.Length
	}
	s := line(0, z, a, z, in)
	s = append(s, line(a, z, a, z+b.Length, edges)...)
	return append(s, line(a, z+b.Length, 0, z+b.Length, out)...)
}

// magnet is a core whose magnetisation is described by the flux g of M that
// has entered through its surface up to a point of the meridian: inside, that
// is the flux through the section there. Its charges are differences of g, and
// its response to a field with potential ψ makes the energy
//
//	½ κ ∫M² + ½ ∮ q φ + ∮ q ψ,  κ = 1/χ,
//
// least: (κ T + P) g = h. M is taken to be even over a section, with the
// radial part that its change along the axis demands.
type magnet struct {
	beads   Beads
	ribbons []ribbon
	one     int // ribbons of a bead
	t, p    *mat.SymDense
}

func newMagnet(b Beads, r resolution) *magnet {
	m := &magnet{beads: b}
	pitch := b.Length + b.Spacing
	for i := range b.Count {
		m.ribbons = append(m.ribbons, b.surface(b.Start+float64(i)*pitch, r)...)
	}
	m.one = len(m.ribbons) / b.Count
	n := m.one - 1
	m.t = mat.NewSymDense(b.Count*n, nil)
	m.p = mat.NewSymDense(b.Count*n, nil)
	t := m.own(r)
	for i := range b.Count {
		for j := range n {
			for k := j; k < n; k++ {
				m.t.SetSym(i*n+j, i*n+k, t.At(j, k))
			}
		}
	}
	for d := range b.Count { // equal beads at equal distances couple equally
		block := m.coupling(d)
		for i := range b.Count - d {
			for j := range n {
				for k := range n {
					if d > 0 || k >= j {
						m.p.SetSym(i*n+j, (i+d)*n+k, block.At(j, k))
					}
				}
			}
		}
	}
	return m
}

// coupling returns the potential energy between a bead and the d-th above it.
func (m *magnet) coupling(d int) *mat.Dense {
	v := mat.NewDense(m.one, m.one, nil)
	lower, upper := m.ribbons[:m.one], m.ribbons[d*m.one:(d+1)*m.one]
	for i := range lower {
		for j := range upper {
			rho, z := lower[i].at(0)
			a := upper[j].potential(rho, z)
			rho, z = upper[j].at(0)
			v.Set(i, j, (a+lower[i].potential(rho, z))/2*Eps0)
		}
	}
	n := m.one - 1
	p := mat.NewDense(n, n, nil)
	for i := range n { // q_i = g_i−1 − g_i
		for j := range n {
			p.Set(i, j, v.At(i, j)-v.At(i+1, j)-v.At(i, j+1)+v.At(i+1, j+1))
		}
	}
	return p
}

// own returns T of one bead.
func (m *magnet) own(r resolution) *mat.SymDense {
	n := m.one - 1
	t := mat.NewSymDense(n, nil)
	a := m.beads.Diameter / 2
	area := math.Pi * a * a
	add := func(i, j int, x float64) {
		if i >= 0 && j >= 0 && i < n && j < n {
			t.SetSym(i, j, t.At(i, j)+x)
		}
	}
	for k := r.rings; k < m.one-r.rings; k++ { // lateral ribbon k between g_k−1 and g_k
		h := m.ribbons[k].length()
		same, other := h/(3*area)+a*a/(8*h*area), h/(6*area)-a*a/(8*h*area)
		add(k-1, k-1, same)
		add(k, k, same)
		add(k-1, k, other)
	}
	// What is uneven on a face decays into the bead as exp(−jz/a), with j the
	// first zero of J1.
	depth := a / 3.8317
	face := func(from, to, sum int) {
		for k := from; k < to; k++ {
			ring := math.Pi * math.Abs(m.ribbons[k].rho1*m.ribbons[k].rho1-m.ribbons[k].rho0*m.ribbons[k].rho0)
			add(k-1, k-1, depth/ring)
			add(k, k, depth/ring)
			add(k-1, k, -depth/ring)
		}
		add(sum, sum, -depth/area)
	}
	face(0, r.rings, r.rings-1)
	face(m.one-r.rings, m.one, m.one-r.rings-1)
	return t
}

// field returns how the slices of a winding of one turn per metre, [z_i,
// z_i+1], drive g: columns h.
func (m *magnet) field(radius float64, z []float64) *mat.Dense {
	n := m.one - 1
	psi := mat.NewDense(len(m.ribbons), len(z), nil)
	for i := range m.ribbons {
		for j, zj := range z {
			psi.Set(i, j, m.ribbons[i].solenoid(radius, zj))
		}
	}
	h := mat.NewDense(n*m.beads.Count, len(z)-1, nil)
	for b := range m.beads.Count {
		for k := range n {
			i := b*m.one + k
			for j := range len(z) - 1 {
				h.Set(b*n+k, j, psi.At(i, j)-psi.At(i, j+1)-psi.At(i+1, j)+psi.At(i+1, j+1))
			}
		}
	}
	return h
}

// solenoid returns the mean over r of the potential of half a solenoid that
// ends at height end.
func (r *ribbon) solenoid(radius, end float64) float64 {
	rho, z := r.at(0)
	if math.Abs(z-end) > 2*r.length() {
		return discPotential(radius, rho, z-end)
	}
	sum, weight := 0.0, 0.0
	for i, x := range gauss3 {
		rho, z := r.at(x)
		sum += weights3[i] * rho * discPotential(radius, rho, z-end)
		weight += weights3[i] * rho
	}
	return sum / weight
}

// added returns the inductance matrix [H m²] that the core adds to a winding
// of one turn per metre, between its slices [z_i, z_i+1].
func (m *magnet) added(radius float64, z []float64) (*mat.SymDense, error) {
	a := mat.NewSymDense(m.p.SymmetricDim(), nil)
	a.ScaleSym(1/(m.beads.Permeability-1), m.t)
	a.AddSym(a, m.p)
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return nil, errors.New("beads touch or overlap")
	}
	h := m.field(radius, z)
	var g, l mat.Dense
	if err := chol.SolveTo(&g, h); err != nil {
		return nil, err
	}
	l.Mul(h.T(), &g)
	n := len(z) - 1
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, Mu0*(l.At(i, j)+l.At(j, i))/2)
		}
	}
	return s, nil
}
