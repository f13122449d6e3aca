package report

import (
	"fmt"
	"math"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/findings"
)

// mistake puts the edit that would make a log consistent into words.
func mistake(m *findings.Mistake) string {
	switch m.Kind {
	case findings.MistakenRows:
		return fmt.Sprintf("%s read as if swapped: with each other's frequencies all readings are consistent; read both again", lineList(m.Lines))
	case findings.MistakenPart:
		return fmt.Sprintf("part %q reads as if it were %s, not %s: with that all readings are consistent (%s)", m.Part,
			quantity.FormatValue(m.Meant, 3, "F"), quantity.FormatValue(m.Read, 3, "F"), lineList(m.Lines))
	case findings.MistakenOneOf:
		return "a mistake in " + oneOf(m)
	}
	s := fmt.Sprintf("%s, %s, contradicts all other readings, which are consistent without it and predict %s", lineList(m.Lines),
		quantity.Format(m.Read, 0, "Hz"), quantity.Format(m.Predict, m.Within, "Hz"))
	if !math.IsNaN(m.Meant) {
		return s + fmt.Sprintf(": %s misread for %s? Read it again, or correct it", quantity.Format(m.Read, 0, "Hz"), quantity.Format(m.Meant, 0, "Hz"))
	}
	return s + ": misread, or read in another state than written? Read it again, or leave it out (use = no)"
}

// oneOf says in which readings a mistake may be, and what else would explain them.
func oneOf(m *findings.Mistake) string {
	lines, drift := lineList(m.Lines), ""
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
