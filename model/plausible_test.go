package model

import (
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
)

// plain fits a session of an invented coil with capacitors of about its own
// capacitance, everything in the log off by slips of unit.
func plain(t *testing.T, l, c, slipF, slipC float64) []findings.Finding {
	t.Helper()
	coil := simulated.Truth{L: l, Cw: 0.8 * c, Ct: 0.2 * c}
	log := coil.Session(rand.New(rand.NewPCG(5, 6)), 3e-4, 0, simulated.Added(), simulated.Added(c/2e-12), simulated.Added(c/1e-12), simulated.Added(2*c/1e-12))
	for i := range log.Parts {
		log.Parts[i].Capacitance *= slipC
		log.Parts[i].Uncertainty = 0.02 * log.Parts[i].Capacitance
	}
	for i := range log.Readings {
		log.Readings[i].Frequency *= slipF
		log.Readings[i].Uncertainty *= slipF
	}
	r, err := estimation.Fit(estimation.Session{Log: log})
	if err != nil {
		t.Logf("%g H, %g F, frequencies × %g, capacitances × %g: %v", l, c, slipF, slipC, err)
		return nil
	}
	return findings.CheckPlausible(r)
}

// TestPlausible: no coil from 100 nH to 1 H is called implausible, however odd.
func TestPlausible(t *testing.T) {
	n := 0
	for _, l := range []float64{100e-9, 300e-9, 1e-6, 3e-6, 10e-6, 30e-6, 100e-6, 300e-6, 1e-3, 3e-3, 10e-3, 30e-3, 0.1, 0.3, 1} {
		for _, c := range []float64{0.3e-12, 1e-12, 3e-12, 10e-12, 30e-12, 100e-12, 300e-12, 1e-9} {
			n++
			if f := plain(t, l, c, 1, 1); len(f) > 0 {
				t.Errorf("%g H with %g F is called implausible: %+v", l, c, f[0])
			}
		}
	}
	t.Logf("no false alarm in %d coils", n)
}

// TestSlipsOfUnit: a slip by a thousand in a whole log is noticed for most coils,
// and the right one named.
func TestSlipsOfUnit(t *testing.T) {
	for _, c := range []struct {
		f, c   float64
		factor float64 // that puts it right
		added  bool
		least  int // of the coils
	}{
		{1e3, 1, 1e-3, false, 12}, {1e-3, 1, 1e3, false, 12}, {1, 1e-3, 1e3, true, 12}, {1, 1e3, 1e-3, true, 7}, // a small coil with a nanofarad across it may be meant
	} {
		n, noticed, right := 0, 0, 0
		for _, l := range []float64{30e-6, 300e-6, 1.25e-3, 5e-3} {
			for _, own := range []float64{3e-12, 8e-12, 20e-12} {
				n++
				for _, f := range plain(t, l, own, c.f, c.c) {
					noticed++
					if f.Slip != nil && f.Slip.Factor == c.factor && f.Slip.Added == c.added {
						right++
					}
				}
			}
		}
		t.Logf("frequencies × %g, capacitances × %g: %d of %d noticed, %d named", c.f, c.c, noticed, n, right)
		if noticed < c.least || right < noticed {
			t.Errorf("frequencies × %g, capacitances × %g: %d of %d noticed, %d named", c.f, c.c, noticed, n, right)
		}
	}
}
