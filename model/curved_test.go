package model

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

var curvedSessions = flag.Int("curved", 8, "sessions of TestCurvedAreThoseThatProfilesMove")

// What second derivatives say of linear intervals must be what profiles say.
func TestCurvedAreThoseThatProfilesMove(t *testing.T) {
	rng := rand.New(rand.NewPCG(77, 1))
	var said, missed, wrongly, rightly float64
	for range *curvedSessions {
		noise := 1e-4 * math.Exp(2*rng.Float64())
		steps := append(night(), simulated.FullSession()[:rng.IntN(8)]...)
		r := mustFit(t, estimation.Session{Log: simulated.Lighthouse().Session(rng, noise, 0.02, steps...)})
		curved := map[quantities.Key]bool{}
		for _, e := range r.Curved() {
			curved[e.Key] = true
		}
		list, _ := r.Profiles(nil)
		for i := range list {
			switch p := &list[i]; {
			case p.Differs() && curved[p.Key]:
				said++
			case p.Differs():
				missed++
			case curved[p.Key]:
				wrongly++
			default:
				rightly++
			}
		}
	}
	t.Logf("%v of %v intervals that profiles move are told, and %v of %v others", said, said+missed, wrongly, wrongly+rightly)
	if said+missed < 40 || wrongly+rightly < 40 || said < 0.75*(said+missed) || wrongly > 0.12*(wrongly+rightly) {
		t.Error("too few of the one, or too many of the others")
	}
}
