package figure

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/field"
	"fitcoil/model/quantities"
	"fitcoil/model/resonance"
	"fitcoil/model/ringing"
	"fitcoil/model/voltage"
)

func TestVoltageLaidOut(t *testing.T) {
	c := squareCoil()
	c.Primary, c.Metal = field.Primary{}, field.Metal{}
	p := field.Profile{Height: []float64{0, 50e-3, 100e-3}, Voltage: []float64{0, 0.6, 1}}
	out := &voltage.Stress{Profile: p, Gradient: 12, GradientAt: 25e-3}
	in := &voltage.Stress{Profile: field.Profile{Height: p.Height, Voltage: []float64{0, 0.8, 1}}, Gradient: 16, GradientAt: 25e-3, Beads: []float64{0.3, 0.7},
		Gaps: []voltage.Gap{{Kind: voltage.BetweenBeads, Lower: 1, Height: 25.5e-3, Share: 0.4, Distance: 1e-3}}}
	sameLaid(t, "two states", Voltage(c, []Stressed{{"core in", in}, {"core out", out}}, 20e3), `
		voltage: Where does the voltage stand with 20.0 kV at the top?
		alt: Section of the coil to scale, with the voltage along the winding below. The steepest place has 3.20 kV a centimetre, at 25 mm above the grounded end.
		key: core in, c1 line
		key: core out, c2-1 line
		key: beads, floating, ink line
		key: steepest, 3.20 kV/cm, ink diamond hollow
		key: may spark there, c3 disc
		panel equal
		x : -30…112 unshown -20=−20 0 20 40 60 80 100
		y distance from the axis [mm]: -10.5…10.5 0 10 -10=10
		area c1 0,9.75 100,9.75 100,10.25 0,10.25
		area c1 0,-10.25 100,-10.25 100,-9.75 0,-9.75
		area faint 5,-4 25,-4 25,4 5,4
		area faint 26,-4 46,-4 46,4 26,4
		area mist 72 from 112,0 by 102,0 to 112,-0.4358, mean 107,0
		line ink -30,-10.5 -30,10.5
		panel 160
		x height above the grounded end [mm]: -30…112 -20=−20 0 20 40 60 80 100
		y voltage [kV]: 0…20 0 5 10 15 20
		rule 0
		line c1 0,0 50,16 100,20
		line c2-1 0,0 50,12 100,20
		line ink 5,6 25,6
		line ink 26,14 46,14
		mark ink diamond 25,8 hollow
		mark c3 disc 25.5,0
		note: 100 turns, 100 mm long, 20 mm across. Ball of 10 mm. Core: 2 beads, 8 mm across and 20 mm long, 1 mm apart. Grounded end 30 mm above the ground.
		note: Peak values of the lowest mode. What is not marked may spark too.
		table: height [mm] | core in [kV] | core out [kV]
		row: 0.0 | 0.000 | 0.000
		row: 50.0 | 16.000 | 12.000
		row: 100.0 | 20.000 | 20.000`)
	sameLaid(t, "one state", Voltage(c, []Stressed{{"winding", out}}, 200), `
		voltage: Where does the voltage stand with 200 V at the top?
		alt: Section of the coil to scale, with the voltage along the winding below. The steepest place has 24.0 V a centimetre, at 25 mm above the grounded end.
		key: winding, c1 line
		key: steepest, 24.0 V/cm, ink diamond hollow
		panel equal
		x : -30…112 unshown -20=−20 0 20 40 60 80 100
		y distance from the axis [mm]: -10.5…10.5 0 10 -10=10
		area c1 0,9.75 100,9.75 100,10.25 0,10.25
		area c1 0,-10.25 100,-10.25 100,-9.75 0,-9.75
		area faint 5,-4 25,-4 25,4 5,4
		area faint 26,-4 46,-4 46,4 26,4
		area mist 72 from 112,0 by 102,0 to 112,-0.4358, mean 107,0
		line ink -30,-10.5 -30,10.5
		panel 160
		x height above the grounded end [mm]: -30…112 -20=−20 0 20 40 60 80 100
		y voltage [V]: 0…200 0 50 100 150 200
		rule 0
		line c1 0,0 50,120 100,200
		mark ink diamond 25,60 hollow
		note: 100 turns, 100 mm long, 20 mm across. Ball of 10 mm. Core: 2 beads, 8 mm across and 20 mm long, 1 mm apart. Grounded end 30 mm above the ground.
		note: Peak values of the lowest mode. What is not marked may spark too.
		table: height [mm] | winding [V]
		row: 0.0 | 0.000
		row: 50.0 | 120.000
		row: 100.0 | 200.000`)
}

