package ringing

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
)

// Where a ring is loud its residual is told as times that where it isn't, both rms: here noise of 1.45
// times the standard deviation in the first time constant. (What is quiet is the quietest of several.)
func TestExcessInTimesOfTheNoise(t *testing.T) {
	const tau, sigma = 2000, 0.002 // samples, V
	rng := rand.New(rand.NewPCG(4, 4))
	s := Signal{Interval: coilInterval}
	for i := range 16000 {
		u := sigma
		if i < tau {
			u *= 1.45
		}
		s.Samples = append(s.Samples, math.Exp(-float64(i)/tau)*math.Cos(2*math.Pi*1.5e6*coilInterval*float64(i))+u*rng.NormFloat64())
	}
	r := must.Get(Analyse(s, Settings{})).In(t)
	i := slices.IndexFunc(r.Notes, func(n Note) bool { return n.Kind == NotOneSine })
	if i < 0 {
		t.Fatalf("notes %v", r.Notes)
	}
	near.Times(t, "residual", r.Notes[i].Values[0], 1.45, 0.15)
}
