package fit

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A straight line with a prior on its slope, whose data scatter three times as much as
// stated: the stated variances are those of the normal equations (computed here from
// the textbook's 2 × 2 inverse), and no combination is known worse by them than by the
// enlarged ones. Also with Huber's loss.
func TestRestatedCovariance(t *testing.T) {
	for _, loss := range []Loss{{}, Huber(1.345)} {
		for seed := range uint64(20) {
			rng := rand.New(rand.NewPCG(301, seed))
			var y []float64
			const n = 7
			for i := range n {
				y = append(y, 2+0.5*float64(i)+3*rng.NormFloat64())
			}
			p := straightLine(y)
			p.Prior = Gaussians(2, []Gaussian{{Param: 1, Mean: 0.4, Sigma: 0.2}})
			s := Settings{Loss: loss}
			r, sc, err := SolveScaled(p, []float64{0, 0}, s)
			if err != nil || !r.Status.Converged() {
				t.Fatal(err, r.Status)
			}
			scaled, stated := r.Covariance(), Must(r.Restated(p))
			if loss.k == 0 {
				a, b, d := 7.0, 21.0, 91+25.0 // Σ1, Σt, Σt² + 1/0.2²
				if v, _ := stated.Variance([]float64{1, 0}); !(math.Abs(v/(d/(a*d-b*b))-1) <= 1e-9) {
					t.Errorf("variance of the intercept %v, want %v", v, d/(a*d-b*b))
				}
			}
			for range 20 {
				g := []float64{rng.NormFloat64(), rng.NormFloat64()}
				u, _ := scaled.Variance(g)
				v, _ := stated.Variance(g)
				if v > u*(1+1e-9) || sc.Scale > 1.1 && v > 0.999*u {
					t.Errorf("scale %v: stated variance %v, enlarged %v", sc.Scale, v, u)
				}
			}
		}
	}
}
