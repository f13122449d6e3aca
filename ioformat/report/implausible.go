package report

import (
	"fmt"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/findings"
)

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
