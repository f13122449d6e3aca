package field

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Tube is a tube of insulator on the winding's axis, as long as the winding, which is wound
// on it. The zero value is none.
type Tube struct {
	Inner, Outer float64 // m, diameters; Inner 0: a solid rod; Outer 0: right beneath the turns
	Permittivity float64 // relative
}

// Coating is a layer of insulator around the winding. The zero value is none.
type Coating struct {
	Thickness    float64 // m
	Permittivity float64 // relative
}

// there tells whether u changes any field.
func (u Tube) there() bool { return u.Permittivity > 1 && u.Outer > u.Inner }

// shells cuts tubes at the heights z at which a winding's sheet is, so that the charges that
// face each other are alike.
func shells(tubes []Tube, z []float64) (list []shell) {
	for _, u := range tubes {
		list = append(list, u.shell(z))
	}
	return list
}

// shell is a body of insulator between two surfaces of revolution that face each other,
// cut into slices, and closed by a face at either end. Its polarisation M has no divergence
// inside: all charge q is on its surface. Described are the fluxes of M through the section
// between any two slices, G, and those that leave each slice through its outer side, which
// are that side's charge. What is left over leaves through the inner side. So all charges add
// up to nothing by construction. As with a core, nature makes
//
//	½ κ ∫M² dV + ½ ∮ q φ[q] + ∮ q ψ,   κ = 1/(ε − 1)
//
// least: (κT + P) x = h, with an error of second order in M. Along a slice M is even over
// the section, across it as even as the flux that turns outwards allows.
type shell struct {
	kappa        float64
	outer, inner []ribbon // facing pairs; no inner for a rod
	faces        [2][]ribbon
	slices       []slice
}

// slice is the volume between a pair of ribbons.
type slice struct {
	along  float64                           // length over the section's area, 1/m; 0: nothing goes along
	across func(u float64) (area, v float64) // at the fraction u of the way outwards: area [m²], and the fraction of the volume within
	thick  float64                           // m
}

// shell cuts u at the heights z.
func (u Tube) shell(z []float64) shell {
	a, b := u.Inner/2, u.Outer/2
	s := shell{kappa: 1 / (u.Permittivity - 1)}
	section := math.Pi * (b*b - a*a)
	for k := range len(z) - 1 {
		h := z[k+1] - z[k]
		s.outer = append(s.outer, ribbon{rho0: b, z0: z[k], rho1: b, z1: z[k+1]})
		if a > 0 {
			s.inner = append(s.inner, ribbon{rho0: a, z0: z[k], rho1: a, z1: z[k+1]})
		}
		s.slices = append(s.slices, slice{along: h / section, thick: b - a, across: func(x float64) (area, v float64) {
			rho := a + x*(b-a)
			return 2 * math.Pi * rho * h, (rho*rho - a*a) / (b*b - a*a)
		}})
	}
	edges := []float64{0, 0.1, 0.3, 0.7, 0.9, 1}
	for i, height := range []float64{z[0], z[len(z)-1]} {
		s.faces[i] = line(a, height, b, height, edges)
	}
	return s
}

// unknowns is how many fluxes describe s: of the sections at and between the ends, and out
// of each slice unless there is no inner side.
func (s *shell) unknowns() int {
	n := len(s.slices) + 1
	if len(s.inner) > 0 {
		n += len(s.slices)
	}
	return n
}

// ribbons lists the surface: outer side, inner side, lower face, upper face.
func (s *shell) ribbons() (list []ribbon) {
	list = append(append(list, s.outer...), s.inner...)
	return append(append(list, s.faces[0]...), s.faces[1]...)
}

// charges writes the charges of the ribbons, from row on, for the unknowns, from column on.
func (s *shell) charges(b *mat.Dense, row, column int) {
	n := len(s.slices)
	for k := range n {
		if len(s.inner) == 0 {
			b.Set(row+k, column+k, 1)
			b.Set(row+k, column+k+1, -1)
			continue
		}
		out := column + n + 1 + k
		b.Set(row+k, out, 1)
		b.Set(row+n+k, column+k, 1)
		b.Set(row+n+k, column+k+1, -1)
		b.Set(row+n+k, out, -1)
	}
	row += n + len(s.inner)
	for i, face := range s.faces {
		whole := 0.0
		for j := range face {
			whole += face[j].area()
		}
		for j := range face { // evenly over the face
			share := face[j].area() / whole
			if i == 0 {
				b.Set(row+j, column, -share)
			} else {
				b.Set(row+j, column+n, share)
			}
		}
		row += len(face)
	}
}

