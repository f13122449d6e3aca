package ringing

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

func TestZZ(t *testing.T) {
	for _, sc := range scenarios() {
		if !strings.Contains(sc.name, os.Getenv("ZZ")) || os.Getenv("ZZ") == "" {
			continue
		}
		for seed := uint64(1); seed <= 4; seed++ {
			s, tr := sc.make(rand.New(rand.NewPCG(seed, 16)))
			a := &analysis{signal: s}
			a.scan = scanSamples(s.Samples)
			list, slow := find(s.Samples, a.need())
			fmt.Printf("%s truth %+v slow %.3g\n", sc.name, tr, slow)
			for _, c := range list {
				b := *a
				rings, found, err := b.rings(c)
				fmt.Printf("   cand %.5g MHz power %.3g cycles %.4g amp %.3g w %.3g: found %d %v\n", c.omega/6.2832/s.Interval/1e6, c.power, c.cycles, c.amplitude, c.weight(), found, err)
				for _, r := range rings {
					fmt.Printf("        %d-%d skipped %.3g misfit %v excess %.3g", r.from, r.to, r.skipped, r.misfit, r.excess)
					for k, tn := range r.fit.tones {
						v, u := r.amplitude(k)
						fmt.Printf(" [%.6g MHz α %.3g A %.3g ± %.2g]", tn.omega/6.2832e6, tn.alpha, v, u)
					}
					fmt.Println()
				}
			}
			r, err := Analyse(s, Settings{})
			if err != nil {
				fmt.Println(err)
				continue
			}
			fmt.Printf("  => %v %.7g ± %.2g, Q %.4g ± %.2g %v\n", r.Kind, r.Resonance.Value, r.Resonance.Uncertainty, r.Quality.Value, r.Quality.Uncertainty, r.Notes)
		}
	}
}
