package fit

import (
	"math"
	"slices"
)

// With returns the covariance that further rows would lead to; each is the
// gradient of a standardised residual, of which only the direction and length
// count, not what will be read. It is an error if one hasn't as many elements as there
// are parameters.
func (c Covariance) With(further ...[]float64) (Covariance, error) {
	if err := lengths("row", c.p, further...); err != nil {
		return c, err
	}
	return c.with(further), nil
}

func (c Covariance) with(further [][]float64) Covariance {
	if more, ok := c.updated(further); ok {
		return more
	}
	c = c.promote(further)
	return newOwnCovariance(c.rowsWith(further), c.m, c.active, c.own)
}

// rowsWith returns the rows of the core and those of further that belong to it.
func (c *Covariance) rowsWith(further [][]float64) []float64 {
	all := slices.Clip(c.rows)
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
		c.added = append(slices.Clip(c.added), newRankOne(core))
	}
	return c, true
}

// mostAdded is zᵀz above which a row weighs so much more than all before it that its
// update would lose digits.
const mostAdded = 1e12

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
			stays.promoted = append(slices.Clip(stays.promoted), j)
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
