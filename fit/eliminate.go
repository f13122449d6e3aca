package fit

import "math"

// eliminated is at for a problem with own parameters.
func (a *assembler) eliminated(x []float64, t triangle) sums {
	e, o := a.own, t.own
	copy(e.whole, x)
	if o != e.from {
		copy(o.x, e.from.x)
	}
	copy(e.whole[a.params:], o.x)
	if !e.final {
		if o != e.from {
			a.foretell(x)
		}
		a.settle(o)
	}
	clear(o.d)
	clear(o.q)
	clear(o.w)
	var s sums
	for kind := range a.rows {
		rows := &a.rows[kind]
		for i := 0; i < rows.N; i += a.ld {
			m := min(a.ld, rows.N-i)
			s.add(a.load(e.whole, kind, i, m, 0))
			for k := range m {
				if own := rows.own(i + k); own >= 0 && (e.final || !e.trial[own].atBound) {
					o.rotate(own, &a.room, k, a.ld)
				}
			}
			t.fold(a.room.block, a.ld, m)
		}
	}
	return s
}

// foretell moves own parameters from their best values where the search begins to where these
// are at x, if the rows are linear. Far away they are not.
func (a *assembler) foretell(x []float64) {
	e := a.own
	own, from := e.whole[a.params:], e.from
	for i, d := range from.d {
		if d == 0 {
			continue
		}
		w, shift := from.w[i*from.p:][:from.p], from.q[i]
		for j, v := range w {
			shift += v * (x[j] - e.at[j]) / a.column[j]
		}
		if math.Abs(shift) <= ownNear {
			limits := e.limits(i)
			own[i] = math.Min(math.Max(own[i]-shift/d, limits[0]), limits[1])
		}
	}
}

// rotate brings the column of an own parameter in row i of the block into that
// parameter's own row.
func (o *ownBlock) rotate(own int, b *buffer, i, ld int) {
	v := b.own[i]
	if v == 0 {
		return
	}
	h := math.Hypot(o.d[own], v)
	c, s := o.d[own]/h, v/h
	o.d[own] = h
	w := o.w[own*o.p:][:o.p]
	for j := range w {
		at := &b.block[j*ld+i]
		w[j], *at = c*w[j]+s**at, c**at-s*w[j]
	}
	at := &b.block[o.p*ld+i]
	o.q[own], *at = c*o.q[own]+s**at, c**at-s*o.q[own]
}

// settle brings each own parameter to where its rows have the least sum, by
// Gauss–Newton steps that are shortened where the sum doesn't fall.
func (a *assembler) settle(o *ownBlock) {
	e := a.own
	own := e.whole[a.params:]
	for i := range e.trial {
		e.trial[i] = ownTry{active: true, least: math.Inf(1)}
	}
	for range ownPasses {
		a.tryOwn()
		open := false
		for i := range e.trial {
			t := &e.trial[i]
			if !t.active {
				continue
			}
			t.next(&own[i], &o.x[i], e.limits(i), e.settled)
			open = open || t.active
		}
		if !open {
			break
		}
	}
	copy(own, o.x)
}

// tryOwn sums up the rows of the own parameters that are still searched for.

func (a *assembler) tryOwn() {
	e := a.own
	for i := range e.trial {
		t := &e.trial[i]
		if t.active {
			t.sum, t.d, t.q = 0, 0, 0
		}
	}
	for kind := range a.rows {
		rows := &a.rows[kind]
		for i := 0; i < rows.N && rows.Own != nil; i += a.ld {
			m := min(a.ld, rows.N-i)
			if !e.concerns(rows.Own[i : i+m]) {
				continue
			}
			a.load(e.whole, kind, i, m, 0)
			r := a.room.block[a.params*a.ld:][:m]
			for k := range m {
				own := rows.Own[i+k]
				if own < 0 || !e.trial[own].active {
					continue
				}
				t := &e.trial[own]
				t.sum += a.loss.weighed(r[k], a.row, kind)
				if v := a.room.own[k]; v != 0 {
					h := math.Hypot(t.d, v)
					t.q = (t.d*t.q + v*r[k]) / h
					t.d = h
				}
			}
		}
	}
}

// weighed returns ρ of a row, given its residual with the weight of the loss.
func (l Loss) weighed(r, unit float64, kind int) float64 {
	square, corner := r*r, l.k*l.k*unit*unit
	if kind == dataRows && l.k > 0 && square > corner {
		return 2*square - corner
	}
	return square
}
