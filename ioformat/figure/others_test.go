package figure

import (
	"math"
	"math/rand/v2"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/field"
	"fitcoil/model/readings"
	"fitcoil/model/ringing"
)

// beadSweep is an invented sweep.
func beadSweep() Sweep {
	s := Sweep{Name: "bead spacing", Unit: "m", Now: 2e-3}
	gain, f := Outcome{Name: "core gain", Band: "model uncertainty"}, Outcome{Name: "bare frequency", Unit: "Hz", Band: "model uncertainty"}
	for i := range 15 {
		x := 1e-3 + 0.5e-3*float64(i)
		g := 1 + 1.1e-3/(x+0.6e-3)
		hz := 1.9e6 / math.Sqrt(g)
		s.At = append(s.At, x)
		gain.Value, gain.Low, gain.High = append(gain.Value, g), append(gain.Low, 0.97*g), append(gain.High, 1.03*g)
		f.Value, f.Low, f.High = append(f.Value, hz), append(f.Low, 0.985*hz), append(f.High, 1.015*hz)
	}
	s.Outcomes = []Outcome{gain, f}
	return s
}

// towerCoil is the invented coil of the lighthouse, and towerMode the quarter
// wave of a uniform line, which is near its resonance.
func towerCoil() field.Coil {
	return field.Coil{Turns: 560, Diameter: 24e-3, Length: 220e-3, Wire: 0.35e-3, Ball: 16e-3, BallGap: 2e-3, Height: 40e-3,
		Beads: field.Beads{Diameter: 10e-3, Length: 15e-3, Spacing: 2e-3, Count: 12, Start: 5e-3, Permeability: 125}}
}

func towerMode() *field.Mode {
	m := &field.Mode{}
	for k := range 40 {
		m.Voltage = append(m.Voltage, math.Sin(1.3*float64(k+1)/40)/math.Sin(1.3))
		m.Current = append(m.Current, math.Cos(1.3*(float64(k)+0.5)/40))
	}
	return m
}

// ringDown is an invented capture: 8 bits, a decay of quality factor 40.
func ringDown(t testing.TB) *ringing.Result {
	rng := rand.New(rand.NewPCG(8, 8))
	s := ringing.Signal{Interval: 8e-9}
	for i := range 6000 {
		x := 0.004 * rng.NormFloat64()
		if i >= 500 {
			ωt := 2 * math.Pi * 1.9e6 * float64(i-500) * s.Interval
			x += 0.9 * math.Exp(-ωt/80) * math.Sin(ωt)
		}
		s.Samples = append(s.Samples, math.Round(x/0.0078)*0.0078)
	}
	return must.Get(ringing.Analyse(s, ringing.Settings{})).In(t)
}

// questions are states to predict: inside, outside and undetermined.
func questions(r *model.Result) ([]decisions.Prediction, []readings.Part) {
	parts := append(append([]readings.Part(nil), r.Parts()...), readings.Part{Name: "33 pF", Capacitance: 33e-12, Uncertainty: 0.8e-12, Known: true})
	far := math.Inf(1)
	states := []readings.State{
		{Exact: 3.3e-12, Core: "rod", To: 0.6, Hand: far},
		{Exact: 6.8e-12, Hand: 0.2},
		{Parts: []int{len(parts) - 1}, Hand: far},
		{Core: "rod", To: 0.8, Hand: far},
		{Core: "glass", To: 1, Hand: far},
	}
	return decisions.PredictAll(r.Result, states, parts), parts
}
