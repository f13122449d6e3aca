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
