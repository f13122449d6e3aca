package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// Sentences says what the readings don't determine and why, and what would determine
// it.
func Sentences(u findings.Undetermined) (what, remedy string) {
	what, why := gap(u)
	if why != "" {
		what += ": " + why
	}
	return what, remedyOf(u)
}

// remedyOf says what would determine it.
func remedyOf(u findings.Undetermined) string {
	if u.WithFirst {
		return remedies[u.Advice] + ", together with the first remedy"
	}
	return remedies[u.Advice]
}

// gap says what the readings don't determine, and why.
func gap(u findings.Undetermined) (what, why string) {
	switch u.What {
	case findings.GapSplit:
		return "inductance and capacitance apart", "frequencies with nothing known added fix only their product"
	case findings.GapSpread:
		return "inductance and capacitance apart", "the added capacitances differ too little, compared with their uncertainty"
	case findings.GapCoreAlways:
		if u.Core == "" {
			return "inductance in air", "a core is in every reading, so that only the inductance with the core is known"
		}
		return fmt.Sprintf("the effect of core %q", u.Core), "it is in every reading"
	case findings.GapCore:
		return fmt.Sprintf("the effect of core %q", u.Core), "its readings can't separate it from the rest of the coil"
	case findings.GapHandLaw:
		return handLaw(u), "this needs several distances that differ much"
	case findings.GapHandCoarse:
		return handLaw(u), "the readings cannot resolve the distance law"
	case findings.GapHandCore:
		return "the effect of the hand" + distances(u), "it was read only with a core that was never read without it"
	case findings.GapPart:
		return fmt.Sprintf("the capacitance of %q", u.Part), "its readings can't separate it from the rest of the coil"
	case findings.GapNeverPlain:
		return "the coil by itself", "every reading has an unknown part or a hand near, whose capacitance can't be separated from the coil's own"
	case findings.GapShape:
		return "how the capacitance is shared between winding and top", "it is determined by the prior more than by the readings"
	case findings.GapNegative:
		return "the coil's own capacitance", fmt.Sprintf("the readings need one "+ofBelowZero, "")
	case findings.GapCapacitance:
		return "the coil's own capacitance", "it is small compared with all that was added, and with the parts' tolerances"
	case findings.GapCoreAdds:
		return fmt.Sprintf("the capacitance that core %q adds", u.Core), "it is determined by the prior more than by the readings"
	case findings.GapLead:
		return "the capacitance of clips and leads", "it is determined by the prior"
	case findings.GapDrift:
		return "whether frequencies drifted during the session", "the drift is determined by the prior"
	case findings.GapCoupling:
		if u.Core != "" {
			return fmt.Sprintf("the coupling of the primary with core %q", u.Core), "its readings with the primary open and shorted differ too little"
		}
		return "the coupling of the primary", "its readings with the primary open and shorted differ too little"
	case findings.GapWindings:
		windings := "the coupling of the windings"
		if u.Core != "" {
			windings += fmt.Sprintf(" with core %q", u.Core)
		}
		return windings, "how much the current along the winding raises that at resonance is determined by the prior"
	case findings.GapLosses:
		return "how the losses divide: " + quantityNames(u.Names), "the quality factors read grow too much alike"
	case findings.GapScatter:
		return quantityNames(u.Names), "the readings scatter too much"
	}
	return quantityNames(u.Names), ""
}

// handLaw names the hand's law, and where its effect is open as well.
func handLaw(u findings.Undetermined) string {
	what := "how the hand's capacitance falls with distance"
	if u.Hands != nil {
		what += ", and its effect" + distances(u)
	}
	return what
}

// distances lists those at which the effect of a hand is open.
func distances(u findings.Undetermined) (s string) {
	word := " at "
	for _, d := range u.Hands {
		s += word + quantity.Digits(100*d, 3) + " cm"
		word = ", "
	}
	return s
}