// energy adds κ∫M² of the unknowns, from column on, to t.
func (s *shell) energy(t *mat.SymDense, column int) {
	n := len(s.slices)
	add := func(i, j int, x float64) {
		if i > j {
			i, j = j, i
		}
		t.SetSym(column+i, column+j, t.At(column+i, column+j)+s.kappa*x)
	}
	nodes, weights := gauss6()
	for k := range s.slices {
		v := &s.slices[k]
		add(k, k, v.along/3)
		add(k+1, k+1, v.along/3)
		add(k, k+1, v.along/6)
		// The flux outwards goes from −q of the inner side to q of the outer one.
		var inner, outer, both float64
		for i, x := range nodes {
			u := (1 + x) / 2
			area, within := v.across(u)
			w := weights[i] / 2 * v.thick / area
			inner += w * (1 - within) * (1 - within)
			outer += w * within * within
			both -= w * within * (1 - within)
		}
		// q of the inner side is G_k − G_k+1 − q of the outer; without one, q of the outer
		// is G_k − G_k+1.
		sides := [][3]float64{{1, -1, -1}, {0, 0, 1}} // by G_k, G_k+1, q
		at := [3]int{k, k + 1, n + 1 + k}
		m := 3
		if len(s.inner) == 0 {
			sides, m = [][3]float64{{}, {1, -1, 0}}, 2
		}
		for i := range m {
			for j := i; j < m; j++ {
				x := inner*sides[0][i]*sides[0][j] + outer*sides[1][i]*sides[1][j] +
					both*(sides[0][i]*sides[1][j]+sides[1][i]*sides[0][j])
				add(at[i], at[j], x)
			}
		}
	}
}

// insulate adds insulators to c. Their charges see each other with what the conductors,
// held at their potentials, screen off. With the fluxes x of least energy gone, there is
// more charge to the same potentials: rows −A⁻¹h of half.
func (c *charged) insulate(list []shell) error {
	unknowns := 0
	for i := range list {
		c.shells = append(c.shells, list[i].ribbons()...)
		unknowns += list[i].unknowns()
	}
	if unknowns == 0 {
		return nil
	}
	b, a := mat.NewDense(len(c.shells), unknowns, nil), mat.NewSymDense(unknowns, nil)
	row, column := 0, 0
	for i := range list {
		list[i].charges(b, row, column)
		list[i].energy(a, column)
		row, column = row+len(list[i].ribbons()), column+list[i].unknowns()
	}
	var outside, pb, bpb, h, root, both mat.Dense
	outside.Mul(b.T(), c.potentials(c.ribbons, c.shells))
	seen, err := c.lower(outside.T())
	if err != nil {
		return err
	}
	pb.Mul(symmetric(c.potentials(c.shells, c.shells)), b)
	bpb.Mul(b.T(), &pb)
	a.AddSym(a, symmetric(&bpb))
	bpb.Mul(seen.T(), seen)
	bpb.Scale(-1, &bpb)
	a.AddSym(a, symmetric(&bpb))
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return impossible(InsulatorsTouch)
	}
	chol.LTo(&c.a)
	h.Mul(seen.T(), c.half)
	if err := c.a.SolveTo(&root, false, &h); err != nil {
		return err
	}
	root.Scale(-1, &root)
	both.Stack(c.half, &root)
	c.b, c.seen, c.half = b, seen, &both
	return nil
}

// area returns the area of r [m²].
func (r *ribbon) area() float64 {
	nodes, weights := gauss3()
	sum := 0.0
	for i, x := range nodes {
		rho, _ := r.at(x)
		sum += weights[i] * rho
	}
	return math.Pi * r.length() * sum // 2π · length/2
}
