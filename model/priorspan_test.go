package model

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"fitcoil/fit"
)

// The priors on coils and hands against six coils from 2 to 40 diameters long, whose hands are
// spheres at 5 to 40 cm (computed with the field model): their mean lies within one standard
// deviation of each prior, which are no smaller than theirs. So does the inverse square, and the
// factors by which published laws have 10 and 40 cm differ, 1.4 to 43, within 2.5.
func TestPriorsSpanTheField(t *testing.T) {
	seen := map[string][]float64{}
	for _, c := range fieldCoils(t) {
		whole := c.state.Capacitance + c.state.Top
		seen["share of the top"] = append(seen["share of the top"], c.state.Top/whole)
		seen["ln C, winding and top"] = append(seen["ln C, winding and top"], math.Log(whole))
		seen["core's capacitance"] = append(seen["core's capacitance"], c.ladder.CoreCapacitance()/c.state.Capacitance)
		p := fit.Problem{Params: 3, Data: fit.Rows{N: len(benchHands), Evaluate: func(x []float64, first int, r, jac []float64) {
			for i := range r {
				d := benchHands[first+i]
				reach := d + math.Exp(x[1])
				r[i] = (x[0] - x[2]*math.Log(reach/0.1) - math.Log(c.hands[d])) / 0.01
				if jac != nil {
					jac[3*i], jac[3*i+1], jac[3*i+2] = 100, -100*x[2]*math.Exp(x[1])/reach, -100*math.Log(reach/0.1)
				}
			}
		}}}
		r, err := fit.Solve(p, []float64{-31, math.Log(0.05), 2}, fit.Settings{})
		if err != nil || !r.Status.Converged() {
			t.Fatal(err, r.Status)
		}
		seen["ln d0"], seen["p"] = append(seen["ln d0"], r.X[1]), append(seen["p"], r.X[2])
	}
	for _, c := range []struct {
		name        string
		mean, sigma float64
	}{{"share of the top", 0.3, 0.3}, {"ln C, winding and top", math.Log(8e-12), 2}, {"core's capacitance", 0, 0.1}, {"ln d0", math.Log(0.07), 1}, {"p", 2.4, 0.6}} {
		mean, deviation := stat.MeanStdDev(seen[c.name], nil)
		t.Logf("%s: %.3f ± %.3f on six coils, from %.3f to %.3f; prior %.3f ± %.3f", c.name, mean, deviation, slices.Min(seen[c.name]), slices.Max(seen[c.name]), c.mean, c.sigma)
		if !(math.Abs(mean-c.mean) <= c.sigma) || deviation > 1.25*c.sigma {
			t.Errorf("%s: %v on six coils, prior %v ± %v", c.name, seen[c.name], c.mean, c.sigma)
		}
	}
	const ln, d0, p = 2.44, 0.07, 2.4 // ln C(10 cm)/C(40 cm) by the means
	if u := math.Hypot(0.6*math.Log((0.4+d0)/(0.1+d0)), p*d0*(1/(0.1+d0)-1/(0.4+d0))); !(math.Abs(p-2) <= 0.6) || !(ln-math.Log(1.4) <= 2.5*u) || !(math.Log(43)-ln <= 2.5*u) {
		t.Errorf("10 and 40 cm differ by e^%.2f ± %.2f", ln, u)
	}
}