// A resonance curve at 1 MHz of quality factor 50 and a peak of 2 V, read at nine frequencies.
func TestResonanceLaidOut(t *testing.T) {
	var points []resonance.Point
	for i := range 9 {
		f := 1e6 + 10e3*float64(i-4)
		points = append(points, resonance.Point{Frequency: f, Amplitude: 2 / math.Hypot(1, 50*(f/1e6-1e6/f))})
	}
	r := must.Get(resonance.Fit(points, resonance.Settings{})).In(t)
	r.Resonance, r.Quality, r.Peak = told("", "Hz", 1e6, 200), told("", "1", 50, 0.5), told("", "V", 2, 0.01)
	r.Points[2].Amplitude += 0.1 // 5 % of the peak
	sameLaid(t, "resonance", Resonance(r, "V"), `
		resonance: Does the resonance curve fit the measured amplitudes?
		alt: 9 amplitudes over frequency with a resonance curve at 1.00000 ± 0.00020 MHz, quality factor 50.00 ± 0.50.
		key: readings, c2 disc
		key: resonance curve, c1 line
		panel resonance curve 180
		x : 0.96…1.04 unshown 0.96 0.97 0.98 0.99 1=1.00 1.01 1.02 1.03 1.04
		y amplitude [V]: 0…2.1 0=0.0 0.5 1=1.0 1.5 2=2.0
		rule 1 upright dashed
		line c1 401 from 0.96,0.4757 by 1,2 to 1.04,0.494, mean 1,1.046
		mark c2 disc 0.96,0.4757
		mark c2 disc 0.97,0.6238
		mark c2 disc 0.98,0.9872
		mark c2 disc 0.99,1.411
		mark c2 disc 1,2
		mark c2 disc 1.01,1.418
		mark c2 disc 1.02,0.9015
		mark c2 disc 1.03,0.6408
		mark c2 disc 1.04,0.494
		panel 80
		x frequency [MHz]: 0.96…1.04 0.96 0.97 0.98 0.99 1=1.00 1.01 1.02 1.03 1.04
		y residual (measured − curve) [% of the peak]: -5.5…5.5 -5=−5 0 5
		rule 0
		mark c2 disc 0.96,0
		mark c2 disc 0.97,0
		mark c2 disc 0.98,5
		mark c2 disc 0.99,0
		mark c2 disc 1,0
		mark c2 disc 1.01,0
		mark c2 disc 1.02,0
		mark c2 disc 1.03,0
		mark c2 disc 1.04,0
		note: Dashed: the resonance frequency.
		table: frequency [MHz] | amplitude [V] | curve [V]
		row: 0.96 | 0.47574 | 0.47574
		row: 0.97 | 0.62377 | 0.62377
		row: 0.98 | 0.98718 | 0.88718
		row: 0.99 | 1.4106 | 1.4106
		row: 1 | 2 | 2
		row: 1.01 | 1.4177 | 1.4177
		row: 1.02 | 0.90149 | 0.90149
		row: 1.03 | 0.64085 | 0.64085
		row: 1.04 | 0.49401 | 0.49401`)
	if f := Resonance(r, "1"); f.Panels[0].Y.Label != "amplitude" {
		t.Errorf("a plain amplitude is called %q", f.Panels[0].Y.Label)
	}
	for len(r.Points) < 61 {
		r.Points, r.Fitted = append(r.Points, r.Points[8]), append(r.Fitted, r.Fitted[8])
	}
	if f := Resonance(r, "V"); !f.Panels[0].Points[0].Small || !f.Panels[1].Points[0].Small {
		t.Error("61 marks are large")
	}
}

