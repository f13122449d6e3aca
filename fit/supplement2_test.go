package fit_test

import (
	"math"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
)

// JCGM 102:2011, 9.2 (values from memory): two outputs that share an input, Y1 = X1 + X3 and
// Y2 = X2 + X3, of normal inputs of mean 0. With all variances 1 the outputs' are 2 and their
// correlation coefficient 0.5; with the variance of X3 nine, 10 and 0.9. The smallest region that
// holds both with 95 % is the ellipse of k = 2.45, √5.99: the quantile of χ² for two degrees of
// freedom (tables). Linear law and trials both give so.
func TestTwoOutputsOfSupplement2(t *testing.T) {
	for _, c := range []struct{ shared, variance, correlation float64 }{{1, 2, 0.5}, {3, 10, 0.9}} {
		p, r := inputs(t, []fit.Gaussian{{Sigma: 1}, {Sigma: 1}, {Sigma: c.shared}})
		m := r.Covariance().Matrix([][]float64{{1, 0, 1}, {0, 1, 1}})
		near.To(t, "variance of Y1", m[0], c.variance, 1e-9)
		near.To(t, "variance of Y2", m[3], c.variance, 1e-9)
		near.To(t, "correlation", m[1]/math.Sqrt(m[0]*m[3]), c.correlation, 1e-9)
		det := m[0]*m[3] - m[1]*m[2]
		s := trialsOf(p, r, fit.Distributions{}, fit.Trials{Most: 50_000, Seed: seed, Workers: 2}, 4, func(x, out []float64) {
			a, b := x[0]+x[2], x[1]+x[2]
			out[0], out[1], out[2] = a, b, a-b
			out[3] = math.Sqrt((m[3]*a*a - 2*m[1]*a*b + m[0]*b*b) / det) // distance in the metric of the covariance
		})
		_, u := s.Mean(0)
		_, v := s.Mean(1)
		_, w := s.Mean(2)
		near.To(t, "u(y1) by trials", u, math.Sqrt(c.variance), 0.01*u)
		near.To(t, "u(y2) by trials", v, math.Sqrt(c.variance), 0.01*v)
		near.To(t, "correlation by trials", (u*u+v*v-w*w)/(2*u*v), c.correlation, 0.01)
		within := s.Values[3]
		near.To(t, "k of the ellipse", within[len(within)*95/100], 2.45, 0.02)
	}
}
