package field

import (
	"math"
	"testing"
)

// The law K/(d+d0)^p of a hand against fields, from 2 to 50 cm, K and d0 fitted to each: how
// far it is off in frequency, for p of 1, 2 and 3 (computed; docs/field.md).
func TestHandLawAgainstFields(t *testing.T) {
	distances := []float64{0.02, 0.03, 0.05, 0.08, 0.12, 0.2, 0.3, 0.5}
	least, most := math.Inf(1), 0.0
	leastOther, mostOther := math.Inf(1), 0.0
	for _, size := range [][2]float64{{0, 0.1}, {0.016, 0.08}, {0.016, 0.15}, {0.03, 0.1}} {
		c := lighthouse()
		c.Beads, c.Ball, c.Hand, c.Slices = Beads{}, size[0], size[1], 40
		p := predict(t, c, distances...)
		var off [4]float64
		for exponent := 1; exponent <= 3; exponent++ {
			off[exponent] = handLawOff(p, distances, float64(exponent))
		}
		t.Logf("ball %g, hand %g m: p of 1, 2, 3 are off by %.0f, %.0f, %.0f ppm", size[0], size[1], off[1]*1e6, off[2]*1e6, off[3]*1e6)
		least, most = math.Min(least, off[2]), math.Max(most, off[2])
		for _, other := range []float64{off[1], off[3]} {
			leastOther, mostOther = math.Min(leastOther, other/off[2]), math.Max(mostOther, other/off[2])
		}
	}
	if !(least > 300e-6 && most < 600e-6) || !(leastOther > 2.2 && mostOther < 8.5) {
		t.Errorf("p of 2 is off by %.0f to %.0f ppm, others by %.1f to %.1f times that", least*1e6, most*1e6, leastOther, mostOther)
	}
}

// handLawOff returns by how much, at most, the best law with an exponent is off in
// frequency, relative.
func handLawOff(p *Prediction, distances []float64, exponent float64) float64 {
	best := math.Inf(1)
	perF := math.Log(p.Hands[0].Frequency.Value/p.Frequency.Value) / p.Hands[0].Capacitance.Value // per farad, ω
	for ln := math.Log(1e-3); ln < math.Log(10); ln += 0.02 {
		d0 := math.Exp(ln)
		lowest, highest := math.Inf(1), 0.0 // K that suits the largest errors, by bisection between these
		shape := make([]float64, len(distances))
		for i, d := range distances {
			shape[i] = math.Pow(d+d0, -exponent)
			k := p.Hands[i].Capacitance.Value / shape[i]
			lowest, highest = math.Min(lowest, k), math.Max(highest, k)
		}
		worst := func(k float64) (w float64) {
			for i := range distances {
				w = math.Max(w, math.Abs(k*shape[i]-p.Hands[i].Capacitance.Value))
			}
			return w
		}
		for range 60 { // convex in K
			a, b := lowest+(highest-lowest)/3, highest-(highest-lowest)/3
			if worst(a) < worst(b) {
				highest = b
			} else {
				lowest = a
			}
		}
		best = math.Min(best, worst(lowest))
	}
	return best * math.Abs(perF)
}
