package fit

import "errors"

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
// per standard uncertainty of a prior. It is an error if lengths aren't those of the problem.
func (c Covariance) Along(e Rows, x, gradient []float64) ([]float64, error) {
	if err := errors.Join(lengths("vector", c.p, x, gradient), c.accepts(e)); err != nil {
		return nil, err
	}
	g, room := make([]float64, c.length()), c.rowRoom()
	c.project(gradient, g)
	out := make([]float64, e.N)
	rows(e, x, c.rowWidth(), func(i int, _ float64, jac []float64) bool {
		out[i] = room.along(jac, e.own(i), g)
		return true
	})
	return out, nil
}

// accepts returns an error if e can't be rows of the problem of c.
func (c *Covariance) accepts(e Rows) error {
	own := 0
	if c.own != nil {
		own = c.own.n
	}
	return e.check(own, c.rowWidth())
}

// rowWidth is the number of derivatives in a row of the problem.
func (c *Covariance) rowWidth() int {
	if c.own == nil {
		return c.m
	}
	return c.m - len(c.own.promoted) + 1
}
