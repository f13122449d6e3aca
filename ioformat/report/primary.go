package report

import (
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// primaryWords tells what the couplings are, and what a core did to the one at resonance.
func primaryWords(r *model.Result, list []quantities.Estimate) (words []string) {
	told := false
	for _, with := range list {
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

// couplings writes the couplings of a primary.
func (t *text) couplings(r *model.Result) {
	for _, k := range []struct{ name, label string }{{quantities.CouplingAtResonance, "Coupling"}, {quantities.CouplingOfWindings, "of the windings"}} {
		var list []string
		for i := range r.Derived {
			if e := &r.Derived[i]; e.Name == k.name && e.Determined {
				where := "core out "
				if e.Core != "" {
					where = "core " + e.Core + " "
				}
				list = append(list, nobreak(where+known(e)))
			}
		}
		if len(list) > 0 {
			t.point(k.label, strings.Join(list, ", "))
		}
	}
}

// losses writes how losses divide, as far as that is determined.
func (t *text) losses(r *model.Result) {
	var list []string
	for i := range r.Derived {
		if e := &r.Derived[i]; quantities.OfLoss(e.Name) && e.Determined {
			list = append(list, nobreak(wording.Loss(e)+" "+known(e)))
		}
	}
	if len(list) > 0 {
		t.point("Q factor by", strings.Join(list, ", "))
	}
}

// lossWords tells what the parts of a quality factor are.
func lossWords(r *model.Result, list []quantities.Estimate) (words []string) {
	d := r.Session.Drawn
	for _, e := range list {
		if !e.Determined {
			continue
		}
		if words == nil {
			words = []string{"1/Q is the sum of 1 over these; winding and dielectric of the bare coil, core with the core in and nothing added.",
				"That of a core holds what its field adds to the winding's loss; the ± of each quality factor read is guessed as 5 %, and corrected by their scatter."}
		}
		if e.Name == quantities.QualityCore && d != nil && d.Core != nil && (d.Drawing.Core == "" || d.Drawing.Core == e.Core) {
			if p, err := d.Drawing.Coil.GainSlope(); err == nil && p*e.Value > 1 {
				words = append(words, fmt.Sprintf("As drawn, the gain of core %s changes by %s of a relative change of its permeability: 1/Q = %s·tan δ, so that tan δ is %s at most.", e.Core, quantity.Digits(p, 2), quantity.Digits(p, 2), quantity.Digits(1/(p*e.Value), 2)))
			}
			if m := d.Find(quantities.QualityCore); m != nil {
				words = append(words, fmt.Sprintf("Its material alone would leave a quality factor of %s, by the sheet's loss tangent.", quantity.Format(m.Value, m.Uncertainty, "")))
			}
		}
	}
	return words
}

// amplitudeWords says what explains the amplitude with a core over that without.
func amplitudeWords(r *model.Result, core string) []string {
	s, ok := r.AmplitudeShares(core)
	if !ok {
		return nil
	}
	times := func(x float64) string { return "× " + quantity.Decimals(x, 2) }
	list, rest := fmt.Sprintf("the quality factor explains %s, the capacitance %s", times(s.Quality), times(s.Capacitance)), "coupling and pickup"
	if !math.IsNaN(s.Coupling) {
		list, rest = list+", the coupling "+times(s.Coupling), "what else changes"
	}
	return []string{fmt.Sprintf("With the same current in the drive, of the bare coil's amplitude ratio, %s, %s; for %s, %s is left.", times(s.Amplitude), list, rest, times(s.Rest))}
}
