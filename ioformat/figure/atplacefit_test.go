package figure

import (
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/readings"
)

// roundLog is read without noise from a lumped coil of 1 mH and 5 pF. A rod doubles the inductance, a
// hand at 10 cm adds 0.25 pF and one at 20 cm 0.0625 pF. Each reading has 0.01 %, each part 1 %.
func roundLog(rod string) readings.Log {
	var log readings.Log
	for i, pF := range []float64{5, 15} {
		log.Parts = append(log.Parts, readings.Part{Name: []string{"five", "fifteen"}[i], Capacitance: pF * 1e-12, Uncertainty: pF * 1e-14, Known: true})
	}
	for i, s := range []struct {
		part      int
		rod, hand float64
	}{{-1, 0, 0}, {0, 0, 0}, {1, 0, 0}, {-1, 1, 0}, {0, 1, 0}, {-1, 0, 0.1}, {-1, 0, 0.2}, {0, 0, 0.1}, {-1, 0, 0}} {
		state, l, c := readings.Bare(), 1e-3, 5e-12
		if s.part >= 0 {
			state.Parts = []int{s.part}
			c += log.Parts[s.part].Capacitance
		}
		if s.rod > 0 {
			state.Core, state.To, l = rod, 1, 2e-3
		}
		if s.hand > 0 {
			state.Hand = s.hand
			c += 2.5e-15 / (s.hand * s.hand)
		}
		f := 1 / (2 * math.Pi * math.Sqrt(l*c))
		log.Readings = append(log.Readings, readings.Reading{State: state, Line: i + 2, Use: i != 8, Frequency: f, Uncertainty: 1e-4 * f, Amplitude: math.NaN(), Quality: math.NaN()})
	}
	return log
}

// roundFit is the fit of roundLog with residuals set to a kilohertz and more.
func roundFit(t *testing.T, rod string) *model.Result {
	t.Helper()
	r := must.Get(model.Fit(estimation.Session{Log: roundLog(rod), Lumped: true})).In(t)
	r.Quality.Scale = 2
	for i := range r.Readings { // ± 200 Hz as stated, ± 400 Hz as they scatter
		o := &r.Readings[i]
		o.Uncertainty, o.Weighed = 200, 400
		o.Residual = []float64{1000, -500, 400, -400, 0, 300, -300, 100, 200}[i]
		o.Standardised = []float64{3.5, -1.5, 1, -1, math.NaN(), 0.8, -0.8, 0.2, 0.5}[i]
		o.Flagged = i == 0
		o.Fitted = o.Frequency - o.Residual
	}
	r.Readings[3].Weighed = 500 // 300 Hz are the model's
	r.Findings, r.Checks = []findings.Finding{}, nil
	return r
}

