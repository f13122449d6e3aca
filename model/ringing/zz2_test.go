package ringing

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

func TestZ2(t *testing.T) {
	for _, k := range [][3]float64{{.04,8,.4},{.04,8,.6},{.14,8,1}} {
		split, q, ratio := k[0], k[1], k[2]
		rng := rand.New(rand.NewPCG(0, math.Float64bits(split*q*ratio)))
		s, tr := twoModes(coilHertz, split, q, q, ratio, 4000)(rng)
		a := &analysis{signal: s}
		a.scan = scanSamples(s.Samples)
		list, _ := find(s.Samples, a.need())
		fmt.Printf("truth %+v\n", tr)
		for _, c := range list {
			b := *a
			fmt.Printf("   cand %.5g MHz power %.3g cycles %.4g amp %.3g w %.3g %v\n", c.omega/6.2832/s.Interval/1e6, c.power, c.cycles, c.amplitude, c.weight(), b.bursts(c))
			rings, found, err := b.rings(c)
			fmt.Println(found, err)
			for _, r := range rings {
				fmt.Printf("        %d-%d skipped %.3g misfit %v excess %.3g drifts %v", r.from, r.to, r.skipped, r.misfit, r.excess, r.fit.series.drifts)
				for k, tn := range r.fit.tones {
					v, u := r.amplitude(k)
					fmt.Printf(" [%.6g MHz ± %.2g α %.3g Q %.4g A %.3g ± %.2g]", tn.omega/6.2832e6, math.Sqrt(r.cov[2*k][2*k])/6.28e6, tn.alpha, tn.omega/2/tn.alpha, v, u)
				}
				fmt.Println()
			}
		}
	}
}
