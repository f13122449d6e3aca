package fit

// at evaluates all rows at x. It returns the sums, and the triangle in t
// unless the objective is not below limit: then the step is refused anyway.
func (a *assembler) at(x []float64, t triangle, limit float64) sums {
	clear(t.a)
	if a.own != nil {
		return a.eliminated(x, t)
	}
	var s sums
	if a.small() {
		n, m := a.rows[dataRows].N, a.rows[priorRows].N
		s = a.load(x, dataRows, 0, n, 0)
		s.add(a.load(x, priorRows, 0, m, n))
		if s.objective < limit {
			t.fold(a.room.block, a.ld, n+m)
		}
		return s
	}
	for kind := range a.rows {
		s.add(a.run(x, kind, t))
	}
	return s
}

func (v *solver) evaluate(x []float64, t triangle, limit float64) sums {
	v.evaluations++
	if v.a.own != nil {
		v.a.own.from, v.a.own.at = v.here.own, v.x
	}
	return v.a.at(x, t, limit)
}