func TestFitLaidOut(t *testing.T) {
	r := roundFit(t, "rod")
	sameLaid(t, "frequency", Frequency(r), `
		frequency: Does the model fit the measured frequencies?
		alt: Frequencies of 9 readings in 4 conditions, between 1.125 MHz and 2.251 MHz, against up to 15.0 pF of added capacitance, with fitted curves and their 95 % bands. The largest difference between measured and fitted is 1.0 kHz.
		key: bare, c0 disc line aside at 1.125
		key: core rod, c1 disc line aside at 0.7958
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		key: suspect, c0 ring
		key: fit, with 95 % band of the mean, ink line band
		panel 230
		x added capacitance [pF]: 0…15 0 2 4 6 8 10 12 14
		y frequency [MHz]: 0.7888…2.252 1=1.0 1.5 2=2.0
		band c0 49 from 0,2.249 by 3.75,1.693 to 15,1.116, mean 5.052,1.704 below 49 from 0,2.252 by 3.75,1.71 to 15,1.135, mean 5.052,1.718
		band c1 50 from 0,1.591 by 4.069,1.176 to 15,0.7888, mean 5.051,1.203 below 50 from 0,1.592 by 4.069,1.188 to 15,0.8028, mean 5.051,1.213
		line c0 49 from 0,2.251 by 3.75,1.701 to 15,1.125, mean 5.052,1.711
		line c1 29 from 0,1.592 by 1.276,1.421 to 5,1.125, mean 1.728,1.398
		line c1 thin 22 from 5,1.125 by 9.401,0.9378 to 15,0.7958, mean 9.429,0.9533
		mark c0 disc 0,2.251 ring line 2
		mark c0 disc 5,1.592
		mark c0 disc 15,1.125
		mark c1 disc 0,1.592
		mark c1 disc 5,1.125
		mark c0 square 0,2.197
		mark c0 triangle 0,2.237
		mark c0 square 5,1.572
		mark c0 disc 0,2.251 hollow
		note: Thin: extrapolated beyond the capacitances read in that condition.
		note: No error bars: the standard uncertainties of the readings, at most 200 Hz, are shown with the residuals.`)
	sameLaid(t, "inverse", InverseSquare(r), `
		inverse-square: Which L and C follow from the added capacitors?
		alt: 1/ω² of 6 readings against up to 15.0 pF of added capacitance, which rises nearly in a straight line. Effective inductance (slope) 1.000 ± 0.012 mH, effective capacitance (intercept) 5.000 ± 0.060 pF.
		key: no core, c0 disc
		key: core rod, c1 disc
		key: left out of the fit, faint disc hollow
		key: suspect, c0 ring
		key: tangent at the bare coil, ink line dashed
		panel 210
		x added capacitance C [pF]: -5…15 0 5 10
		y 1/ω² [mH·pF]: 0…40 0 10 20 30
		rule 0
		rule 0 upright
		line c0 49 from 0,5 by 3.75,8.75 to 15,20, mean 5.052,10.05
		line c1 50 from 0,10 by 4.069,18.14 to 15,40, mean 5.051,20.1
		line ink thin dashed -5,0 15,20
		mark c0 disc 0,5 ring
		mark c0 disc 5,10
		mark c0 disc 15,20
		mark c1 disc 0,10
		mark c1 disc 5,20
		mark c0 disc 0,5 hollow
		mark ink diamond -5,0 −C
		note: The slope of the tangent is the effective inductance, 1.000 ± 0.012 mH; it meets the axis at minus the effective capacitance, −(5.000 ± 0.060 pF).`)
	sameLaid(t, "hand", *Hand(r), `
		hand: How much does a hand lower the frequency?
		alt: Frequency drop against the distance of a hand. At 10 cm 54.27 ± 0.61 kHz. At 20 cm 13.97 ± 0.65 kHz.
		key: bare, c0 disc line
		key: five, c0-1 square line
		key: fit, with 95 % band of the mean, ink line band
		panel 220
		x distance of the hand from the top [cm], logarithmic: 7…28 log+0 10 20
		y frequency drop [kHz], logarithmic: 1.179…97.09 log+0 2 5 10 20 50
		band c0 41 from 7,86.24 by 14,26.67 to 28,5.407, mean 15.21,34.31 below 41 from 7,107.9 by 14,31.39 to 28,7.903, mean 15.21,39.77
		band c0-1 /square 41 from 7,31.36 by 14,9.522 to 28,1.917, mean 15.21,12.35 below 41 from 7,39.56 by 14,11.2 to 28,2.799, mean 15.21,14.33
		line c0 41 from 7,97.09 by 14,29.03 to 28,6.655, mean 15.21,37.04
		line c0-1 /square 41 from 7,35.46 by 14,10.36 to 28,2.358, mean 15.21,13.34
		mark c0 disc 10,53.97 53.57…54.37
		mark c0 disc 20,14.27 13.87…14.67
		mark c0 square 10,19.44 19.04…19.84
		note: Marks: fitted frequency with nobody near less the measured one; bars: ± one standard uncertainty of the reading.
		table: distance | frequency drop of the bare coil | 95 % interval
		row: 10 cm | 54.27 ± 0.61 kHz | 52.35 to 56.19 kHz
		row: 20 cm | 13.97 ± 0.65 kHz | 11.9 to 16.0 kHz`)
	sameLaid(t, "residuals", Residuals(r), `
		residuals-added-capacitance: Do the residuals bend with added capacitance?
		alt: Standardised residuals of 8 readings against added capacitance. 7 lie within ±2; the largest is 3.5 (line 2, bare). Suspect: line 2.
		key: no core, c0 disc
		key: core rod, c1 disc
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		key: suspect, c0 ring
		key: 95 % of the mean, ink band
		key: 95 % of one new reading, faint band
		panel 120
		x : 0…15 unshown 0 2 4 6 8 10 12 14
		y standardised residual: -3.5…3.5 -2=−2 0 2
		rule 0
		rule 2 dashed
		rule -2 dashed
		mark c0 disc 0,3.5 ring line 2
		mark c0 disc 5,-1.5
		mark c0 disc 15,1
		mark c1 disc 0,-1
		mark c0 square 0,0.8
		mark c0 triangle 0,-0.8
		mark c0 square 5,0.2
		mark c0 disc 0,0.5 hollow
		panel with the 95 % bands of the coil without core and hand 120
		x added capacitance [pF]: 0…15 0 2 4 6 8 10 12 14
		y residual (measured − fitted) [kHz]: -1.632…1.633 -1=−1 0 1
		band faint 0,-1.632 5,-0.941 15,-0.7407 below 0,1.633 5,0.9416 15,0.7411
		band ink 0,-1.335 5,-0.5817 15,-0.5267 below 0,1.336 5,0.5819 15,0.5269
		rule 0
		mark c0 disc 0,1 ring
		mark c0 disc 5,-0.5
		mark c0 disc 15,0.4
		mark c1 disc 0,-0.4
		mark c0 square 0,0.3
		mark c0 triangle 0,-0.3
		mark c0 square 5,0.1
		mark c0 disc 0,0.2 hollow
		note: Standardised: residual (measured − fitted) over its standard deviation. Dashed: ±2; about one in twenty lies beyond by chance.
		note: Not shown: line 6; the fit passes through such a reading, or its frequency is not determined by the others.`)
	sameLaid(t, "order", RunOrder(r), `
		residuals-run-order: Did the coil or the bench drift during the session?
		alt: Standardised residuals of 8 readings in the order in which the readings were taken. 7 lie within ±2; the largest is 3.5 (line 2, bare). Suspect: line 2.
		key: no core, c0 disc
		key: core rod, c1 disc
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		key: suspect, c0 ring
		panel 120
		x : 0.5…9.5 unshown 1 2 3 4 5 6 7 8 9
		y standardised residual: -3.5…3.5 -2=−2 0 2
		rule 0
		rule 2 dashed
		rule -2 dashed
		mark c0 disc 1,3.5 ring line 2
		mark c0 disc 2,-1.5
		mark c0 disc 3,1
		mark c1 disc 4,-1
		mark c0 square 6,0.8
		mark c0 triangle 7,-0.8
		mark c0 square 8,0.2
		mark c0 disc 9,0.5 hollow
		panel 120
		x reading, in the order of the log: 0.5…9.5 1 2 3 4 5 6 7 8 9
		y residual (measured − fitted) [kHz]: -0.9…1.4 -0.5=−0.5 0=0.0 0.5 1=1.0
		rule 0
		mark c0 disc 1,1 0.6…1.4 ring
		mark c0 disc 2,-0.5 -0.9…-0.1
		mark c0 disc 3,0.4 0…0.8
		mark c1 disc 4,-0.4 -0.8…0 wide -0.3…0.3
		mark c1 disc 5,0 -0.4…0.4
		mark c0 square 6,0.3 -0.1…0.7
		mark c0 triangle 7,-0.3 -0.7…0.1
		mark c0 square 8,0.1 -0.3…0.5
		mark c0 disc 9,0.2 -0.2…0.6 hollow
		note: Standardised: residual (measured − fitted) over its standard deviation. Dashed: ±2; about one in twenty lies beyond by chance.
		note: Not shown: line 6; the fit passes through such a reading, or its frequency is not determined by the others.
		note: Bars: ± one standard uncertainty of the reading, multiplied by the Birge ratio 2.00. Broad and pale, about 0: that of the model with a core partly in, up to 300 Hz; a bar that ends in a point goes on beyond the panel.`)
	sameLaid(t, "by state", ByState(r), `
		residuals-by-state: Does one core, hand distance or part disagree?
		alt: Standardised residuals of 8 readings sorted by core, hand and part. 7 lie within ±2; the largest is 3.5 (line 2, bare). Suspect: line 2.
		key: no core, c0 disc
		key: core rod, c1 disc
		key: hand at 10 cm, ink square
		key: hand at 20 cm, ink triangle
		key: left out of the fit, faint disc hollow
		key: suspect, c0 ring
		panel by core 42
		x : -3.5…3.5 unshown -2=−2 0 2
		y : -0.5…1.5 0=core rod 1=no core
		rule 0 upright
		rule 2 upright dashed
		rule -2 upright dashed
		mark c0 disc 3.5,1 ring
		mark c0 disc -1.5,1
		mark c0 disc 1,1
		mark c0 square 0.8,1
		mark c0 triangle -0.8,1
		mark c0 square 0.2,1
		mark c0 disc 0.5,1 hollow
		mark c1 disc -1,0
		panel by hand 59
		x : -3.5…3.5 unshown -2=−2 0 2
		y : -0.5…2.5 0=hand at 10 cm 1=hand at 20 cm 2=nobody near
		rule 0 upright
		rule 2 upright dashed
		rule -2 upright dashed
		mark c0 disc 3.5,2 ring
		mark c0 disc -1.5,2
		mark c0 disc 1,2
		mark c1 disc -1,2
		mark c0 disc 0.5,2 hollow
		mark c0 triangle -0.8,1
		mark c0 square 0.8,0
		mark c0 square 0.2,0
		panel by part on the top 59
		x standardised residual: -3.5…3.5 -2=−2 0 2
		y : -0.5…2.5 0=fifteen 1=five 2=nothing
		rule 0 upright
		rule 2 upright dashed
		rule -2 upright dashed
		mark c0 disc 3.5,2 ring
		mark c1 disc -1,2
		mark c0 square 0.8,2
		mark c0 triangle -0.8,2
		mark c0 disc 0.5,2 hollow
		mark c0 disc -1.5,1
		mark c0 square 0.2,1
		mark c0 disc 1,0
		note: Standardised: residual (measured − fitted) over its standard deviation. Dashed: ±2; about one in twenty lies beyond by chance.
		note: Not shown: line 6; the fit passes through such a reading, or its frequency is not determined by the others.`)
	rho := Correlations(r)
	rho.Table = chart.Table{} // see TestCorrelationsAreThoseOfTheCovariance
	sameLaid(t, "correlations", rho, `
		correlations: Which quantities share their uncertainty?
		alt: Correlation coefficients of 6 estimates: effective inductance and effective capacitance −0.99952; gain, core rod and capacitance, core rod −0.88; capacitance, core rod and bare frequency 0.55; hand, frequency drop at 10 cm and bare frequency 0.923.
		key: rise together, c1 area
		key: one rises as the other falls, c2 area
		panel 114 bare
		x : -0.5…5.5 0=1 1=2 2=3 3=4 4=5 5=6
		y : -0.5…5.5 0=f  6 1=drop, 10 cm  5 2=C of rod  4 3=gain, rod  3 4=C  2 5=L  1
		area c1 tint 0.5 -0.48,4.52 0.48,4.52 0.48,5.48 -0.48,5.48
		area c2 tint 0.4998 0.52,4.52 1.48,4.52 1.48,5.48 0.52,5.48
		area c2 tint 0.001 1.52,4.52 2.48,4.52 2.48,5.48 1.52,5.48
		area c1 tint 0.001 2.52,4.52 3.48,4.52 3.48,5.48 2.52,5.48
		area c2 tint 0.001 3.52,4.52 4.48,4.52 4.48,5.48 3.52,5.48
		area c2 tint 0.001 4.52,4.52 5.48,4.52 5.48,5.48 4.52,5.48
		area c2 tint 0.4998 -0.48,3.52 0.48,3.52 0.48,4.48 -0.48,4.48
		area c1 tint 0.5 0.52,3.52 1.48,3.52 1.48,4.48 0.52,4.48
		area c1 tint 0.003 1.52,3.52 2.48,3.52 2.48,4.48 1.52,4.48
		area c2 tint 0.0088 2.52,3.52 3.48,3.52 3.48,4.48 2.52,4.48
		area c2 tint 0.0136 3.52,3.52 4.48,3.52 4.48,4.48 3.52,4.48
		area c2 tint 0.0154 4.52,3.52 5.48,3.52 5.48,4.48 4.52,4.48
		area c2 tint 0.001 -0.48,2.52 0.48,2.52 0.48,3.48 -0.48,3.48
		area c1 tint 0.003 0.52,2.52 1.48,2.52 1.48,3.48 0.52,3.48
		area c1 tint 0.5 1.52,2.52 2.48,2.52 2.48,3.48 1.52,3.48
		area c2 tint 0.4382 2.52,2.52 3.48,2.52 3.48,3.48 2.52,3.48
		area c2 tint 0.0283 3.52,2.52 4.48,2.52 4.48,3.48 3.52,3.48
		area c2 tint 0.0764 4.52,2.52 5.48,2.52 5.48,3.48 4.52,3.48
		area c1 tint 0.001 -0.48,1.52 0.48,1.52 0.48,2.48 -0.48,2.48
		area c2 tint 0.0088 0.52,1.52 1.48,1.52 1.48,2.48 0.52,2.48
		area c2 tint 0.4382 1.52,1.52 2.48,1.52 2.48,2.48 1.52,2.48
		area c1 tint 0.5 2.52,1.52 3.48,1.52 3.48,2.48 2.52,2.48
		area c1 tint 0.2196 3.52,1.52 4.48,1.52 4.48,2.48 3.52,2.48
		area c1 tint 0.2731 4.52,1.52 5.48,1.52 5.48,2.48 4.52,2.48
		area c2 tint 0.001 -0.48,0.52 0.48,0.52 0.48,1.48 -0.48,1.48
		area c2 tint 0.0136 0.52,0.52 1.48,0.52 1.48,1.48 0.52,1.48
		area c2 tint 0.0283 1.52,0.52 2.48,0.52 2.48,1.48 1.52,1.48
		area c1 tint 0.2196 2.52,0.52 3.48,0.52 3.48,1.48 2.52,1.48
		area c1 tint 0.5 3.52,0.52 4.48,0.52 4.48,1.48 3.52,1.48
		area c1 tint 0.4614 4.52,0.52 5.48,0.52 5.48,1.48 4.52,1.48
		area c2 tint 0.001 -0.48,-0.48 0.48,-0.48 0.48,0.48 -0.48,0.48
		area c2 tint 0.0154 0.52,-0.48 1.48,-0.48 1.48,0.48 0.52,0.48
		area c2 tint 0.0764 1.52,-0.48 2.48,-0.48 2.48,0.48 1.52,0.48
		area c1 tint 0.2731 2.52,-0.48 3.48,-0.48 3.48,0.48 2.52,0.48
		area c1 tint 0.4614 3.52,-0.48 4.48,-0.48 4.48,0.48 3.52,0.48
		area c1 tint 0.5 4.52,-0.48 5.48,-0.48 5.48,0.48 4.52,0.48
		text 0,5 1.00
		text 1,5 −0.9995
		text 2,5 0.00
		text 3,5 0.00
		text 4,5 0.00
		text 5,5 0.00
		text 0,4 −0.9995
		text 1,4 1.00
		text 2,4 0.01
		text 3,4 −0.02
		text 4,4 −0.03
		text 5,4 −0.03
		text 0,3 0.00
		text 1,3 0.01
		text 2,3 1.00
		text 3,3 −0.88
		text 4,3 −0.06
		text 5,3 −0.15
		text 0,2 0.00
		text 1,2 −0.02
		text 2,2 −0.88
		text 3,2 1.00
		text 4,2 0.44
		text 5,2 0.55
		text 0,1 0.00
		text 1,1 −0.03
		text 2,1 −0.06
		text 3,1 0.44
		text 4,1 1.00
		text 5,1 0.923
		text 0,0 0.00
		text 1,0 −0.03
		text 2,0 −0.15
		text 3,0 0.55
		text 4,0 0.923
		text 5,0 1.00
		note: Correlation coefficients, which hold as far as the fit is linear. Near ±1, what is computed from both needs their covariance.
		note: L: effective inductance; C: effective capacitance; gain, rod: gain, core rod; C of rod: capacitance, core rod; drop, 10 cm: hand, frequency drop at 10 cm; f: bare frequency.`)
}
