package fit

import (
	"fmt"
	"math"
	"testing"

	"fitcoil/internal/near"
)

// All sums that a result tells, worked out here from the residuals at its solution: Σr² by stated uncertainties, what was
// minimised, the pull Σψ(r/S)² and how many rows lie within the corner; of squares and of Huber's loss, enlarged by
// their scatter or not, in one block or in many, with a prior, and of rows whose squares come near to the ends of floating point.
func TestSumsOfAResult(t *testing.T) {
	y := []float64{0.3, 1.1, 1.6, 9, 4.4, 4.6, 6.9, 2, 8.1}
	const k = 1.345
	enlarged := 0
	for _, tiny := range []float64{1, 1e-140, 1e140} {
		for name, s := range map[string]Settings{"squares": {}, "Huber": {Loss: Huber(k)}, "squares by four": {BlockRows: 4}, "Huber by four": {Loss: Huber(k), BlockRows: 4}} {
			p := straightLine(y)
			p.Prior = Gaussians(2, []Gaussian{{Param: 1, Mean: 0.7, Sigma: 0.2}})
			for _, rows := range []*Rows{&p.Data, &p.Prior} {
				of := rows.Evaluate
				rows.Evaluate = func(x []float64, first int, r, jac []float64) {
					of(x, first, r, jac)
					for i := range r {
						r[i] *= tiny
					}
					for i := range jac {
						jac[i] *= tiny
					}
				}
			}
			if tiny != 1 && s.Loss.k > 0 { // the corner stays where it is
				continue
			}
			for _, scaled := range []bool{false, true} {
				r, err := Solve(p, []float64{0, 0}, s)
				if scaled {
					if tiny != 1 {
						continue
					}
					r, _, err = SolveScaled(p, []float64{0, 0}, s)
				}
				if err != nil || !r.Status.Converged() {
					t.Fatal(name, err, r.Status)
				}
				if scaled && r.Scale > 1.5 {
					enlarged++
				}
				var squares, objective, pull, inner float64
				for i, v := range y {
					d := v - r.X[0] - r.X[1]*float64(i)
					squares += d * d
					z := math.Abs(d) / r.Scale
					if s.Loss.k > 0 && z > k {
						objective += 2*k*z - k*k
						pull += k * k
						continue
					}
					inner++
					objective += z * z
					pull += z * z
				}
				prior := math.Pow((r.X[1]-0.7)/0.2, 2)
				if s.Loss.k > 0 && inner > 8 {
					t.Fatal("no row lies beyond the corner")
				}
				what := fmt.Sprint(name, " times ", tiny, ", scaled ", scaled, ": ")
				near.Times(t, what+"data", math.Sqrt(r.DataSquares)/tiny, math.Sqrt(squares), 1e-9)
				near.Times(t, what+"prior", math.Sqrt(r.PriorSquares)/tiny, math.Sqrt(prior), 1e-9)
				near.Times(t, what+"objective", math.Sqrt(r.Objective)/tiny, math.Sqrt(objective+prior), 1e-9)
				near.Times(t, what+"pull", math.Sqrt(r.pull)/tiny, math.Sqrt(pull), 1e-9)
				near.To(t, what+"inner", r.inner, inner/9, 1e-12)
			}
		}
	}
	if enlarged != 4 {
		t.Errorf("enlarged in %d", enlarged)
	}
}