// A capture of 5 µs, of 2 V, of which the first and the last microsecond are not fitted.
func TestCaptureLaidOut(t *testing.T) {
	nan := math.NaN()
	band := func(time []float64, low, high []float64) ringing.Band {
		return ringing.Band{Time: time, Min: low, Max: high}
	}
	time := []float64{0, 1e-6, 2e-6, 3e-6, 4e-6, 5e-6}
	open := func(hz, v float64) quantities.Estimate {
		e := told("", "Hz", hz, hz/1e4)
		e.Unit = "Hz"
		_ = v
		return e
	}
	r := &ringing.Result{Kind: ringing.Decay, Resonance: told("", "Hz", 1e6, 300), Quality: told("", "1", 40, 0.5),
		Tones: []ringing.Tone{{Relation: ringing.Strongest, Frequency: open(1e6, 0), Amplitude: told("", "V", 1.5, 0.01)}, {Relation: ringing.Near, Frequency: quantities.Estimate{Value: 12e6}, Amplitude: quantities.Estimate{Unit: "V", Value: 0.5, Uncertainty: 0.1, Determined: true, Unclaimed: true}}},
		Left:  []ringing.Left{{Start: 0, End: 1e-6}, {Start: 4e-6, End: 5e-6}}}
	r.Modes = r.Tones
	r.Drawing = ringing.Drawing{
		Whole: ringing.View{Trace: band(time, []float64{-1, -2, -1.5, nan, -1, -0.5}, []float64{1, 2, 1.5, nan, 1, 0.5}),
			Fit:      band(time, []float64{nan, -1.9, -1.4, -1.2, -0.9, nan}, []float64{nan, 1.9, 1.4, 1.2, 0.9, nan}),
			Residual: band(time, []float64{nan, -0.02, -0.01, 0.01, -0.03, nan}, []float64{nan, 0.01, 0.02, 0.01, 0.01, nan})},
		Detail:   ringing.View{Trace: band([]float64{1e-7, 2e-7, 3e-7}, []float64{1, nan, -0.5}, []float64{1, nan, -0.5}), Fit: band([]float64{1e-7, 2e-7, 3e-7}, []float64{0.9, 0.2, -0.6}, []float64{0.9, 0.2, -0.6})},
		Spectrum: ringing.Spectrum{Frequency: []float64{0.5e6, 1e6, 1.5e6, 13.1e6, 13.3e6}, Trace: []float64{0.1, 1, 0.01, 1e-7, 1}, Residual: []float64{0.001, 0.01, 0.001, 0.001, 2}},
		Modes:    ringing.ModesView{Time: []float64{1e-6, 2e-6}, Each: [][]float64{{1.5, 1}, {0.5, 0.4}}, Sum: []float64{2, 0.6}}}
	sameLaid(t, "two modes", Capture(r), `
		capture: Does the fit follow the captured voltage?
		alt: A decaying voltage of 1.00000 ± 0.00030 MHz, quality factor 40.00 ± 0.50, with the fit, what the fit leaves, the first cycles in detail, and the spectrum of both.
		key: captured, c2 line
		key: fit, c1 line
		key: residual (captured − fit), c0 line
		key: envelope of each mode, c3 line
		panel whole capture; the shaded part is not fitted 120
		x : 0…5 unshown 0 1 2 3 4 5
		y voltage [V]: -2…2 -2=−2 -1=−1 0 1 2
		area mist 0,-2 1,-2 1,2 0,2
		area mist 4,-2 5,-2 5,2 4,2
		line c1 1,1.9 2,1.4 3,1.2 4,0.9
		line c1 1,-1.9 2,-1.4 3,-1.2 4,-0.9
		line c2 thin 0,-1 0,1 1,2 1,-2 2,-1.5 2,1.5
		line c2 thin 4,-1 4,1 5,0.5 5,-0.5
		panel 80
		x time [µs]: 0…5 0 1 2 3 4 5
		y residual (captured − fit) [mV]: -30…30 -30=−30 -20=−20 -10=−10 0 10 20 30
		rule 0
		line c0 thin 1,10 1,-20 2,-10 2,20 3,10 4,-30 4,10
		panel first cycles 120
		x time [ns]: 100…300 100 150 200 250 300
		y voltage [V]: -0.6…1 -0.5=−0.5 0=0.0 0.5 1=1.0
		line c1 thin 100,0.9 200,0.2 300,-0.6
		mark c2 disc 100,1 small
		mark c2 disc 300,-0.5 small
		panel envelopes of each mode, and their sum, which beats 100
		x time [µs]: 1…2 1=1.0 1.2 1.4 1.6 1.8 2=2.0
		y amplitude [V]: 0…2 0=0.0 0.5 1=1.0 1.5 2=2.0
		line c3 1,1.5 2,1
		line c3 1,0.5 2,0.4
		line c1 1,2 2,0.6
		panel spectrum, with the modes marked 120
		x frequency [MHz]: 0.5…13.1 2 4 6 8 10 12
		y amplitude, peak = 0 [dB]: -100…0 -100=−100 -80=−80 -60=−60 -40=−40 -20=−20 0
		rule 1 upright dashed
		rule 12 upright dashed
		line c2 thin 0.5,-20 1,0 1.5,-40 13.1,-100
		line c0 thin 0.5,-60 1,-40 1.5,-60 13.1,-60
		table: tone | frequency | amplitude
		row: strongest | 1.00000 ± 0.00010 MHz | 1.500 ± 0.010 V
		row: beating | not determined | 500 mV`)
	r.Modes, r.Tones, r.Left = r.Modes[:1], r.Tones[:1], nil
	r.Kind, r.Quality, r.Resonance.Unclaimed = ringing.Steady, quantities.Estimate{}, true
	r.Drawing.Modes, r.Drawing.Detail.Trace.Max = ringing.ModesView{Each: r.Drawing.Modes.Each[:1]}, []float64{1, nan, -0.4}
	r.Drawing.Whole.Residual = ringing.Band{}
	r.Drawing.Spectrum.Trace = make([]float64, 5)
	sameLaid(t, "one tone", Capture(r), `
		capture: Does the fit follow the captured voltage?
		alt: A steady voltage of 1.00000 MHz, with the fit, what the fit leaves, the first cycles in detail, and the spectrum of both.
		key: captured, c2 line
		key: fit, c1 line
		key: residual (captured − fit), c0 line
		panel whole capture 120
		x : 0…5 unshown 0 1 2 3 4 5
		y voltage [V]: -2…2 -2=−2 -1=−1 0 1 2
		line c1 1,1.9 2,1.4 3,1.2 4,0.9
		line c1 1,-1.9 2,-1.4 3,-1.2 4,-0.9
		line c2 thin 0,-1 0,1 1,2 1,-2 2,-1.5 2,1.5
		line c2 thin 4,-1 4,1 5,0.5 5,-0.5
		panel 80
		empty: No stretch of the capture was fitted.
		x time [µs]: 0…5 0 1 2 3 4 5
		y residual (captured − fit) [V]: -1…1 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		rule 0
		panel first cycles 120
		x time [ns]: 100…300 100 150 200 250 300
		y voltage [V]: -0.6…1 -0.5=−0.5 0=0.0 0.5 1=1.0
		line c2 thin 100,1
		line c2 thin 300,-0.5 300,-0.4
		line c1 thin 100,0.9 200,0.2 300,-0.6
		panel spectrum 120
		empty: There is no spectrum to show.
		x : 0…0
		y : 0…0
		table: tone | frequency | amplitude
		row: strongest | 1.00000 ± 0.00010 MHz | 1.500 ± 0.010 V`)
	r.Tones, r.Resonance, r.Drawing = nil, quantities.Estimate{}, ringing.Drawing{}
	sameLaid(t, "nothing", Capture(r), `
		capture: Does the fit follow the captured voltage?
		alt: A steady voltage, with the fit, what the fit leaves, the first cycles in detail, and the spectrum of both.
		key: captured, c2 line
		key: fit, c1 line
		key: residual (captured − fit), c0 line
		panel whole capture 120
		empty: There is no sample to show.
		x : -1…1 unshown -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		y voltage [V]: -1…1 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		panel 80
		empty: No stretch of the capture was fitted.
		x time [s]: -1…1 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		y residual (captured − fit) [V]: -1…1 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		rule 0
		panel first cycles 120
		empty: There is no sample to show.
		x time [s]: -1…1 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		y voltage [V]: -1…1 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		panel spectrum 120
		empty: There is no spectrum to show.
		x : 0…0
		y : 0…0
		table: tone | frequency | amplitude`)
}
