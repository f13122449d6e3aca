package fit

import (
	"errors"
	"fmt"
	"math"
)

// Shares tells what groups of prior rows contribute to the variance of any quantity.
// The sum of the squares of Along, (yⱼ·y_g)² with yⱼ the projection of row j, is
// y_gᵀ (Σ yⱼyⱼᵀ) y_g over a group, whose matrix is made once; only rows of an own
// parameter that the quantity itself hangs on are looked at one by one.
type Shares struct {
	c      Covariance
	groups [][]float64        // Σ yⱼyⱼᵀ over each, as to the core
	own    map[int][]ownShare // by row of ownRows
}

// ownShare is the projection of a row that has an own parameter.
type ownShare struct {
	group int
	y     []float64 // as to the core
	part  float64   // and as to its own parameter
}

// NewShares prepares the shares of n groups; group tells that of each prior row, and x
// is where the rows are evaluated. It is an error if there is no such group, or lengths
// aren't those of the problem.
func (c Covariance) NewShares(prior Rows, x []float64, n int, group func(row int) int) (*Shares, error) {
	if err := errors.Join(lengths("vector", c.p, x), c.accepts(prior)); err != nil {
		return nil, err
	}
	for i := range prior.N {
		if k := group(i); k < 0 || k >= n {
			return nil, fmt.Errorf("fit: prior row %d is of group %d of %d", i, k, n)
		}
	}
	s := &Shares{c: c, groups: make([][]float64, n)}
	for i := range s.groups {
		s.groups[i] = make([]float64, c.fixed*c.fixed)
	}
	if c.own != nil {
		s.own = map[int][]ownShare{}
	}
	room := c.rowRoom()
	rows(prior, x, c.rowWidth(), func(i int, _ float64, jac []float64) bool {
		own := prior.own(i)
		part := c.projectRow(jac, own, room.y, room.work)
		s.square(room.y, group(i))
		if part != 0 {
			row, _ := c.own.find(own)
			s.own[row] = append(s.own[row], ownShare{group(i), append([]float64(nil), room.y...), part})
		}
		return true
	})
	return s, nil
}

// Add counts one more row to a group: a row that c was given by With. It is an error if
// there is no such group, or the row hasn't as many elements as there are parameters.
func (s *Shares) Add(row []float64, group int) error {
	if group < 0 || group >= len(s.groups) {
		return fmt.Errorf("fit: group %d of %d", group, len(s.groups))
	}
	if err := lengths("row", s.c.p, row); err != nil {
		return err
	}
	y := make([]float64, s.c.length())
	s.c.project(row, y)
	s.square(y[:s.c.fixed], group) // With has taken the own parameters of row into the core
	return nil
}

// square adds yyᵀ to a group.
func (s *Shares) square(y []float64, group int) {
	for k, v := range y {
		if v != 0 {
			axpy(v, y, s.groups[group][k*len(y):][:len(y)])
		}
	}
}

// Of writes what each group contributes to the variance of gᵀx, and returns the whole
// variance and whether the rows determine it (see Covariance.Variance); NaN and false for
// wrong lengths.
func (s *Shares) Of(gradient, shares []float64) (variance float64, determined bool) {
	if len(gradient) != s.c.p || len(shares) != len(s.groups) {
		return math.NaN(), false
	}
	y := make([]float64, s.c.length())
	determined = s.c.project(gradient, y)
	core, m := y[:s.c.fixed], s.c.fixed
	for i, g := range s.groups {
		sum := 0.0
		for k, v := range core {
			if v != 0 {
				sum += v * dot(g[k*m:][:m], core)
			}
		}
		shares[i] = sum
	}
	for i, v := range y[m:] {
		if v == 0 {
			continue
		}
		for _, r := range s.own[i] {
			common, own := dot(r.y, core), r.part*v
			shares[r.group] += own * (own + 2*common)
		}
	}
	return dot(y, y), determined
}
