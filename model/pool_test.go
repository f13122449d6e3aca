package model

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/readings"
)

// means pools readings in the order in which they were taken.
func means(list []readings.Reading) []readings.Reading {
	var p readings.Pool
	for i, r := range list {
		p.Add(r, float64(i+1))
	}
	return p.Readings()
}

// A fit to means is the fit to all readings, when these scatter as stated: least
// squares sees no difference.
func TestPooledFitIsTheFit(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	session := simulated.Lighthouse().Session(rng, 1e-9, 0.02, simulated.FullSession()...)
	all := readings.Log{Parts: session.Parts}
	for range 100 {
		for _, r := range session.Readings {
			r.Uncertainty = 3e-4 * r.Frequency
			r.Frequency += r.Uncertainty * rng.NormFloat64() / 2 // less than stated, so that no fit scales
			all.Readings = append(all.Readings, r)
		}
	}
	few := readings.Log{Readings: means(all.Readings), Parts: all.Parts}
	a := must.Get(Fit(idealBench(estimation.Session{Log: all}))).In(t)
	b := must.Get(Fit(idealBench(estimation.Session{Log: few}))).In(t)
	if len(b.Readings) >= len(a.Readings)/50 || a.Quality.Scale != 1 || b.Quality.Scale != 1 {
		t.Fatalf("%d readings as %d means, scale %g and %g", len(a.Readings), len(b.Readings), a.Quality.Scale, b.Quality.Scale)
	}
	for i := range a.Parameters {
		x, y := &a.Parameters[i], &b.Parameters[i]
		if !x.Determined && !y.Determined {
			continue
		}
		if x.Determined != y.Determined || !(math.Abs(x.Value-y.Value) <= 3e-3*x.Uncertainty) || !(math.Abs(x.Uncertainty/y.Uncertainty-1) <= 1e-3) {
			t.Errorf("%s %s %s: %.9g ± %.4g from all, %.9g ± %.4g from means", x.Name, x.Core, x.Part, x.Value, x.Uncertainty, y.Value, y.Uncertainty)
		}
	}
}

// One misread value among many stands out.
func TestReadingApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	log := simulated.Lighthouse().Session(rng, 3e-4, 0.02, simulated.FullSession()...)
	list := log.Readings
	bare := list[0]
	for i := range 200 {
		r := bare
		r.Line = 100 + i
		r.Frequency += r.Uncertainty * rng.NormFloat64()
		if i == 77 {
			r.Frequency *= 1.1
		}
		list = append(list, r)
	}
	r := must.Get(Fit(estimation.Session{Log: readings.Log{Readings: means(list), Parts: log.Parts}})).In(t)
	var told []int
	for _, f := range r.Findings {
		if f.Kind == findings.ReadingApart {
			told = append(told, f.Line)
		}
	}
	if len(told) != 1 || told[0] != 177 {
		t.Errorf("told apart: lines %v, want 177", told)
	}
}