// quantityNames lists quantities for people.
func quantityNames(names []string) string {
	return strings.ReplaceAll(strings.Join(names, ", "), "_", " ")
}

// remedies say what to do, in words.
var remedies = [...]string{
	findings.AddKnownCapacitor:         "take readings with the core out and nobody near, bare and with a known capacitor on the top, one that lowers the frequency by a tenth or more, or give a known value, such as --known inductance=770uH±2%",
	findings.AddLargerCapacitor:        "take a reading with a clearly larger known capacitor on the top, one that lowers the frequency by a tenth or more, or give a known value, as --known inductance=770uH±2%",
	findings.ReadWithoutCore:           "take readings with the core out and with the core in, nobody near, each bare, with a known capacitor of a few pF and with one that brings the frequency to a half, each three times",
	findings.ReadCoreWithCapacitor:     "take readings with the core out and with the core in, nobody near, each bare, with a known capacitor of a few pF and with one that brings the frequency to a half, each three times",
	findings.ReadHandAlone:             "read the same state with nobody near, and the hand with the core out",
	findings.ReadMoreDistances:         "take readings bare, and with a hand or another grounded body at five distances, each about twice the one before, as 3, 6, 12, 25 and 50 cm, each three times",
	findings.RepeatDistances:           "read the nearest and the farthest distance again, several times or with more digits",
	findings.ReadPartWithKnown:         "take a reading with only this part on the top, and readings with a known capacitor, bare and alike otherwise",
	findings.ReadEmptyClip:             "take a reading with an empty clip on the top (added: clip), as it holds the parts, and one of the bare coil",
	findings.ReadFirstAgain:            "read the first state again, twice, at the end of the session",
	findings.ReadPrimaryOpenAndShorted: "read the same state with the primary open and shorted, each several times, the strap short and wide",
	findings.ReadShortedLoaded:         "read the primary open and shorted with a known capacitor on the top that brings the frequency to a half or less, or give winding and primary in a coil sheet (--coil)",
	findings.ReadQuality:               "read the quality factor with several known capacitors on the top, down to a third of the frequency, core out and in, each twice",
	findings.ReadPlain:                 "take a reading with nobody near and nothing on the top but parts of known value, or bare",
	findings.AddMuchLargerAndClip:      "take readings bare, with an empty clip on the top (added: clip), with a known capacitor of a few pF and with one that brings the frequency to a third or less, all capacitors measured to 1 %, or give the winding's diameter and length in a coil sheet (--coil)",
	findings.CheckParts:                "check the frequencies, measure the parts at a meter (--known 'PART=VALUE±1%'), and read the coil bare",
	findings.ReadBareOrSmall:           "read the coil bare, or with a capacitor of a few pF",
	findings.AddMuchLarger:             "take readings bare, with a known capacitor of a few pF and with one that brings the frequency to a third or less, all capacitors measured to 1 %, or give the winding's diameter and length in a coil sheet (--coil)",
	findings.ReadOftener:               "find what makes readings of one state differ, or read every state several times more",
	findings.FindMisread:               "look for a misread value, a slip of unit or a wrong state among the largest residuals, and correct it or leave it out (use = no)",
	findings.MoreReadings:              "take more readings, in states that differ more",
}

