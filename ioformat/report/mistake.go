package report

import (
	"fmt"
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/findings"
)

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
