package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// fittedInvented is a fit whose estimates are set to round numbers. What brings the variance of
// the effective inductance stays that of the fit: capacitors of 1 %, readings of 0.01 %, no lead.
func fittedInvented(t *testing.T) *model.Result {
	t.Helper()
	r := mustFit(t, estimation.Session{Log: log(0, 2.2, 4.7, 10), Lumped: true, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.LeadCapacitance}}}})
	share := quantities.Budget{Readings: 0.2, Tolerance: 0.7, Common: 0.1, Assumed: 0.1}
	set := func(name, unit string, v, u float64) quantities.Estimate {
		e := estimateOf(name, unit, v, u)
		e.Budget = share
		return e
	}
	equivalent := set(quantities.WindingCapacitance, "F", 1.5e-12, 0.3e-12)
	equivalent.Equivalent = true
	drop := ofCore("rod", set(quantities.CoreFrequencyDrop, "Hz", 700e3, 2e3))
	r.Parameters = []quantities.Estimate{set(quantities.Inductance, "H", 1.2e-3, 30e-6), equivalent, ofCore("rod", set(quantities.CoreGain, "1", 1.9, 0.02)), ofPart("spike", set(quantities.PartCapacitance, "F", 0.8e-12, 0.02e-12)),
		set(quantities.LeadCapacitance, "F", 0.3e-12, 0.1e-12), set(quantities.Drift, "1", 120e-6, 30e-6)}
	r.Derived = []quantities.Estimate{set(quantities.BareFrequency, "Hz", 2.5e6, 1e3), set(quantities.EffectiveInductance, "H", 1e-3, 20e-6), set(quantities.EffectiveCapacitance, "F", 4.05e-12, 0.08e-12),
		set(quantities.LCProduct, "s²", 4.05e-15, 3.2e-18), set(quantities.Impedance, "Ω", 15.7e3, 300), set(quantities.StrayCapacitance, "F", 0.5e-12, 0.1e-12),
		ofCore("rod", set(quantities.InductanceWithCore, "H", 2.28e-3, 40e-6)), ofCore("rod", set(quantities.CoreCapacitance, "F", 0.2e-12, 0.05e-12)),
		ofCore("rod", set(quantities.FrequencyRatio, "1", 0.72, 0.001)), ofCore("rod", set(quantities.RatioGain, "1", 1.929, 0.005)), drop,
		atHand(0.1, set(quantities.HandFrequencyDrop, "Hz", 25e3, 500)), atHand(0.2, set(quantities.HandFrequencyDrop, "Hz", 8e3, 500))}
	r.Contrasts = []readings.Contrast{{Core: "rod", Ratio: 0.512, Pairs: 1, Uncertainty: math.NaN()}, {Core: "rod", Quality: true, Ratio: 0.8, Uncertainty: 0.05, Pairs: 3}, {Core: "other", Ratio: 2, Pairs: 1}}
	r.Quality = estimation.Quality{Readings: 4, DegreesOfFreedom: 5, ChiSquare: 6, PValue: 0.306, Scale: 1, PartScale: 1.234, Redundancy: 4, Status: fit.Converged, Converged: true, AICc: math.NaN()}
	r.Findings, r.Undetermined, r.Assumed = nil, nil, nil
	r.Alternative = &estimation.Alternative{Resonator: "line", Quality: estimation.Quality{ChiSquare: 11, PValue: 0.02, AICc: math.NaN()}}
	r.Session.Log.Parts = append(r.Session.Log.Parts, readings.Part{Name: "spike"})
	return r
}