// Sentence puts a finding into words.
func Sentence(f findings.Finding) string {
	switch f.Kind {
	case findings.ScatterExceeds:
		s := fmt.Sprintf("the readings scatter %s times as much as their stated uncertainties (%s): all uncertainties are multiplied by this Birge ratio", Times(f.Value), pText(f.Other))
		if f.Repeats != nil {
			s += "; " + repeatsScatter(f.Repeats)
		}
		if f.Robust {
			s += "; " + scatterRemedy
		}
		return s
	case findings.NothingToTest:
		return "the readings are too few to test the model or their ±: all uncertainties follow from those stated"
	case findings.ReadingSuspect:
		return fmt.Sprintf("line %d is %s standard uncertainties from what the other readings predict: read it again before you keep it or leave it out", f.Line, Times(math.Abs(f.Value)))
	case findings.ReadingForgotten:
		return forgotten(f)
	case findings.LikelyMistake:
		return mistake(f.Mistake)
	case findings.ReadingDecisive:
		return fmt.Sprintf("line %d is %s standard deviations off, and without it the %s would move by %s of its standard uncertainties: read it again", f.Line, quantity.Decimals(math.Abs(f.Other), 1), quantityOf(f.Moves.Estimate), Times(f.Value))
	case findings.ReadingsUnchecked:
		return fmt.Sprintf("%s: %s alone determines something, so that no residual shows an error there", wording.Lines(f.Lines), verb(len(f.Lines), "this reading", "each of these readings"))
	case findings.TooGood:
		return fmt.Sprintf("the residuals are smaller than the stated uncertainties explain (%s): these may be overstated", pText(f.Value))
	case findings.PartOffTolerance:
		return fmt.Sprintf("part %q: the other readings give %s, %s standard deviations from its value", f.Name, quantity.FormatValue(f.Value, 3, "F"), quantity.Decimals(math.Abs(f.Other), 1))
	case findings.KnownContradicts:
		return fmt.Sprintf("the %s and the readings contradict each other by %s standard deviations: one of them is wrong, and the results lie between", knownName(quantities.Key{Name: f.Name, Core: f.Core}, f.Drawn), quantity.Decimals(math.Abs(f.Other), 1))
	case findings.FitsNoCoil:
		return fmt.Sprintf("the frequencies are off by %s of what any coil would give, most in %s: look there and in their neighbours for a frequency, part, core, hand or unit written wrong", quantity.FormatValue(f.Value, 2, "%"), wording.Lines(f.Lines))
	case findings.CapacitanceBelowZero:
		c := ""
		if quantities.Finite(f.Value) {
			c = minus(fmt.Sprintf(" (%s pF)", quantity.Format(1e12*f.Value, 1e12*f.Other, "")))
		}
		return fmt.Sprintf("the readings with parts of known value need a capacitance of the coil "+ofBelowZero, c)
	case findings.EarlierContradicts:
		return fmt.Sprintf("these readings and the earlier session %s contradict each other (%s): the coil or the bench changed, and the results lie between; leave --known-from out, or say --new-bench if the coil only stands elsewhere", f.Name, pText(f.Value))
	case findings.AtBound:
		return fmt.Sprintf("%s is at its physical limit: use its interval, not a ±", quantityNames([]string{f.Name}))
	case findings.ShapeAssumed:
		return "how the capacitance is shared between winding and top is determined by a broad prior, not by the readings; readings with small and large known capacitors would determine it"
	case findings.TolerancesContradicted:
		return fmt.Sprintf("the stated tolerances and the readings contradict each other (%s), and are enlarged here: %s", pText(f.Value), patterns[f.Pattern])
	case findings.Drifts:
		or := ""
		if f.OrScatter {
			or = ", or the readings scatter more than stated"
		}
		return fmt.Sprintf("the frequencies drifted by %s %s%s: all values are those in the middle of the session", minus(quantity.Format(1e6*f.Value, 1e6*f.Other, "").String()), driftUnit(f.Hourly), or)
	case findings.NeighboursAlike:
		return fmt.Sprintf("residuals of neighbours in %s are correlated (lag-1 autocorrelation %s, %s): n readings count as %s·n, and the uncertainties are enlarged to match; look for what changes along it", f.Name, quantity.SignedDecimals(f.Value, 2), pText(f.Other), quantity.Decimals((1-f.Value)/(1+f.Value), 2))
	case findings.RunOrderTrend:
		return fmt.Sprintf("the residuals drift with run order (rank correlation %s, %s): did something warm up or move?", quantity.SignedDecimals(f.Value, 2), pText(f.Other))
	case findings.ReadingApart:
		return fmt.Sprintf("line %d: the reading lies %s standard deviations from the mean of the %s readings in its state; was it misread?", f.Line, quantity.SignedDecimals(f.Value, 0), quantity.Decimals(f.Other, 0))
	case findings.ReadingsSlow:
		return fmt.Sprintf("the readings of the state first read on line %d vary slowly, together: their mean is %s times as uncertain as that of as many independent readings", f.Line, Times(f.Value))
	case findings.ReadingsWander:
		return fmt.Sprintf("the readings of the state first read on line %d drift, and no mean settles: its uncertainty is how far a stretch of them strays (%s times that of as many independent readings); did something warm up or move?", f.Line, Times(f.Value))
	case findings.Implausible:
		return implausible(f)
	case findings.CoreDisperses:
		return fmt.Sprintf("core %q: over the frequencies read with it, the permeability of such ferrite may change by a factor of %s, and the gain by %s %% (Snoek's law; data sheets of two manganese-zinc grades); read it near the frequency of use", f.Name, quantity.FormatValue(f.Other, 2, ""), quantity.Digits(100*f.Value, 2))
	case findings.ModelUncertainty:
		return fmt.Sprintf("readings with a partly covered winding have a model uncertainty of %s %%", quantity.Digits(100*f.Value, 2))
	}
	return ""
}

