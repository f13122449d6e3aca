package report

import (
	"math"
	"strings"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/ringing"
)

// A finding is told word for word; the numbers are rounded by hand.
func TestFindingsWordForWord(t *testing.T) {
	misread := findings.Mistake{Lines: []int{7}, Part: "roof", Read: 1.163e6, Meant: 1.613e6, Predict: 1.61302e6, Within: 130}
	other := misread
	other.Meant = math.NaN()
	misreadOrScatter, otherOrScatter := misread, other
	misreadOrScatter.OrScatter, otherOrScatter.OrScatter = true, true
	swapped := findings.Mistake{Kind: findings.MistakenRows, Lines: []int{3, 4}}
	tenfold := findings.Mistake{Kind: findings.MistakenPart, Part: "big", Read: 10e-12, Meant: 100e-12, Lines: []int{5, 6}}
	gain := &quantities.Estimate{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}}
	for _, c := range []struct {
		f    findings.Finding
		want string
	}{
		{findings.Finding{Kind: findings.NothingToTest}, "the readings are too few to test the model or their ±: all uncertainties follow from those stated"},
		{findings.Finding{Kind: findings.ReadingSuspect, Line: 9, Value: -4.3}, "line 9 is 4.3 standard uncertainties from what the other readings predict: read it again before you keep it or leave it out"},
		{findings.Finding{Kind: findings.ReadingForgotten, Line: 9}, "line 9 has no weight in this robust fit: read it again"},
		{findings.Finding{Kind: findings.ReadingForgotten, Line: 9, Mistake: &misread}, "line 9 has no weight in this robust fit: it reads 1.163 MHz, the others predict 1.61302 ± 0.00013 MHz; misread for 1.613 MHz?"},
		{findings.Finding{Kind: findings.ReadingForgotten, Line: 9, Mistake: &other}, "line 9 has no weight in this robust fit: it reads 1.163 MHz, the others predict 1.61302 ± 0.00013 MHz"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &misread}, "line 7, 1.163 MHz, contradicts all other readings, which are consistent without it and predict 1.61302 ± 0.00013 MHz: 1.163 MHz misread for 1.613 MHz? Read it again, or correct it"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &other}, "line 7, 1.163 MHz, contradicts all other readings, which are consistent without it and predict 1.61302 ± 0.00013 MHz: misread, or read in another state than written? Read it again, or leave it out (use = no)"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &misreadOrScatter}, "line 7, 1.163 MHz, contradicts all other readings, which are consistent without it and predict 1.61302 ± 0.00013 MHz: 1.163 MHz misread for 1.613 MHz, or do all scatter more than stated? Read it again, or correct it"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &otherOrScatter}, "line 7, 1.163 MHz, contradicts all other readings, which are consistent without it and predict 1.61302 ± 0.00013 MHz: misread, or read in another state than written, or do all scatter more than stated? Read it again"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &swapped}, "lines 3 and 4 read as if swapped: with each other's frequencies all readings are consistent; read both again"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &tenfold}, `part "big" reads as if it were 100 pF, not 10.0 pF: with that all readings are consistent (lines 5 and 6)`},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{3, 8}}}, "a mistake in one of lines 3 and 8 would make the readings consistent, and nothing tells in which: read each of them again"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{3}}}, "a mistake in line 3 would make the readings consistent: read it again"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{2, 8}, Drift: 2.89e-3, DriftWithin: 1.4e-4}}, "a mistake in one of lines 2 and 8, or a drift by 2890 ± 140 ppm from the first reading to the last, would make the readings consistent, and nothing tells which: read each of them again"},
		{findings.Finding{Kind: findings.LikelyMistake, Mistake: &findings.Mistake{Kind: findings.MistakenOneOf, Lines: []int{3}, Drift: -2.89e-3, DriftWithin: 1.4e-4, Hourly: true}}, "a mistake in line 3, or a drift by −2890 ± 140 ppm an hour, would make the readings consistent: read it again"},
		{findings.Finding{Kind: findings.ReadingDecisive, Line: 9, Value: 1.7, Other: -2.26, Moves: &estimation.Moved{Estimate: gain}}, `line 9 is 2.3 standard deviations off, and without it the core gain of core "rod" would move by 1.7 of its standard uncertainties: read it again`},
		{findings.Finding{Kind: findings.ReadingsUnchecked, Lines: []int{4}}, "line 4: this reading alone determines something, so that no residual shows an error there"},
		{findings.Finding{Kind: findings.ReadingsUnchecked, Lines: []int{4, 6, 8}}, "lines 4, 6 and 8: each of these readings alone determines something, so that no residual shows an error there"},
		{findings.Finding{Kind: findings.TooGood, Value: 0.998}, "the residuals are smaller than the stated uncertainties explain (p = 0.998): these may be overstated"},
		{findings.Finding{Kind: findings.PartOffTolerance, Name: "roof", Value: 5.67e-12, Other: -4.44}, `part "roof": the other readings give 5.67 pF, 4.4 standard deviations from its value`},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.CoreGain, Core: "rod", Value: 2, Other: -3.26}, "the known value of core gain (core rod) and the readings contradict each other by 3.3 standard deviations: one of them is wrong, and the results lie between"},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.WindingCapacitance, Value: 1, Other: -3.26}, "the known value of winding capacitance and the readings contradict each other by 3.3 standard deviations: one of them is wrong, and the results lie between"},
		{findings.Finding{Kind: findings.KnownContradicts, Name: quantities.Inductance, Value: 1, Other: 32, Drawn: true}, "the inductance computed from the drawing and the readings contradict each other by 32.0 standard deviations: one of them is wrong, and the results lie between"},
		{findings.Finding{Kind: findings.FitsNoCoil, Value: 0.0432, Lines: []int{5, 9, 12}}, "the frequencies are off by 4.3 % of what any coil would give, most in lines 5, 9 and 12: look there and in their neighbours for a frequency, part, core, hand or unit written wrong"},
		{findings.Finding{Kind: findings.CapacitanceBelowZero, Value: -4.21e-12, Other: 0.13e-12}, "the readings with parts of known value need a capacitance of the coil below zero (−4.21 ± 0.13 pF); a part is off its value or its tolerance, a frequency is misread, or its digits are too few"},
		{findings.Finding{Kind: findings.CapacitanceBelowZero, Value: math.Inf(-1), Other: math.NaN()}, "the readings with parts of known value need a capacitance of the coil below zero; a part is off its value or its tolerance, a frequency is misread, or its digits are too few"},
		{findings.Finding{Kind: findings.EarlierContradicts, Name: "monday.csv", Value: 0.0012}, "these readings and the earlier session monday.csv contradict each other (p = 0.0012): the coil or the bench changed, and the results lie between; leave --known-from out, or say --new-bench if the coil only stands elsewhere"},
		{findings.Finding{Kind: findings.AtBound, Name: quantities.TopCapacitance}, "top capacitance is at its physical limit: use its interval, not a ±"},
		{findings.Finding{Kind: findings.ShapeAssumed}, "how the capacitance is shared between winding and top is determined by a broad prior, not by the readings; readings with small and large known capacitors would determine it"},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003}, "the stated tolerances and the readings contradict each other (p = 0.003), and are enlarged here: each part is off in its own way: measure them, or state larger tolerances"},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.SmallHigh}, "the stated tolerances and the readings contradict each other (p = 0.003), and are enlarged here: the smaller a part, the more it is above its value, as if something came with each: read an empty clip (added: clip)"},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.SmallLow}, "the stated tolerances and the readings contradict each other (p = 0.003), and are enlarged here: the smaller a part, the more it is below its value: look for something that is taken off the top when parts are clipped on"},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.AllHigh}, "the stated tolerances and the readings contradict each other (p = 0.003), and are enlarged here: all parts are above their values, as those of one reel or meter: say so with the word common behind the tolerance, or state a larger one"},
		{findings.Finding{Kind: findings.TolerancesContradicted, Value: 0.003, Pattern: findings.AllLow}, "the stated tolerances and the readings contradict each other (p = 0.003), and are enlarged here: all parts are below their values, as those of one reel or meter: say so with the word common behind the tolerance, or state a larger one"},
		{findings.Finding{Kind: findings.Drifts, Value: -123e-6, Other: 24e-6}, "the frequencies drifted by −123 ± 24 ppm from the first reading to the last: all values are those in the middle of the session"},
		{findings.Finding{Kind: findings.Drifts, Value: 123e-6, Other: 24e-6, Hourly: true, OrScatter: true}, "the frequencies drifted by 123 ± 24 ppm an hour, or the readings scatter more than stated: all values are those in the middle of the session"},
		{findings.Finding{Kind: findings.NeighboursAlike, Name: "run order", Value: 0.456, Other: 0.002}, "residuals of neighbours in run order are correlated (lag-1 autocorrelation +0.46, p = 0.002): n readings count as 0.37·n, and the uncertainties are enlarged to match; look for what changes along it"},
		{findings.Finding{Kind: findings.RunOrderTrend, Value: -0.712, Other: 0.004}, "the residuals drift with run order (rank correlation -0.71, p = 0.004): did something warm up or move?"},
		{findings.Finding{Kind: findings.ReadingApart, Line: 12, Value: 7.6, Other: 40}, "line 12: the reading lies +8 standard deviations from the mean of the 40 readings in its state; was it misread?"},
		{findings.Finding{Kind: findings.ReadingsSlow, Line: 12, Value: 3.3}, "the readings of the state first read on line 12 vary slowly, together: their mean is 3.3 times as uncertain as that of as many independent readings"},
		{findings.Finding{Kind: findings.ReadingsWander, Line: 12, Value: 33}, "the readings of the state first read on line 12 drift, and no mean settles: its uncertainty is how far a stretch of them strays (33 times that of as many independent readings); did something warm up or move?"},
		{findings.Finding{Kind: findings.CoreDisperses, Name: "rod", Value: 0.0346, Other: 1.86}, `core "rod": over the frequencies read with it, the permeability of such ferrite may change by a factor of 1.9, and the gain by 3.5 % (Snoek's law; data sheets of two manganese-zinc grades); read it near the frequency of use`},
		{findings.Finding{Kind: findings.ModelUncertainty, Value: 0.00812}, "readings with a partly covered winding have a model uncertainty of 0.81 %"},
		{findings.Finding{Kind: findings.Implausible, Value: 1.3, Other: 2e6}, "an inductance of about 1.3 H and an impedance of about 2.0 MΩ are those of no ordinary coil: are the units of the frequencies and of the capacitances added right?"},
		{findings.Finding{Kind: findings.Implausible, Value: 1.3e3, Other: 2e6, Slip: &findings.Slip{Factor: 1e3, Inductance: 1.3e-3, Impedance: 2e3}}, "an inductance of about 1300 H and an impedance of about 2.0 MΩ are those of no ordinary coil: is the unit of the frequencies right? With a thousand times more, as when MHz under kHz was written, they would be 1.3 mH and 2.0 kΩ"},
		{findings.Finding{Kind: findings.Implausible, Value: 1.3e3, Other: 2e6, Slip: &findings.Slip{Added: true, Factor: 1e-6, Inductance: 1.3e-3, Impedance: 2e3}}, "an inductance of about 1300 H and an impedance of about 2.0 MΩ are those of no ordinary coil: is the unit of the capacitances added right? With a million times less, as when pF under µF was written, they would be 1.3 mH and 2.0 kΩ"},
	} {
		if got := strings.ReplaceAll(Sentence(c.f), noBreak, " "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A gap is told word for word, with why it is open; a core without a name is none.
func TestGapsWordForWord(t *testing.T) {
	for of, want := range map[findings.Gap][2]string{
		findings.GapSplit:       {"inductance and capacitance apart", "frequencies with nothing known added fix only their product"},
		findings.GapSpread:      {"inductance and capacitance apart", "the added capacitances differ too little, compared with their uncertainty"},
		findings.GapCoreAlways:  {`the effect of core "rod"`, "it is in every reading"},
		findings.GapCore:        {`the effect of core "rod"`, "its readings can't separate it from the rest of the coil"},
		findings.GapHandLaw:     {"how the hand's capacitance falls with distance, and its effect at 40 cm, 100 cm", "this needs several distances that differ much"},
		findings.GapHandCoarse:  {"how the hand's capacitance falls with distance, and its effect at 40 cm, 100 cm", "the readings cannot resolve the distance law"},
		findings.GapHandCore:    {"the effect of the hand at 40 cm, 100 cm", "it was read only with a core that was never read without it"},
		findings.GapPart:        {`the capacitance of "roof"`, "its readings can't separate it from the rest of the coil"},
		findings.GapScatter:     {"lc product, drift", "the readings scatter too much"},
		findings.GapNeverPlain:  {"the coil by itself", "every reading has an unknown part or a hand near, whose capacitance can't be separated from the coil's own"},
		findings.GapShape:       {"how the capacitance is shared between winding and top", "it is determined by the prior more than by the readings"},
		findings.GapCoreAdds:    {`the capacitance that core "rod" adds`, "it is determined by the prior more than by the readings"},
		findings.GapNegative:    {"the coil's own capacitance", "the readings need one below zero; a part is off its value or its tolerance, a frequency is misread, or its digits are too few"},
		findings.GapCapacitance: {"the coil's own capacitance", "it is small compared with all that was added, and with the parts' tolerances"},
		findings.GapLead:        {"the capacitance of clips and leads", "it is determined by the prior"},
		findings.GapDrift:       {"whether frequencies drifted during the session", "the drift is determined by the prior"},
		findings.GapCoupling:    {`the coupling of the primary with core "rod"`, "its readings with the primary open and shorted differ too little"},
		findings.GapWindings:    {`the coupling of the windings with core "rod"`, "how much the current along the winding raises that at resonance is determined by the prior"},
		findings.GapLosses:      {"how the losses divide: lc product, drift", "the quality factors read grow too much alike"},
		findings.GapOther:       {"lc product, drift", ""},
	} {
		what, why := gap(findings.Undetermined{What: of, Core: "rod", Part: "roof", Names: []string{quantities.LCProduct, quantities.Drift}, Hands: []float64{0.4, 1}})
		if what != want[0] || why != want[1] {
			t.Errorf("%q, %q, want %q", what, why, want)
		}
	}
	for of, want := range map[findings.Gap][2]string{
		findings.GapCoreAlways: {"inductance in air", "a core is in every reading, so that only the inductance with the core is known"},
		findings.GapCoupling:   {"the coupling of the primary", "its readings with the primary open and shorted differ too little"},
		findings.GapWindings:   {"the coupling of the windings", "how much the current along the winding raises that at resonance is determined by the prior"},
		findings.GapHandLaw:    {"how the hand's capacitance falls with distance", "this needs several distances that differ much"},
	} {
		if what, why := gap(findings.Undetermined{What: of}); what != want[0] || why != want[1] {
			t.Errorf("%q, %q, want %q", what, why, want)
		}
	}
}

// What is noted on a capture is told word for word, each number in its place.
func TestNotesWordForWord(t *testing.T) {
	many, large := [4]float64{12.34567, 2.34567, 3.45678, 4.56789}, [4]float64{1234567.8, 2345678.9, 0.45678, 0}
	for _, c := range []struct {
		kind   ringing.NoteKind
		values [4]float64
		want   string
	}{
		{ringing.Beating, many, "two near tones beat at 12.3 Hz (amplitude ratio 2.35): two coupled circuits, or two modes; both are listed, the stronger one first"},
		{ringing.Beating, large, "two near tones beat at 1.23 MHz (amplitude ratio 2.35e+06): two coupled circuits, or two modes; both are listed, the stronger one first; they make only 0.457 of a beat while they last, so that one ring whose frequency moves, or the average of rings of different frequencies, would look the same"},
		{ringing.MayBeAliased, many, "only 12.3 samples per cycle: a tone of 2.35 Hz would look the same; capture again with a faster time base: a true tone stays where it is"},
		{ringing.FoldedHarmonic, many, "harmonic 12.3 is seen folded at 2.35 Hz: the capture is sampled too slowly for what the scope lets through"},
		{ringing.Clipped, many, "12.3 clipped samples were left out; choose more volts per division"},
		{ringing.Clipped, [4]float64{1}, "one clipped sample was left out; choose more volts per division"},
		{ringing.MayBeAliased, [4]float64{2.67, 2.5e6}, "only 2.67 samples per cycle: a tone of 2.50 MHz would look the same; capture again with a faster time base: a true tone stays where it is"},
		{ringing.FoldedHarmonic, [4]float64{3, 1.2345e5}, "harmonic 3 is seen folded at 123 kHz: the capture is sampled too slowly for what the scope lets through"},
		{ringing.Drifting, [4]float64{0.01234}, "the middle line drifts by 12.3 mV during the burst; the fit follows it"},
		{ringing.FirstSkipped, many, "the first 12.3 cycles don't follow the decay and were left out"},
		{ringing.Misfit, many, "the trace doesn't follow a decaying sine from the beginning on: look at the residuals"},
		{ringing.Coloured, many, "the residuals are 12.3 times as dense at the tone as on average; the uncertainties allow for it"},
		{ringing.Coloured, large, "the residuals are 1.23e+06 times as dense at the tone as on average: this may be no single tone, and the ± too small; look at the residuals"},
		{ringing.FewSteps, many, "the amplitude is only 12.3 steps of the converter; choose fewer volts per division"},
		{ringing.Growing, many, "the amplitude grows to 12.3 of what it was: not a free decay, so no quality factor"},
		{ringing.BurstsDiffer, many, "the bursts differ by 12.3 times what their uncertainties allow; the uncertainty of the mean is scaled by it"},
		{ringing.Drifting, many, "the middle line drifts by 12.3 V during the burst; the fit follows it"},
		{ringing.FewDigits, many, "the times are written with so few digits that the interval is uncertain by 12.3 of itself"},
		{ringing.NotOneSine, many, "this isn't one decaying sine: at the beginning the residual is 12.3 times the noise, so that no ± is claimed; look at the residuals for what else is there"},
		{ringing.StartAndEndDiffer, many, "the ring is not the same at its start and its end: 12.34567 Hz, then 2.345670 Hz; quality factor 3.46, then 4.57; a frequency or a loss that moves with the amplitude, a limiter, or a drive that goes on would do this; the end is reported, and half of what still differs is in the ±, where one is given"},
		{ringing.StartAndEndDiffer, large, "the ring is not the same at its start and its end: 1.234568 MHz, then 2.345679 MHz; a frequency or a loss that moves with the amplitude, a limiter, or a drive that goes on would do this; the end is reported, and half of what still differs is in the ±, where one is given"},
		{ringing.Driven, many, "a steady tone is the drive's, or a station's, and says nothing of damping: a self-oscillating driver runs within about f/2Q of the resonance (drive=self), a generator tells it only where it was tuned to the peak (drive=generator); a ring after the drive stops tells frequency and quality factor, and so do captures at seven frequencies of the drive or more, given to one command"},
		{ringing.BurstsDisagree, many, "the bursts ring at different frequencies: those at 12.34567 Hz are reported, 3.46 left out, the loudest of them at 2.345670 Hz"},
		{ringing.NotOneSine, [4]float64{4}, "this isn't one decaying sine: at the beginning the residual is 4 times the noise; half of what start and end of the ring differ by is in the ±"},
		{ringing.Coloured, [4]float64{16.1}, "the residuals are 16.1 times as dense at the tone as on average: this may be no single tone, and the ± too small; look at the residuals"},
		{ringing.StartAndEndDiffer, [4]float64{1e6, 2e6, 0.5, 0.25}, "the ring is not the same at its start and its end: 1.000000 MHz, then 2.000000 MHz; quality factor 0.5, then 0.25; a frequency or a loss that moves with the amplitude, a limiter, or a drive that goes on would do this; the end is reported, and half of what still differs is in the ±, where one is given"},
	} {
		if got := CaptureNote(ringing.Note{Kind: c.kind, Values: c.values}); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Why a capture is refused is told word for word, with what there was and what is needed.
func TestRefusalsWordForWord(t *testing.T) {
	for _, c := range []struct {
		r    ringing.Refusal
		want string
	}{
		{ringing.Refusal{Reason: ringing.TooFewSamples, Got: 0.1234567, Need: 3, Index: 4}, "0.123 samples, at least 3 are needed; capture a longer stretch"},
		{ringing.Refusal{Reason: ringing.BadInterval, Got: 0.1234567, Need: 3, Index: 4}, "the sample interval is 0.123 s, expected a time above 0; give the interval of the capture"},
		{ringing.Refusal{Reason: ringing.NotFinite, Got: 0.1234567, Need: 3, Index: 4}, "sample 5 is 0.123, expected a voltage; the scope marks overflow or a missing point this way: lower its sensitivity and capture again"},
		{ringing.Refusal{Reason: ringing.Flat, Got: 0.1234567, Need: 3, Index: 4}, "all samples are equal: there is no signal; check the probe and the trigger"},
		{ringing.Refusal{Reason: ringing.NoTone, Got: 0.1234567, Need: 3, Index: 4}, "no tone stands out of the noise (the best candidate is 0.123 times its own uncertainty, 3 are asked for); bring the probe closer or average on the scope"},
		{ringing.Refusal{Reason: ringing.NoTone, Got: 0, Need: 3, Index: 4}, "no tone stands out of the noise; bring the probe closer or average on the scope"},
		{ringing.Refusal{Reason: ringing.TooFewCycles, Got: 0.1234567, Need: 3, Index: 4}, "only 0.123 cycles can be seen, at least 3 are needed; choose a slower time base, or let the coil ring longer"},
		{ringing.Refusal{Reason: ringing.TooMuchClipped, Got: 0.1234567, Need: 3, Index: 4}, "12.3 % of the samples are flat at the top or the bottom: a clipped or a square signal; choose more volts per division and capture again"},
		{ringing.Refusal{Reason: ringing.NoFit, Got: 0.1234567, Need: 3, Index: 4}, "no steady or decaying sine fits the capture; look at the trace: it should be one coil that rings freely for three cycles or more"},
		{ringing.Refusal{Reason: ringing.TooFewCycles, Got: 1.234567, Need: 3, Short: ringing.Dies}, "the ring has died away after 1.23 cycles, at least 3 are needed; let less damp the coil (a probe farther away, no load), or bring the probe closer if noise covers the rest"},
		{ringing.Refusal{Reason: ringing.TooFewCycles, Got: 1.234567, Need: 3, Short: ringing.Slow}, "nothing in the capture stands out but what makes 1.23 cycles in it, at least 3 are needed; if that is the coil's tone, choose a slower time base; if it is a step or a drift with the ring on it, choose a faster one and fewer volts per division, and let the record begin behind the step (trigger delay), so that the ring fills the screen"},
		{ringing.Refusal{Reason: ringing.TooFewCycles, Got: 1.234567, Need: 3, Short: ringing.Over}, "what stands out of the noise is over before it has swung 3 times; let less damp the coil (a probe farther away, no load), or choose a faster time base if the ring is only a few samples long"},
	} {
		if got := CaptureRefused(&c.r); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