func TestFitTranscript(t *testing.T) {
	r := fittedInvented(t)
	src := Source{Log: "evening.csv", SHA256: "abc123", Program: &Program{Version: "0.2"}}
	write := func(plan decisions.Planned, v View) func(w io.Writer) error {
		return func(w io.Writer) error { return FitText(w, r, plan, tidyParts, src, v) }
	}
	transcript(t, "fit", write(decisions.Planned{}, View{}), `
evening.csv: 4 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Coil, bare, seen from the top
frequency 2.5000 ± 0.0010 MHz
inductance 1.000 ± 0.020 mH at low frequency 1.200 ± 0.030 mH
capacitance 4.050 ± 0.080 pF
impedance 15.70 ± 0.30 kΩ
stray 0.50 ± 0.10 pF at the top beyond the drawing
Core rod, all the way in
inductance × 1.900 ± 0.020
capacitance + 0.200 ± 0.050 pF
frequency − 700.0 ± 2.0 kHz 2.5000 to 1.8000 MHz
amplitude × 0.512 (1 pair of readings)
Q factor × 0.800 ± 0.050 (3 pairs of readings)
Hand near at 10 cm − 25.00 ± 0.50 kHz; at 20 cm − 8.00 ± 0.50 kHz
Parts spike 0.800 ± 0.020 pF
Clip and leads 0.30 ± 0.10 pF

Limited by tolerances of the capacitors, multiplied by 1.23 for the parts'
errors: 99 % of the variance of the inductance
Next fitcoil next LOG --for L ranks what could be done for the
inductance

± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.`)
	r.Assumed = []estimation.Assumption{{Kind: estimation.AssumedTolerance, Names: []string{"a", "b"}, Spread: 0.05 / 1.96, Share: 0.6, Moved: math.NaN()},
		{Kind: estimation.AssumedShare, Value: 0.4, Spread: 0.2, Share: 0.004, Moved: -1.24, Left: 0.987}, {Kind: estimation.AssumedDigits, Count: 3, Share: math.NaN(), Moved: math.NaN()}}
	r.Undetermined = []findings.Undetermined{{What: findings.GapHandLaw, Names: []string{quantities.HandExponent}, Advice: findings.ReadMoreDistances}}
	r.Findings = []findings.Finding{{Kind: findings.ReadingSuspect, Line: 3, Value: 4.3}, {Kind: findings.ReadingsUnchecked, Lines: []int{2}}}
	alone := estimateOf("", "H", 1.1e-3, 10e-6)
	r.Checks = []estimation.Check{{Drawn: estimateOf(quantities.Inductance, "H", 1e-3, 12e-6), Readings: alone, Sigmas: 6.4},
		{Drawn: estimateOf(quantities.TopCapacitance, "F", 1e-12, 0.02e-12), Readings: openEstimate("", "F"), Sigmas: math.NaN()},
		{Drawn: ofCore("rod", estimateOf(quantities.CoreGain, "1", 2, 0.05)), Readings: estimateOf("", "1", 1.8, 0.2), Sigmas: -0.97}}
	for i := range r.Readings { // read 100 kHz apart, 0.4 kHz above and below the fit
		o := &r.Readings[i]
		o.Frequency, o.Uncertainty, o.Weighed = 2.5e6-1e5*float64(i), 500, 500
		o.Residual = []float64{400, -400, 0.4, math.NaN()}[i]
		o.Fitted = o.Frequency - o.Residual
		o.Standardised = []float64{0.9, -0.9, 0.02, math.NaN()}[i]
		o.Flagged = i == 1
	}
	r.Readings[1].Line = 3
	r.Readings[1].Without = &estimation.Without{Effective: estimateOf("", "H", 1.1e-3, 30e-6), Capacitance: estimateOf("", "F", 3.7e-12, 0.1e-12)}
	transcript(t, "in full", write(decisions.Planned{}, View{Full: true, Width: 120}), `
evening.csv: 4 readings; model: lumped (forced)

Warnings
- line 3 is 4.3 standard uncertainties from what the other readings predict: read it again before you keep it or leave
it out; without this reading the effective inductance would be 1.100 ± 0.030 mH and the effective capacitance
3.70 ± 0.10 pF

The coil (± is one standard uncertainty)
value ± 95 % interval
bare frequency 2.5000 0.0010 MHz 2.4980 to 2.5020
effective inductance 1.000 0.020 mH 0.960 to 1.040
effective capacitance 4.050 0.080 pF 3.890 to 4.210
L × C 4050.0 3.2 ns² 4043.6 to 4056.4
characteristic impedance 15.70 0.30 kΩ 15.10 to 16.30
inductance in air 1.200 0.030 mH 1.140 to 1.260
winding capacitance, equivalent line 1.50 0.30 pF 0.90 to 2.10
stray capacitance 0.50 0.10 pF 0.30 to 0.70
The effective inductance and capacitance, seen from the top, belong together: they give the bare frequency. Their
correlation coefficient is −0.99929: what is computed from both needs their covariance (--json).
The inductance in air is that of the whole winding at low frequency, with the same current in all turns.
The winding's own capacitance is larger than that of the equivalent line: 1.2 times at l/D 40, twice at l/D 2; a coil
sheet (--coil) gives it.

Core rod
value ± 95 % interval
gain 1.900 0.020 1.860 to 1.940
inductance with core 2.280 0.040 mH 2.200 to 2.360
capacitance 0.200 0.050 pF 0.100 to 0.300
frequency ratio 0.7200 0.0010 0.7180 to 0.7220
apparent gain (f_air/f_core)² 1.9290 0.0050 1.9190 to 1.9390
frequency drop 700.0 2.0 kHz 696.0 to 704.0
The apparent gain counts the core's capacitance, 0.200 ± 0.050 pF, and its place along the winding as inductance.
The pickup amplitude with the core is that without it × 0.512 (1 pair of readings).
The quality factor with the core is that without it × 0.800 ± 0.050 (3 pairs of readings).

Hand near the top
value ± 95 % interval
frequency drop at 10 cm 25.00 0.50 kHz 24.00 to 26.00
frequency drop at 20 cm 8.00 0.50 kHz 7.00 to 9.00

Parts on the top
value ± 95 % interval
spike 0.800 0.020 pF 0.760 to 0.840

The bench
value ± 95 % interval
lead capacitance 0.30 0.10 pF 0.10 to 0.50
drift 120 30 ppm 60 to 180
All values are those in the middle of the session.

Where the variance comes from (percent)
readings tolerances priors
bare frequency 20 70 10
effective inductance 20 70 10
effective capacitance 20 70 10
L × C 20 70 10
characteristic impedance 20 70 10
inductance in air 20 70 10
winding capacitance, equivalent line 20 70 10
stray capacitance 20 70 10
gain, core rod 20 70 10
inductance with core, core rod 20 70 10
capacitance, core rod 20 70 10
frequency ratio, core rod 20 70 10
apparent gain (f_air/f_core)², core rod 20 70 10
frequency drop, core rod 20 70 10
hand, frequency drop at 10 cm 20 70 10
hand, frequency drop at 20 cm 20 70 10
spike 20 70 10
lead capacitance 20 70 10
drift 20 70 10

Drawing against readings (readings without the drawing; two sigmas are not significant)
drawing ± readings ± change sigmas
inductance in air 1.000 0.012 1.100 0.010 mH +10 % +6.4
top capacitance 1.000 0.020 not determined pF
core gain, rod all along the winding 2.000 0.050 1.80 0.20 −10 % -1.0

How well the model describes the readings
converged
χ² = 6 with 5 degrees of freedom, p = 0.306
the readings scatter no more than stated: uncertainties as stated
tolerances of the parts multiplied by 1.23, the ratio of the parts' errors to them
for comparison, the line model: χ² = 11, p = 0.02

Readings
line state read MHz fitted residual standardised
2 bare 2.50000 2.49960 +0.40 kHz +0.9
3 b 2.40000 2.40040 -0.40 kHz -0.9 suspect
4 c 2.30000 2.30000 0.00 kHz 0.0
5 d 2.20000 - - -

Not determined by these readings
- how the hand's capacitance falls with distance: this needs several distances that differ much
remedy: take readings bare, and with a hand or another grounded body at five distances, each about twice the one
before, as 3, 6, 12, 25 and 50 cm, each three times

Priors and defaults (stated nowhere; share: of the variance of the effective inductance)
- tolerance of a, b: 5 %, a bound taken as 95 %; share 60 %
replaced by column added ±, --tolerance, or --known PART=VALUE±TOLERANCE
- top's share of the coil's capacitance: 0.4 ± 0.2; share below 1 %; by the fit moved -1.2 ±, ± × 0.99
replaced by --coil with winding diameter and length, or --known winding_capacitance=VALUE±
- ± of 3 readings: half a unit of the last digit, rectangular
replaced by column frequency ±

Notes
- line 2: this reading alone determines something, so that no residual shows an error there

To cite
Effective inductance 1.000(20) mH, effective capacitance 4.050(80) pF, correlation coefficient −0.99929; fitcoil 0.2;
log evening.csv, SHA-256 abc123.`)
	plan := decisions.Planned{Tried: 3, Now: estimateOf("", "H", 1e-3, 50e-6), Ranked: []decisions.Suggestion{proposal(decisions.Candidate{State: readings.Bare()}, 0.02, decisions.ReasonRepeat)}}
	transcript(t, "with a drawing", write(plan, View{}), `
evening.csv: 4 readings, consistent with the model (χ²/ν = 1.20, p = 0.306)

Warnings
- line 3 is 4.3 standard uncertainties from what the other readings predict:
read it again before you keep it or leave it out; without this reading the
effective inductance would be 1.100 ± 0.030 mH and the effective …

Coil, bare, seen from the top
frequency 2.5000 ± 0.0010 MHz
inductance 1.000 ± 0.020 mH at low frequency 1.200 ± 0.030 mH
capacitance 4.050 ± 0.080 pF
impedance 15.70 ± 0.30 kΩ
stray 0.50 ± 0.10 pF at the top beyond the drawing
Core rod, all the way in
inductance × 1.900 ± 0.020
capacitance + 0.200 ± 0.050 pF
frequency − 700.0 ± 2.0 kHz 2.5000 to 1.8000 MHz
amplitude × 0.512 (1 pair of readings)
Q factor × 0.800 ± 0.050 (3 pairs of readings)
Hand near at 10 cm − 25.00 ± 0.50 kHz; at 20 cm − 8.00 ± 0.50 kHz
Parts spike 0.800 ± 0.020 pF
Clip and leads 0.30 ± 0.10 pF

Limited by tolerances of the capacitors, 5 % assumed, multiplied by 1.23
for the parts' errors: 99 % of the variance of the inductance
Drawing inductance in air as measured +10 % against the drawing (6.4 σ)
Not determined how the hand's capacitance falls with distance
Next read bare, core out: inductance to ± 2.0 % (now ± 5.0 %)

± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.`)
	r.Checks = r.Checks[2:]
	r.Findings = contradictory().Findings
	transcript(t, "contradictory", write(plan, View{}), `
evening.csv: 4 readings, contradictory (χ²/ν = 1.20, p = 0.306)

Contradiction: no number below is to be trusted until it is resolved
- part "4.7 pF": the other readings give 5.20 pF, 3.4 standard deviations from
its value

Coil, bare, seen from the top (contradicted)
frequency 2.5000 ± 0.0010 MHz
inductance 1.000 ± 0.020 mH at low frequency 1.200 ± 0.030 mH
capacitance 4.050 ± 0.080 pF
impedance 15.70 ± 0.30 kΩ
stray 0.50 ± 0.10 pF at the top beyond the drawing
Core rod, all the way in (contradicted)
inductance × 1.900 ± 0.020
capacitance + 0.200 ± 0.050 pF
frequency − 700.0 ± 2.0 kHz 2.5000 to 1.8000 MHz
amplitude × 0.512 (1 pair of readings)
Q factor × 0.800 ± 0.050 (3 pairs of readings)
Hand near at 10 cm − 25.00 ± 0.50 kHz; at 20 cm − 8.00 ± 0.50 kHz
Parts spike 0.800 ± 0.020 pF
Clip and leads 0.30 ± 0.10 pF

Limited by tolerances of the capacitors, 5 % assumed, multiplied by 1.23
for the parts' errors: 99 % of the variance of the inductance
Drawing consistent with the readings
Not determined how the hand's capacitance falls with distance
Next resolve the contradiction first: measure part "4.7 pF" at a
meter, and check its rows

± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.`)
	r.Findings, r.Checks, r.Undetermined, r.Parameters = nil, nil, nil, slices.Clone(r.Parameters)
	r.Quality.Readings = 3
	r.Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"}).Determined = false
	for i := range 9 {
		r.Parameters = append(r.Parameters, ofCore(fmt.Sprintf("c%d", i), estimateOf(quantities.CoreGain, "1", 1.5, 0.01)))
		r.Derived = append(r.Derived, ofCore(fmt.Sprintf("c%d", i), estimateOf(quantities.CoreFrequencyDrop, "Hz", 1e5, 1e3)),
			ofCore(fmt.Sprintf("c%d", i), estimateOf(quantities.CoreCapacitance, "F", -0.1e-12, 0.02e-12)), atHand(0.05+0.01*float64(i), estimateOf(quantities.HandFrequencyDrop, "Hz", 9e3, 500)))
	}
	r.Derived = append(r.Derived, estimateOf(quantities.CouplingAtResonance, "1", 0.1, 0.004), ofCore("rod", estimateOf(quantities.CouplingAtResonance, "1", 0.15, 0.004)), estimateOf(quantities.CouplingOfWindings, "1", 0.12, 0.01),
		estimateOf(quantities.QualityWinding, "1", 150, 10), ofCore("rod", estimateOf(quantities.QualityCore, "1", 90, 8)))
	plan.Ranked = nil
	transcript(t, "many cores", write(plan, View{}), `
evening.csv: 4 readings (3 used),
consistent with the model (χ²/ν = 1.20, p = 0.306)

Coil, bare, seen from the top
frequency 2.5000 ± 0.0010 MHz
inductance 1.000 ± 0.020 mH at low frequency 1.200 ± 0.030 mH
capacitance 4.050 ± 0.080 pF
impedance 15.70 ± 0.30 kΩ
stray 0.50 ± 0.10 pF at the top beyond the drawing
Cores, all the way in
inductance capacitance frequency
rod not determined + 0.200 ± 0.050 pF − 700.0 ± 2.0 kHz
c0 × 1.500 ± 0.010 − 0.100 ± 0.020 pF − 100.0 ± 1.0 kHz
c1 × 1.500 ± 0.010 − 0.100 ± 0.020 pF − 100.0 ± 1.0 kHz
c2 × 1.500 ± 0.010 − 0.100 ± 0.020 pF − 100.0 ± 1.0 kHz
and 6 more: --full
Coupling core out 0.1000 ± 0.0040, core rod 0.1500 ± 0.0040
of the windings core out 0.120 ± 0.010
Q factor by winding 150 ± 10, core rod, and winding with it 90.0 ± 8.0
Hand near at 10 cm − 25.00 ± 0.50 kHz; and 10 more
Parts spike 0.800 ± 0.020 pF
Clip and leads 0.30 ± 0.10 pF

Limited by tolerances of the capacitors, 5 % assumed, multiplied by 1.23
for the parts' errors: 99 % of the variance of the inductance
Next no single step lowers the uncertainty of the inductance by a
twentieth; fitcoil next LOG --for gain (or hand,
frequency@STATE) ranks steps for others

± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.`)
	for _, name := range []string{quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.Inductance, quantities.Impedance, quantities.StrayCapacitance} {
		r.Find(quantities.Key{Name: name}).Determined = false
	}
	r.Parameters, r.Derived = r.Parameters[:3], r.Derived[:11]
	plan.Now = openEstimate("", "H")
	transcript(t, "open", write(plan, View{}), `
evening.csv: 4 readings (3 used),
consistent with the model (χ²/ν = 1.20, p = 0.306)

Coil, bare, seen from the top
frequency 2.5000 ± 0.0010 MHz
L × C 4050.0 ± 3.2 ns²
inductance not determined by these readings
capacitance not determined by these readings
Core rod, all the way in
inductance 2.280 ± 0.040 mH with the core
capacitance + 0.200 ± 0.050 pF
frequency − 700.0 ± 2.0 kHz 2.5000 to 1.8000 MHz
amplitude × 0.512 (1 pair of readings)
Q factor × 0.800 ± 0.050 (3 pairs of readings)

Next no single step determines the inductance

± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.`)
	r.Find(quantities.Key{Name: quantities.InductanceWithCore, Core: "rod"}).Determined = false
	r.Find(quantities.Key{Name: quantities.FrequencyRatio, Core: "rod"}).Determined = false
	r.Parameters[0].Determined, r.Parameters[0].Bound = true, fit.AtUpper
	transcript(t, "more open", write(plan, View{}), `
evening.csv: 4 readings (3 used),
consistent with the model (χ²/ν = 1.20, p = 0.306)

Coil, bare, seen from the top
frequency 2.5000 ± 0.0010 MHz
L × C 4050.0 ± 3.2 ns²
inductance not determined by these readings
capacitance not determined by these readings
Core rod, all the way in
inductance not determined by these readings
capacitance + 0.200 ± 0.050 pF
frequency − 700.0 ± 2.0 kHz
amplitude × 0.512 (1 pair of readings)
Q factor × 0.800 ± 0.050 (3 pairs of readings)

Next no single step determines the inductance

± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.`)
}