const scatterRemedy = "if a few readings are far off and the others agree, --robust fits the others"

// repeatsScatter says what readings of one state differ by, and what to do about it.
func repeatsScatter(s *findings.Repeats) string {
	by := quantity.Digits(100*s.Relative, 2) + " %"
	say := fmt.Sprintf("readings of one state have a standard deviation of %s, %s times their ±", by, Times(s.Ratio))
	if s.Explain() {
		return say + fmt.Sprintf(": state %s in a column frequency ± of the log", by)
	}
	return say + fmt.Sprintf("; against that the model does not fit (lack of fit, %s)", pText(s.PValue))
}

// quantityOf names a quantity, and what it is of, within a sentence.
func quantityOf(e *quantities.Estimate) string {
	name := quantityNames([]string{e.Name})
	switch {
	case e.Core != "":
		name += " of core " + strconv.Quote(e.Core)
	case e.Part != "":
		name += " of " + strconv.Quote(e.Part)
	case e.Hand > 0:
		name += " at " + wording.Hand(readings.Condition{Hand: e.Hand})
	}
	return name
}

// patterns say how parts are off, and what that points to.
var patterns = [...]string{
	findings.SmallHigh: "the smaller a part, the more it is above its value, as if something came with each: read an empty clip (added: clip)",
	findings.SmallLow:  "the smaller a part, the more it is below its value: look for something that is taken off the top when parts are clipped on",
	findings.AllHigh:   "all parts are above their values, as those of one reel or meter: say so with the word common behind the tolerance, or state a larger one",
	findings.AllLow:    "all parts are below their values, as those of one reel or meter: say so with the word common behind the tolerance, or state a larger one",
	findings.Apart:     "each part is off in its own way: measure them, or state larger tolerances",
}

// ofBelowZero is what makes readings need a capacitance below zero.
const ofBelowZero = "below zero%s; a part is off its value or its tolerance, a frequency is misread, or its digits are too few"

// minus writes the sign as beside other words.
func minus(s string) string { return strings.Replace(s, "-", "−", 1) }

// driftUnit is the unit of a drift for people.
func driftUnit(hourly bool) string {
	if hourly {
		return "ppm an hour"
	}
	return "ppm from the first reading to the last"
}

// Times writes a factor above one.
func Times(v float64) string {
	if v < 10 {
		return quantity.Digits(v, 2)
	}
	return quantity.Decimals(v, 0)
}

