package fit

import "math"

// With returns the covariance that further rows would lead to; each is the
// gradient of a standardised residual, of which only the direction and length
// count, not what will be read.
func (c Covariance) With(further ...[]float64) Covariance {
	if more, ok := c.updated(further); ok {
		return more
	}
	c = c.promote(further)
	return newOwnCovariance(c.rowsWith(further), c.m, c.active, c.own)
}

// rowsWith returns the rows of the core and those of further that belong to it.
func (c *Covariance) rowsWith(further [][]float64) []float64 {
	all := c.rows[:len(c.rows):len(c.rows)]
	if c.own == nil {
		for _, r := range further {
			all = append(all, r...)
		}
		return all
	}
	common := c.m - len(c.own.promoted)
	for _, r := range further {
		all = append(all, r[:common]...)
		for _, j := range c.own.promoted {
			all = append(all, r[j])
		}
	}
	return all
}

// rankOne is one more row, z in the coordinates in which the information before it is
// I. That with it is I + zzᵀ, of which the inverse root is I − f·zzᵀ.
type rankOne struct {
	z []float64
	f float64
}

// newRankOne takes over z.
func newRankOne(z []float64) rankOne {
	root := math.Sqrt(1 + dot(z, z))
	return rankOne{z, 1 / (root * (1 + root))} // (1 − 1/root)/zᵀz
}

func (a *rankOne) apply(y []float64) { axpy(-a.f*dot(a.z, y), a.z, y) }

// updated is With for rows that say nothing on what is open so far, nor on own
// parameters but promoted ones: then no new decomposition is needed.
func (c Covariance) updated(further [][]float64) (Covariance, bool) {
	c.rows = c.rowsWith(further)
	for _, row := range further {
		z := make([]float64, c.length())
		if !c.project(row, z) {
			return c, false
		}
		core := z[:c.fixed]
		for _, v := range z[c.fixed:] {
			if v != 0 {
				return c, false
			}
		}
		if v := dot(core, core); math.IsNaN(v) || v > mostAdded {
			return c, false
		}
		c.added = append(c.added[:len(c.added):len(c.added)], newRankOne(core))
	}
	return c, true
}

// mostAdded is zᵀz above which a row weighs so much more than all before it that its
// update would lose digits.
const mostAdded = 1e12
