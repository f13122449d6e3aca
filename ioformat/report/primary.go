package report

import (
	"fmt"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// primaryWords tells what the couplings are, and what a core did to the one at resonance.
func primaryWords(r *model.Result, list []quantities.Estimate) (words []string) {
	told := false
	for i := range list {
		with := &list[i]
		if !with.Determined {
			continue
		}
		if !told {
			words = append(words, "At resonance: k² = 1 − (f_open/f_short)², the coil bare or with the core; of the windings: with the same current in all turns.")
			told = true
		}
		air := r.Find(quantities.Key{Name: quantities.CouplingAtResonance})
		if with.Name == quantities.CouplingAtResonance && with.Core != "" && air != nil && air.Determined {
			words = append(words, fmt.Sprintf("Core %s takes the coupling at resonance to %s times that in air.", with.Core,
				quantity.FormatValue(with.Value/air.Value, 3, "")))
		}
	}
	return words
}