// mistake puts the edit that would make a log consistent into words.
func mistake(m *findings.Mistake) string {
	switch m.Kind {
	case findings.MistakenRows:
		return fmt.Sprintf("%s read as if swapped: with each other's frequencies all readings are consistent; read both again", wording.Lines(m.Lines))
	case findings.MistakenPart:
		return fmt.Sprintf("part %q reads as if it were %s, not %s: with that all readings are consistent (%s)", m.Part,
			quantity.FormatValue(m.Meant, 3, "F"), quantity.FormatValue(m.Read, 3, "F"), wording.Lines(m.Lines))
	case findings.MistakenOneOf:
		return "a mistake in " + oneOf(m)
	}
	s := fmt.Sprintf("%s, %s, contradicts all other readings, which are consistent without it and predict %s", wording.Lines(m.Lines),
		quantity.Format(m.Read, 0, "Hz"), quantity.Format(m.Predict, m.Within, "Hz"))
	or, leave := "", ", or leave it out (use = no)"
	if m.OrScatter {
		or, leave = ", or do all scatter more than stated", ""
	}
	if !math.IsNaN(m.Meant) {
		return s + fmt.Sprintf(": %s misread for %s%s? Read it again, or correct it", quantity.Format(m.Read, 0, "Hz"), quantity.Format(m.Meant, 0, "Hz"), or)
	}
	return s + ": misread, or read in another state than written" + or + "? Read it again" + leave
}

// oneOf says in which readings a mistake may be, and what else would explain them.
func oneOf(m *findings.Mistake) string {
	lines, drift := wording.Lines(m.Lines), ""
	if m.Drift != 0 {
		drift = fmt.Sprintf(", or a drift by %s %s,", minus(quantity.Format(1e6*m.Drift, 1e6*m.DriftWithin, "").String()), driftUnit(m.Hourly))
	}
	const would = " would make the readings consistent"
	switch {
	case len(m.Lines) > 1 && drift != "":
		return "one of " + lines + drift + would + ", and nothing tells which: read each of them again"
	case len(m.Lines) > 1:
		return "one of " + lines + would + ", and nothing tells in which: read each of them again"
	}
	return lines + drift + would + ": read it again"
}

// forgotten tells of a reading without weight in a robust fit.
func forgotten(f findings.Finding) string {
	s := fmt.Sprintf("line %d has no weight in this robust fit", f.Line)
	m := f.Mistake
	if m == nil {
		return s + ": read it again"
	}
	s += fmt.Sprintf(": it reads %s, the others predict %s", quantity.Format(m.Read, 0, "Hz"), quantity.Format(m.Predict, m.Within, "Hz"))
	if !math.IsNaN(m.Meant) {
		return s + fmt.Sprintf("; misread for %s?", quantity.Format(m.Meant, 0, "Hz"))
	}
	return s
}

// implausible says what the values of a fit would mean, and which slip of unit would
// make them ordinary.
func implausible(f findings.Finding) string {
	s := fmt.Sprintf("an inductance of about %s and an impedance of about %s are those of no ordinary coil",
		quantity.FormatValue(f.Value, 2, "H"), quantity.FormatValue(f.Other, 2, "Ω"))
	if f.Slip == nil {
		return s + ": are the units of the frequencies and of the capacitances added right?"
	}
	what, slips := "frequencies", map[float64]string{1e-3: "kHz under MHz", 1e3: "MHz under kHz", 1e-6: "Hz under MHz", 1e6: "MHz under Hz"}
	if f.Slip.Added {
		what, slips = "capacitances added", map[float64]string{1e-3: "pF under nF", 1e3: "nF under pF", 1e-6: "pF under µF", 1e6: "µF under pF"}
	}
	times := map[float64]string{1e-3: "a thousand times less", 1e3: "a thousand times more", 1e-6: "a million times less", 1e6: "a million times more"}
	return s + fmt.Sprintf(": is the unit of the %s right? With %s, as when %s was written, they would be %s and %s",
		what, times[f.Slip.Factor], slips[f.Slip.Factor], quantity.FormatValue(f.Slip.Inductance, 2, "H"), quantity.FormatValue(f.Slip.Impedance, 2, "Ω"))
}
