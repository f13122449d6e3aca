package model_test

import (
	"fmt"

	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// An evening (invented) without a file: readings bare and with capacitors known to 1 %.
func evening() readings.Log {
	l := readings.Log{Parts: []readings.Part{
		{Name: "4.7 pF", Capacitance: 4.7e-12, Uncertainty: 0.047e-12, Known: true},
		{Name: "10 pF", Capacitance: 10e-12, Uncertainty: 0.1e-12, Known: true},
		{Name: "22 pF", Capacitance: 22e-12, Uncertainty: 0.22e-12, Known: true},
	}}
	for i, f := range []float64{2.5e6, 1.683e6, 1.323e6, 0.969e6, 2.5e6} {
		r := readings.Reading{State: readings.Bare(), Line: i + 1, Frequency: f, Uncertainty: 1e3, Use: true}
		if i > 0 && i < 4 {
			r.Parts = []int{i - 1}
		}
		l.Readings = append(l.Readings, r)
	}
	return l
}

// What a log says of the coil, and what it leaves open.
func ExampleFit() {
	coil, err := model.Fit(estimation.Session{Log: evening()})
	if err != nil {
		fmt.Println(err)
		return
	}
	l := coil.Find(quantities.Key{Name: quantities.EffectiveInductance})
	fmt.Printf("%.2f mH, u %.2f mH, consistent with the readings: %v\n", 1e3*l.Value, 1e3*l.Uncertainty, coil.Quality.PValue > 0.05)
	for _, u := range coil.Undetermined {
		fmt.Println("not determined:", u.Names)
	}
	// Output:
	// 1.02 mH, u 0.04 mH, consistent with the readings: true
	// not determined: [winding_capacitance top_capacitance]
	// not determined: [lead_capacitance]
	// not determined: [drift]
}

// The frequency that 15 pF would give, a part not measured, whose tolerance is 2 %.
func Example_predict() {
	coil, err := model.Fit(estimation.Session{Log: evening()})
	if err != nil {
		fmt.Println(err)
		return
	}
	state := readings.Bare()
	state.Parts = []int{len(coil.Session.Log.Parts)} // the first behind those of the log
	further := []readings.Part{{Name: "15 pF", Capacitance: 15e-12, Uncertainty: 0.3e-12, Known: true}}
	p := decisions.Predict(coil.Result, state, further)
	fmt.Printf("%.2f MHz, u %.3f MHz\n", 1e-6*p.Frequency.Value, 1e-6*p.Frequency.Uncertainty)
	// Output:
	// 1.13 MHz, u 0.010 MHz
}
