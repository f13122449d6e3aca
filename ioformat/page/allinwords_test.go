package page

import (
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// roundFit is the fit of a lumped coil of 1 mH and 5 pF, read without noise: a rod doubles the
// inductance, a hand at 10 cm adds 0.25 pF. Each reading has 0.01 %, each part 1 %.
func roundFit(t *testing.T) *model.Result {
	t.Helper()
	log := readings.Log{Parts: []readings.Part{{Name: "five", Capacitance: 5e-12, Uncertainty: 5e-14, Known: true}, {Name: "spike"}}}
	for i, s := range []struct {
		parts []int
		l, c  float64
		hand  float64
	}{{nil, 1e-3, 5e-12, 0}, {[]int{0}, 1e-3, 10e-12, 0}, {nil, 2e-3, 5e-12, 0}, {[]int{0}, 2e-3, 10e-12, 0}, {nil, 1e-3, 5.25e-12, 0.1}, {[]int{1}, 1e-3, 6e-12, 0}, {nil, 1e-3, 5e-12, 0}} {
		state := readings.Bare()
		state.Parts = s.parts
		if s.l > 1e-3 {
			state.Core, state.To = "rod", 1
		}
		if s.hand > 0 {
			state.Hand = s.hand
		}
		f := 1 / (2 * math.Pi * math.Sqrt(s.l*s.c))
		log.Readings = append(log.Readings, readings.Reading{State: state, Line: i + 2, Use: i != 6, Frequency: f, Uncertainty: 1e-4 * f, Amplitude: math.NaN(), Quality: math.NaN()})
	}
	log.Readings[1].Note = "cover closed"
	r := must.Get(model.Fit(estimation.Session{Log: log, Lumped: true})).In(t)
	r.Quality = estimation.Quality{Readings: 6, DegreesOfFreedom: 3, ChiSquare: 4.5, PValue: 0.212, Scale: 1, PartScale: 1, Redundancy: 3, Status: fit.Converged, Converged: true, AICc: math.NaN()}
	for i := range r.Readings {
		o := &r.Readings[i]
		o.Residual, o.Standardised = []float64{100, -100, 50, -50, 0, 0, 200}[i], []float64{3.5, -1, 0.5, -0.5, math.NaN(), math.NaN(), 1}[i]
		o.Fitted, o.Flagged = o.Frequency-o.Residual, i == 0
	}
	return r
}

// The page of roundFit says all there is to say of it, with its numbers.
func TestPageInWords(t *testing.T) {
	r := roundFit(t)
	r.Findings = []findings.Finding{{Kind: findings.ReadingSuspect, Line: 2, Value: 4.3}, {Kind: findings.ReadingsUnchecked, Lines: []int{3}}}
	r.Undetermined = []findings.Undetermined{{What: findings.GapHandLaw, Names: []string{quantities.HandExponent}, Advice: findings.ReadMoreDistances}}
	src := Source{Volts: 1000}
	root := parse(t, writtenBy(t, r, src))
	var prune func(n *node)
	prune = func(n *node) {
		var kids []*node
		for _, k := range n.kids {
			if k.name != "figure" && k.attr["aria-labelledby"] != "method" && k.attr["aria-labelledby"] != "safety" {
				prune(k)
				kids = append(kids, k)
			}
		}
		n.kids = kids
	}
	prune(root)
	var b strings.Builder
	outline(&b, root, false)
	sameWords(t, "page", b.String(), `
		p: fitcoil · report on the bench log
		= lighthouse.csv
		dt: date
		dd: 12 November
		dt: operator
		dd: M. Lindqvist
		p: Cover closed, probe at the foot.
		== Warnings
		li: Line 2 is 4.3 standard uncertainties from what the other readings predict: read it again before you keep it or leave it out.
		p: 7 readings (6 used): consistent with the model (χ²/ν = 1.50, p = 0.212).
		caption: Coil, bare, seen from the top
		row: frequency 2.25079 ± 0.00061 MHz
		row: inductance 1.000 ± 0.022 mH at low frequency 1.000 ± 0.022 mH
		row: capacitance 5.00 ± 0.11 pF
		row: impedance 14.14 ± 0.32 kΩ
		caption: Core rod, all the way in
		row: inductance × 2.0000 ± 0.0015
		row: capacitance + 0.000 ± 0.012 pF
		row: frequency − 659.24 ± 0.56 kHz 2.2508 to 1.5915 MHz
		dt: Hand near
		dd: at 10 cm − 54.24 ± 0.95 kHz
		dt: Parts
		dd: spike 1.000 ± 0.081 pF
		dt: Limited by
		dd: capacitance of clips and leads, prior 0.00 ± 0.10 pF: 80 % of the variance of the inductance
		dt: Not determined
		dd: how the hand's capacitance falls with distance: take readings bare, and with a hand or another grounded body at five distances, each about twice the one before, as 3, 6, 12, 25 and 50 cm, each three times
		dt: Next
		dd: read with any capacitor of 33 to 47 pF ± 1 %, core out: inductance to ± 0.59 % (now ± 2.2 %)
		p: ± is one standard uncertainty.
		== Frequencies measured
		p: MHz. Each stroke is a reading: air, nobody near, with a core, with a hand near. The needle starts at the bare coil.
		form try
		=== Try a change
		p:
		p:
		p:
		label: Added on the top
		input try-added
		input try-added-number
		label: Core
		select try-core
		option: none
		option: rod
		label: Winding covered, from the grounded end
		input try-covered
		input try-covered-number
		label: A hand near
		input try-near
		label: Hand's distance from the top
		input try-hand
		input try-hand-number
		p: The capacitance is taken as exact. The same on the command line: . A link to this setting.
		p: Interpolated from the fitted model: frequencies agree with fitcoil predict to a millionth, uncertainties to a hundredth.
		noscript
		p: With JavaScript, sliders to try a change stand here; fitcoil predict gives the same numbers.
		== All quantities
		caption: The coil
		columns: quantity value ± unit 95 % interval k ν variance from
		row: bare frequency 2.25079 0.00061 MHz 2.24959 to 2.25199 1.98 96 readings 14 %, prior 86 %
		row: effective inductance 1.000 0.022 mH 0.957 to 1.045 1.96 ∞ tolerances 20 %, prior 80 %
		row: effective capacitance 5.00 0.11 pF 4.79 to 5.22 1.96 ∞ tolerances 20 %, prior 80 %
		row: L × C 5000.0 2.7 ns² 4994.7 to 5005.3 1.98 96 readings 14 %, prior 86 %
		row: characteristic impedance 14.14 0.32 kΩ 13.54 to 14.78 1.96 ∞ tolerances 20 %, prior 80 %
		row: inductance in air 1.000 0.022 mH 0.957 to 1.045 1.96 ∞ tolerances 20 %, prior 80 %
		row: top capacitance 5.00 0.11 pF 4.79 to 5.22 1.96 ∞ tolerances 20 %, prior 80 %
		p: 95 % interval: ± k standard uncertainties, in the logarithm of what is above zero, or (*) by profile likelihood where that is off by more than a tenth of one; k is Student's factor of ν effective degrees of freedom. Variance from: readings, tolerances of the parts added, known values, priors, the model with a core partly in.
		=== Core rod
		p: As far in as it was read, it lowers the bare frequency by 659.24 ± 0.56 kHz, to 0.70711 ± 0.00017 of it. The apparent gain assumes the same current in all turns; the core's capacitance, 0.000 ± 0.012 pF, is not significant. The fit finds a gain of inductance of 2.0000 ± 0.0015. The coil's characteristic impedance becomes 1.4142 ± 0.0010 times that of the bare coil.
		caption: Core rod
		columns: quantity value ± unit 95 % interval k ν variance from
		row: gain 2.0000 0.0015 1.9957 to 2.0044 2.90 4 readings 71 %, prior 29 %
		row: capacitance 0 12 fF -56 to 56 4.70 2 readings 100 %
		row: inductance with core 2.000 0.045 mH 1.914 to 2.090 1.96 ∞ tolerances 20 %, prior 80 %
		row: frequency ratio 0.70711 0.00017 0.70674 to 0.70747 2.11 17 readings 33 %, prior 67 %
		row: apparent gain (f_air/f_core)² 2.00000 0.00098 1.9979 to 2.0021 2.11 17 readings 33 %, prior 67 %
		row: frequency drop 659.24 0.56 kHz 658.11 to 660.38 2.04 30 readings 25 %, prior 75 %
		row: impedance ratio 1.4142 0.0010 1.4100 to 1.4184 4.04 2 readings 93 %, prior 7 %
		=== Hand near the top
		caption: Hand near the top
		columns: quantity value ± unit 95 % interval k ν variance from
		row: hand strength not determined
		row: hand offset not determined
		row: hand exponent not determined
		row: capacitance at 10 cm 0.2500 0.0071 pF 0.2365 to 0.2643 1.96 ∞ readings 4 %, tolerances 12 %, prior 83 %
		row: frequency drop at 10 cm 54.24 0.95 kHz 52.37 to 56.11 1.98 150 readings 11 %, prior 89 %
		=== Parts on the top
		caption: Parts on the top
		columns: quantity value ± unit 95 % interval k ν variance from
		row: five 5.000 0.050 pF 4.903 to 5.099 1.96 ∞ tolerances 100 %
		row: spike 1.000 0.081 pF 0.853 to 1.172 1.96 ∞ tolerances 2 %, prior 98 %
		=== The bench
		p: All values are those in the middle of the session.
		caption: The bench
		columns: quantity value ± unit 95 % interval k ν variance from
		row: lead capacitance not determined
		row: drift not determined
		== Not determined, and the next reading
		li: How the hand's capacitance falls with distance: this needs several distances that differ much.Remedy: Take readings bare, and with a hand or another grounded body at five distances, each about twice the one before, as 3, 6, 12, 25 and 50 cm, each three times.
		caption: The next reading or measurement, for each quantity
		columns: quantity read or measure uncertainty why
		row: the effective inductance any capacitor of 33 to 47 pF ± 1 % ± 2.2 % → ± 0.59 % brings a new part, whose error is independent of the others
		row: the core gain of rod five ± 0.075 % → ± 0.059 % averages the scatter of a state already read
		row: the capacitance of spike spike measured to ± 2 % ± 8.1 % → ± 1.0 % replaces tolerances by a measured value
		row: the hand frequency drop at 10 cm bare ± 1.7 % → ± 0.51 % averages the scatter of a state already read
		p: Candidates: readings with the parts of the log alone or in pairs, or with a new capacitor, each with every core and hand distance of the log; of a part at a meter; and of turns, diameter and length. fitcoil next ranks them all.
		== Fit and figures
		li: Converged.
		li: χ² = 4.5 with 3 degrees of freedom, p = 0.212.
		li: The readings scatter no more than stated: uncertainties as stated.
		li: For comparison, the line model: χ² < 0.01, p = 0.999.
		=== Priors and defaults
		p: What was believed beforehand, what is known now, and by how many of its own standard uncertainties u the fit moved it; (factor 2.0): u of the logarithm, as a factor.
		columns: prior believed known now moved [u] variance of L replaced by
		row: five 5.000 ± 0.050 pF 5.000 ± 0.050 pF 0.0 20 % stated
		row: capacitance that core rod adds to the winding, of the winding's 0 ± 10 % 0.000 ± 0.080 % 0.0 below 1 % --known core_capacitance:rod=VALUE±
		row: reach of the end effect, core rod, of the length 0.12 (factor 2.0) 0.12 (factor 2.0) 0.0 below 1 % --coil with winding diameter and length
		row: capacitance that core rod moves to the top, equivalent line, of the winding's 3.5 % (factor 2.2) 3.5 % (factor 2.2) 0.0 below 1 % --coil with winding diameter and length
		row: offset d0 of the hand's law 7 cm (factor 2.7) 7 cm (factor 2.7) 0.0 below 1 % --known hand_offset=VALUE±
		row: exponent p of the hand's law 2.40 ± 0.60 2.40 ± 0.60 0.0 below 1 % --known hand_exponent=VALUE±
		row: capacitance of clips and leads 0.00 ± 0.10 pF 0.00 ± 0.10 pF 0.0 80 % a reading with an empty clip (added: clip), or --known lead=VALUE±
		row: drift, first to last reading 0 ± 500 ppm 0 ± 500 ppm 0.0 below 1 % the first state read again at the end, or --known drift=VALUE±
		=== Notes
		li: Line 3: this reading alone determines something, so that no residual shows an error there.
		p: Not drawn: Are the residuals normally distributed? Too few readings to judge their distribution: 4 readings with a residual. A normal Q–Q plot needs eight or more.
		== Readings
		caption: Residual: measured − fitted; standardised: divided by its standard deviation
		columns: line state read MHz fitted residual standardised remark note
		row: 2 bare 2.25079 2.25069 +0.10 kHz +3.5 suspect
		row: 3 five 1.59155 1.59165 -0.10 kHz -1.0 cover closed
		row: 4 core rod 1.59155 1.59150 +0.05 kHz +0.5
		row: 5 five, core rod 1.12540 1.12545 -0.05 kHz -0.5
		row: 6 hand at 10 cm 2.19655 2.19655 0.00 kHz -
		row: 7 spike 2.05468 2.05468 0.00 kHz -
		row: 8 bare 2.25079 2.25059 +0.20 kHz +1.0 not used
		== Reproduce this report
		pre: fitcoil report bench/lighthouse.csv -o page.html
		dt: fitcoil
		dd: v0.0.0
		dt: log
		dd: bench/lighthouse.csv
		dt: SHA-256 of the log
		dd: 0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef
		p: The same version makes the same page from the same log and flags. The page loads nothing from a network.
		=== How to cite
		p: M. Lindqvist. Inductance and capacitance of a resonant coil from frequencies, measured 12 November: report on lighthouse.csv. Fitted with fitcoil v0.0.0. SHA-256 of the log: 0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef.`)
}
