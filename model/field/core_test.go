package field

import (
	"fmt"
	"gonum.org/v1/gonum/mat"
	"math"
	"testing"
	"time"
)

func TestDem(t *testing.T) {
	for _, md := range []float64{1, 2, 5, 10, 20, 50} {
		for _, chi := range []float64{1e-3, 9, 100, 400, 1e7} {
			for _, f := range []int{1, 2} {
				b := Beads{Diameter: 1, Length: md, Count: 1, Permeability: 1 + chi}
				r := coarse
				if f == 2 {
					r = resolution{.01, .125, 1.5, 12}
				}
				t0 := time.Now()
				m := newMagnet(b, r)
				n := m.one - 1
				h := mat.NewVecDense(n, nil)
				for i := range n {
					_, z0 := m.ribbons[i].at(0)
					_, z1 := m.ribbons[i+1].at(0)
					h.SetVec(i, z1-z0)
				}
				a := mat.NewSymDense(n, nil)
				a.ScaleSym(1/chi, m.t)
				a.AddSym(a, m.p)
				var c mat.Cholesky
				if !c.Factorize(a) {
					panic("chol")
				}
				var g, pg mat.VecDense
				c.SolveVecTo(&g, h)
				pg.MulVec(m.p, &g)
				zm := mat.Dot(h, &g)
				zh := mat.Dot(&g, &pg)
				mid := g.AtVec(n/2) / (math.Pi / 4)
				mm := zm / (md * math.Pi / 4)
				fmt.Printf("%g %g x%d n=%d Nm %.5f %.5f (exact0 %.6f) mu %.2f %v\n", md, chi, f, n, 1/mm-1/chi, zh/zm/mm, 1-Nagaoka(1/md), 1+mid/chi+mid*0, time.Since(t0))
				_ = mid
			}
		}
	}
}
