package fit

import "math"

// ownRows are the rows of the triangle that belong to eliminated parameters. With
// own parameters first, an orthogonal factorisation leaves
//
//	R = ( D  W )
//	    ( 0  T )
//
// D diagonal, since no two own parameters share a row, and T the triangle of the
// common parameters (Å. Björck, Numerical Methods for Least Squares Problems, 1996,
// § 6.3). A gradient (g₁, g₂) then has the components y₁ = D⁻¹g₁, and as to T those
// of g₂ − Wᵀy₁.
type ownRows struct {
	n        int       // own parameters
	d        []float64 // D
	w        []float64 // W, one row of m elements each
	m        int       // common parameters
	at       []int     // parameter of each, which are the last n but for those promoted
	promoted []int     // own parameters that stand in the core, after the common ones
	active   []bool    // at a bound
	place    []int     // of each own parameter among the rows, or −1 less its place among those promoted; nil where none is
}

// find returns the row of an own parameter, or its place among those promoted.
func (o *ownRows) find(own int) (row, promoted int) {
	if own < 0 || o.place == nil {
		return own, -1
	}
	if k := o.place[own]; k < 0 {
		return -1, -1 - k
	}
	return o.place[own], -1
}

func (o *ownRows) row(i int) []float64 { return o.w[i*o.m:][:o.m] }

// norm returns the length of column j of W.
func (o *ownRows) norm(j int) float64 {
	if o == nil || j >= o.m {
		return 0
	}
	length := 0.0
	for i, d := range o.d {
		if d != 0 && !o.active[i] {
			length = math.Hypot(length, o.w[i*o.m+j])
		}
	}
	return length
}

// determined counts the parameters that stand in some row and not at a bound.
func (o *ownRows) determined() (n int) {
	for i, d := range o.d {
		if d != 0 && !o.active[i] {
			n++
		}
	}
	return n
}

// blank lists the parameters that stand in no row.
func (o *ownRows) blank() (list []int) {
	if o == nil {
		return nil
	}
	for i, d := range o.d {
		if d == 0 && !o.active[i] {
			list = append(list, o.at[i])
		}
	}
	return list
}

// follow completes a direction of the common parameters along which no row changes.
func (o *ownRows) follow(d []float64, m int) {
	if o == nil {
		return
	}
	core := make([]float64, m)
	copy(core, d)
	for i, j := range o.at {
		d[j] = 0
		if o.d[i] != 0 && !o.active[i] {
			d[j] = -dot(o.row(i), core) / o.d[i]
		}
	}
	for k, j := range o.promoted {
		d[j] = core[m-len(o.promoted)+k]
	}
}

// reduce writes the components of g that belong to own parameters to y and returns
// what is left of the others. open tells whether g needs one that no row knows.
func (c *Covariance) reduce(g, y []float64) (rest []float64, open bool) {
	o := c.own
	rest = make([]float64, c.m)
	common := c.m - len(o.promoted)
	copy(rest, g[:common])
	for k, j := range o.promoted {
		rest[common+k] = g[j]
	}
	for i, j := range o.at {
		y[i] = 0
		switch v := g[j]; {
		case v == 0 || o.active[i]:
		case o.d[i] == 0:
			open = true
		default:
			y[i] = v / o.d[i]
			axpy(-y[i], o.row(i), rest)
		}
	}
	return rest, open
}

// projectRow is project for a row of a problem, which has one own parameter or
// none: y gets c.fixed components, and what is returned is that of own.
func (c *Covariance) projectRow(jac []float64, own int, y, work []float64) (ownPart float64) {
	if c.own == nil {
		c.splitCore(jac, y)
		return 0
	}
	o := c.own
	common := c.m - len(o.promoted)
	copy(work, jac[:common])
	clear(work[common:])
	switch row, k := o.find(own); {
	case k >= 0:
		work[common+k] = jac[common]
	case row >= 0 && o.d[row] != 0 && !o.active[row]:
		ownPart = jac[common] / o.d[row]
		axpy(-ownPart, o.row(row), work)
	}
	c.splitCore(work[:c.m], y)
	return ownPart
}

// promote returns c with the own parameters that occur in rows of p elements among
// the core, so that rows may have several of them.
func (c Covariance) promote(rows [][]float64) Covariance {
	o := c.own
	if o == nil {
		return c
	}
	var moved []int
	stays := ownRows{n: o.n, promoted: o.promoted}
	for i, j := range o.at {
		touched := false
		for _, r := range rows {
			touched = touched || r[j] != 0
		}
		if touched && !o.active[i] {
			moved = append(moved, i)
			stays.promoted = append(stays.promoted[:len(stays.promoted):len(stays.promoted)], j)
		} else {
			stays.at, stays.d, stays.active = append(stays.at, j), append(stays.d, o.d[i]), append(stays.active, o.active[i])
		}
	}
	if len(moved) == 0 {
		return c
	}
	stays.m = o.m + len(moved)
	stays.w = make([]float64, 0, len(stays.at)*stays.m)
	next := 0
	for i := range o.at {
		if next < len(moved) && moved[next] == i {
			next++
			continue
		}
		stays.w = append(append(stays.w, o.row(i)...), make([]float64, len(moved))...)
	}
	var core []float64
	for i := 0; i < len(c.rows); i += c.m {
		core = append(append(core, c.rows[i:i+c.m]...), make([]float64, len(moved))...)
	}
	active := append([]bool(nil), c.active...)
	for k, i := range moved {
		row := make([]float64, stays.m)
		copy(row, o.row(i))
		row[o.m+k] = o.d[i]
		core = append(core, row...)
		active = append(active, false)
	}
	stays.place = make([]int, o.n)
	first := c.p - o.n
	for i, j := range stays.at {
		stays.place[j-first] = i
	}
	for k, j := range stays.promoted {
		stays.place[j-first] = -1 - k
	}
	return Covariance{m: stays.m, rows: core, active: active, own: &stays}
}

// rowRoom is the room for the projection of a row.
type rowRoom struct {
	c       Covariance
	y, work []float64
}

func (c Covariance) rowRoom() *rowRoom {
	return &rowRoom{c, make([]float64, c.fixed), make([]float64, c.m)}
}

// square returns the length squared of a row, a leverage.
func (m *rowRoom) square(jac []float64, own int) float64 {
	part := m.c.projectRow(jac, own, m.y, m.work)
	return dot(m.y, m.y) + part*part
}

// along returns the product of a row with g, the projection of a gradient.
func (m *rowRoom) along(jac []float64, own int, g []float64) float64 {
	part := m.c.projectRow(jac, own, m.y, m.work)
	v := dot(m.y, g[:m.c.fixed])
	if part != 0 {
		row, _ := m.c.own.find(own)
		v += part * g[m.c.fixed+row]
	}
	return v
}

// Along returns the covariance of gᵀx with each of the rows at x: by how much gᵀx shifts
// per standard uncertainty of a prior.
func (c Covariance) Along(e Rows, x, gradient []float64) []float64 {
	g, room := make([]float64, c.length()), c.rowRoom()
	c.project(gradient, g)
	out := make([]float64, e.N)
	rows(e, x, c.rowWidth(), func(i int, _ float64, jac []float64) bool {
		out[i] = room.along(jac, e.own(i), g)
		return true
	})
	return out
}

// rowWidth is the number of derivatives in a row of the problem.
func (c *Covariance) rowWidth() int {
	if c.own == nil {
		return c.m
	}
	return c.m - len(c.own.promoted) + 1
}
