package figure

import (
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// Predictions stand with an interval of ± 2 kHz about the frequencies given.
func TestPredictionsLaidOut(t *testing.T) {
	r := roundFit(t, "rod")
	parts := append(r.Parts(), readings.Part{Name: "ten", Capacitance: 10e-12, Known: true})
	ask := func(s readings.State, hz float64) decisions.Prediction {
		return decisions.Prediction{State: s, Frequency: told("", "Hz", hz, 500), NewReading: [2]float64{hz - 2e3, hz + 2e3}}
	}
	beyond := readings.Bare()
	beyond.Parts = []int{0, 2}
	rod := readings.Bare()
	rod.Core, rod.To, rod.Hand = "rod", 1, 0.1
	list := []decisions.Prediction{ask(beyond, 1.1e6), ask(rod, 1.5e6), {State: rod}}
	list[0].Outside = make([]decisions.Outside, 1)
	sameLaid(t, "added", Predictions(r, list, parts), `
		predictions: Where do the predictions lie beside the readings?
		alt: Predicted frequencies of 2 states, over 9 readings and the fitted curves. 1: five + ten: 1.10000 ± 0.00050 MHz, beyond what was read. 2: core rod, hand at 10 cm: 1.50000 ± 0.00050 MHz. 3: core rod, hand at 10 cm: not determined by these readings.
		key: bare, c0 disc line aside at 1.125
		key: core rod, c1 disc line aside at 0.7958
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		key: fit, with 95 % band of the mean, ink line band
		key: predicted, with 95 % interval of one new reading, ink disc ring bar
		panel 230
		x added capacitance [pF]: 0…15 0 2 4 6 8 10 12 14
		y frequency [MHz]: 0.7888…2.252 1=1.0 1.5 2=2.0
		band c0 50 from 0,2.249 by 4.069,1.662 to 15,1.116, mean 5.251,1.692 below 50 from 0,2.252 by 4.069,1.68 to 15,1.135, mean 5.251,1.706
		band c1 50 from 0,1.591 by 4.069,1.176 to 15,0.7888, mean 5.051,1.203 below 50 from 0,1.592 by 4.069,1.188 to 15,0.8028, mean 5.051,1.213
		line c0 49 from 0,2.251 by 3.75,1.701 to 15,1.125, mean 5.052,1.711
		line c0 thin 15,1.125 15,1.125
		line c1 29 from 0,1.592 by 1.276,1.421 to 5,1.125, mean 1.728,1.398
		line c1 thin 22 from 5,1.125 by 9.401,0.9378 to 15,0.7958, mean 9.429,0.9533
		mark c0 disc 0,2.251
		mark c0 disc 5,1.592
		mark c0 disc 15,1.125
		mark c1 disc 0,1.592
		mark c1 disc 5,1.125
		mark c0 square 0,2.197
		mark c0 triangle 0,2.237
		mark c0 square 5,1.572
		mark c0 disc 0,2.251 hollow
		mark c0 disc 15,1.1 1.098…1.102 ring 1
		mark c1 square 0,1.5 1.498…1.502 ring 2
		note: 1: five + ten: 1.10000 ± 0.00050 MHz, beyond what was read.
		note: 2: core rod, hand at 10 cm: 1.50000 ± 0.00050 MHz.
		note: 3: core rod, hand at 10 cm: not determined by these readings.
		note: Thin: extrapolated beyond the capacitances read in that condition.
		table:  | state | frequency | 95 % for one new reading | remark
		row: 1 | five + ten | 1.10000 ± 0.00050 MHz | 1.0980 to 1.1020 MHz | beyond what was read
		row: 2 | core rod, hand at 10 cm | 1.50000 ± 0.00050 MHz | 1.4980 to 1.5020 MHz |
		row: 3 | core rod, hand at 10 cm | not determined | - |`)
	sameLaid(t, "none", Predictions(r, list[2:], parts), `
		predictions: Where do the predictions lie beside the readings?
		alt: Predicted frequencies of 0 states, over 9 readings and the fitted curves. 1: core rod, hand at 10 cm: not determined by these readings.
		panel
		empty: None of these frequencies is determined by the readings.
		x : 0…0
		y : 0…0
		note: 1: core rod, hand at 10 cm: not determined by these readings.
		table:  | state | frequency | 95 % for one new reading | remark
		row: 1 | core rod, hand at 10 cm | not determined | - |`)
	for range 12 {
		list = append(list, ask(rod, 1.4e6))
	}
	f := Predictions(r, list, parts)
	last := f.Panels[0].Points[len(f.Panels[0].Points)-1]
	if last.Label != "" || f.Notes[0] != "15 predictions: too many to name them here." || len(f.Table.Rows) != 15 {
		t.Errorf("of 15 the last is called %q, with %q and %d rows", last.Label, f.Notes[0], len(f.Table.Rows))
	}
	var log readings.Log
	for _, o := range roundLog("rod").Readings {
		if len(o.State.Parts) == 0 {
			log.Readings = append(log.Readings, o)
		}
	}
	r = must.Get(model.Fit(estimation.Session{Log: log, Lumped: true})).In(t)
	clear := readings.Bare()
	sameLaid(t, "nothing added", Predictions(r, []decisions.Prediction{ask(clear, 2.3e6), ask(rod, 1.5e6)}, nil), `
		predictions: Where do the predictions lie beside the readings?
		alt: Predicted frequencies of 2 states, over 5 readings and the fitted curves. 1: bare: 2.30000 ± 0.00050 MHz. 2: core rod, hand at 10 cm: 1.50000 ± 0.00050 MHz.
		key: no core, c0 disc
		key: core rod, c1 disc
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		key: predicted, ink disc ring
		panel 93
		x frequency [MHz]: 1.5…2.3 1.6 1.8 2=2.0 2.2
		y : -0.5…4.5 0=core rod, hand at 10 cm 1=hand at 20 cm 2=hand at 10 cm 3=core rod 4=bare
		mark c0 disc 2.251,4
		mark c0 disc 2.251,4 hollow
		mark c1 disc 1.592,3
		mark c0 square 2.197,2
		mark c0 triangle 2.237,1
		mark c0 disc 2.3,4 ring 1
		mark c1 square 1.5,0 ring 2
		note: 1: bare: 2.30000 ± 0.00050 MHz.
		note: 2: core rod, hand at 10 cm: 1.50000 ± 0.00050 MHz.
		table:  | state | frequency | 95 % for one new reading | remark
		row: 1 | bare | 2.30000 ± 0.00050 MHz | 2.2980 to 2.3020 MHz |
		row: 2 | core rod, hand at 10 cm | 1.50000 ± 0.00050 MHz | 1.4980 to 1.5020 MHz |`)
	sameLaid(t, "frequencies alone", Frequency(r), `
		frequency: Which frequency was measured in each condition?
		alt: Frequencies of 5 readings in 4 conditions, between 1.592 MHz and 2.251 MHz, with nothing added. The largest difference between measured and fitted is 130 Hz.
		key: no core, c0 disc
		key: core rod, c1 disc
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		panel 76
		x frequency [MHz]: 1.592…2.251 1.6 1.8 2=2.0 2.2
		y : -0.5…3.5 0=hand at 20 cm 1=hand at 10 cm 2=core rod 3=bare
		mark c0 disc 2.251,3
		mark c0 disc 2.251,3 hollow
		mark c1 disc 1.592,2
		mark c0 square 2.197,1
		mark c0 triangle 2.237,0
		note: Nothing was added in any reading, so there is no curve to draw.`)
}
