package field

import "gonum.org/v1/gonum/mat"

func newBody(b Beads, r resolution) *body {
	m := &body{beads: b, rings: r.rings}
	for i := range b.Count {
		m.ribbons = append(m.ribbons, b.surface(b.Start+float64(i)*b.pitch(), r)...)
	}
	m.one = len(m.ribbons) / b.Count
	t, p := m.volume(), m.coupling(0)
	m.modes = m.smoothModes(t, p)

	_, k := m.modes.Dims()
	m.t = mat.NewSymDense(b.Count*k, nil)
	m.p = mat.NewSymDense(b.Count*k, nil)
	own := m.project(t)
	for d := range b.Count { // equal beads at equal distances couple equally
		if d > 0 {
			p = m.coupling(d)
		}
		block := m.project(p)
		for i := range b.Count - d {
			for x := range k {
				for y := range k {
					if d == 0 && y < x {
						continue
					}
					if d == 0 {
						m.t.SetSym(i*k+x, i*k+y, own.At(x, y))
					}
					m.p.SetSym(i*k+x, (i+d)*k+y, block.At(x, y))
				}
			}
		}
	}
	return m
}
