package page

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
)

// answer is the page in three sentences: what the coil is, what was done to it,
// and how far to believe it.
func answer(r *model.Result) []string {
	return []string{theCoil(r), theChange(r), theTrust(r)}
}

// with writes an estimate with its ±.
func with(e *quantities.Estimate) string {
	unit := e.Unit
	if unit == "1" {
		unit = ""
	}
	return quantity.Format(e.Value, e.Uncertainty, unit).String()
}

func theCoil(r *model.Result) string {
	f, lc := r.Find(quantities.Key{Name: quantities.BareFrequency}), r.Find(quantities.Key{Name: quantities.LCProduct})
	l, c := r.Find(quantities.Key{Name: quantities.EffectiveInductance}), r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	air := r.Find(quantities.Key{Name: quantities.Inductance})
	switch {
	case f.Determined && l.Determined && c.Determined:
		s := fmt.Sprintf("Bare, the coil rings at %s: seen from the top, it is an effective inductance of %s with an effective capacitance of %s", with(f), with(l), with(c))
		if air.Determined {
			s += fmt.Sprintf("; its whole winding has %s in air, with the same current in all turns", with(air))
		}
		return s + "."
	case f.Determined && air.Determined:
		return fmt.Sprintf("Bare, the coil rings at %s, and its winding has an inductance of %s in air; its capacitance the readings leave open.", with(f), with(air))
	case f.Determined && lc.Determined:
		return fmt.Sprintf("Bare, the coil rings at %s, which fixes inductance times capacitance at %s, but neither of the two.", with(f), with(lc))
	case air.Determined:
		return fmt.Sprintf("The winding has an inductance of %s in air; at which frequency the bare coil rings, the readings leave open.", with(air))
	}
	for _, core := range cores(r) {
		if in := r.Find(quantities.Key{Name: quantities.InductanceWithCore, Core: core}); in.Determined {
			return fmt.Sprintf("With the core %s all along it the winding has an inductance of %s; what the coil is without the core, no reading tells.", core, with(in))
		}
	}
	return "The readings fix neither the frequency of the bare coil nor its inductance or capacitance; what they do fix stands below."
}

// cores lists the cores that the fit has something to say of.
func cores(r *model.Result) (names []string) {
	for _, e := range r.Parameters {
		if e.Name == quantities.CoreGain {
			names = append(names, e.Core)
		}
	}
	return names
}

// theChange tells of the cores; without any, of the parts that were measured, of
// the hand, or of where the capacitance sits.
func theChange(r *model.Result) string {
	var clauses []string
	for _, core := range cores(r) {
		clauses = append(clauses, coreClause(r, core))
	}
	if len(clauses) == 0 {
		clauses = partClauses(r)
	}
	if len(clauses) == 0 {
		for i := range r.Derived {
			if e := &r.Derived[i]; e.Name == quantities.HandFrequencyDrop && e.Determined {
				clauses = []string{fmt.Sprintf("a hand at %s lowers the bare frequency by %s", report.Distance(e.Hand), with(e))}
				break
			}
		}
	}
	const most = 3
	if more := len(clauses) - most; more > 0 {
		clauses = append(clauses[:most], fmt.Sprintf("and %d more stand below", more))
	}
	if len(clauses) > 0 {
		return sentence(strings.Join(clauses, "; "))
	}
	w, t := r.Find(quantities.Key{Name: quantities.WindingCapacitance}), r.Find(quantities.Key{Name: quantities.TopCapacitance})
	switch {
	case w == nil || !w.Determined || !t.Determined:
	case w.Equivalent:
		return fmt.Sprintf("A uniform line that resonates alike holds %s along it and %s at its top.", settled(w), settled(t))
	default:
		return fmt.Sprintf("The winding itself holds %s of capacitance and the top %s.", settled(w), settled(t))
	}
	return "How the capacitance is shared between winding and top, the readings leave open."
}

// settled is with, also for what stands at its limit.
func settled(e *quantities.Estimate) string {
	if e.Bound != 0 {
		return "at most " + quantity.FormatValue(e.Interval[1], 2, e.Unit).String()
	}
	return with(e)
}

func coreClause(r *model.Result, core string) string {
	gain, drop := r.Find(quantities.Key{Name: quantities.CoreGain, Core: core}), r.Find(quantities.Key{Name: quantities.CoreFrequencyDrop, Core: core})
	s := "the core " + core
	switch {
	case gain.Determined && drop.Determined && capacitanceAssumed(r, core):
		return s + fmt.Sprintf(" lowers the bare frequency by %s and multiplies the inductance under it by %s, of whose variance %.0f %% comes from priors", with(drop), with(gain), 100*gain.Budget.Assumed)
	case gain.Determined && drop.Determined:
		return s + fmt.Sprintf(" multiplies the inductance under it by %s and lowers the bare frequency by %s", with(gain), with(drop))
	case gain.Determined:
		return s + fmt.Sprintf(" multiplies the inductance under it by %s", with(gain))
	case drop.Determined:
		return s + fmt.Sprintf(" lowers the bare frequency by %s, but how much of that is inductance the readings leave open", with(drop))
	}
	return "what the core " + core + " does, the readings leave open"
}

// capacitanceAssumed tells whether what core adds in capacitance, and so the gain, is
// known from its prior rather than from readings.
func capacitanceAssumed(r *model.Result, core string) bool {
	gain, c := r.Find(quantities.Key{Name: quantities.CoreGain, Core: core}), r.Find(quantities.Key{Name: quantities.CoreCapacitance, Core: core})
	return gain.Budget.Assumed > 0.5 && !c.Determined
}

// partClauses names the parts that had no value.
func partClauses(r *model.Result) (list []string) {
	for _, p := range r.Parts() {
		if e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: p.Name}); !p.Known && e != nil && e.Determined {
			list = append(list, fmt.Sprintf("the part %s is a capacitance of %s", p.Name, with(e)))
		}
	}
	return list
}

func theTrust(r *model.Result) string {
	q := r.Quality
	var suspect []string
	for i := range r.Readings {
		if r.Readings[i].Flagged {
			suspect = append(suspect, fmt.Sprint(r.Readings[i].Line))
		}
	}
	for _, f := range r.Findings {
		if m := f.Mistake; f.Kind == findings.LikelyMistake && m.Kind == findings.MistakenReading {
			suspect = []string{fmt.Sprint(m.Lines[0])} // it explains the others
		}
	}
	s := ""
	switch {
	case q.DegreesOfFreedom == 0:
		s = "there are as many unknowns as readings, so that nothing tests the model yet"
	case len(suspect) == 1:
		s = fmt.Sprintf("the reading on line %s doesn't go with the others: read it again before believing or dropping it", suspect[0])
	case len(suspect) > 1:
		s = fmt.Sprintf("%d readings don't go with the others, the first on line %s: read them again before believing or dropping them", len(suspect), suspect[0])
	case q.Scale > 1 && q.PValue < 0.05:
		s = fmt.Sprintf("the readings scatter %s times as much as stated, and every ± here is enlarged to match", report.Times(q.Scale))
	case q.Readings == 1:
		s = "there is a single reading, so that nothing tests the model yet"
	default:
		s = fmt.Sprintf("the model describes the %d readings as well as their uncertainties ask", q.Readings)
	}
	if more := whatHelps(r); more != "" {
		s += "; " + more
	}
	return sentence(s)
}

// whatHelps tells the one thing that would sharpen the answer most.
func whatHelps(r *model.Result) string {
	for _, u := range r.Undetermined {
		switch u.What {
		case findings.GapSplit:
			return "a reading with a known capacitor on the top would tell inductance from capacitance"
		case findings.GapSpread:
			return "a reading with a clearly larger capacitor on the top would tell inductance from capacitance"
		case findings.GapCoreAlways:
			return "a reading with the core out would tell the coil from the core"
		}
	}
	l := r.Find(quantities.Key{Name: quantities.EffectiveInductance})
	switch {
	case !l.Determined:
	case l.Budget.Assumed > 0.5 && slices.ContainsFunc(r.Undetermined, func(u findings.Undetermined) bool { return u.What == findings.GapLead }):
		return "a reading with an empty clip on the top would tell what clips and leads bring, on which the effective inductance depends"
	case l.Budget.Tolerance > 0.5:
		return fmt.Sprintf("%.0f %% of what is uncertain in the effective inductance is the tolerance of the capacitors added, so measure one of them before you read more frequencies", 100*l.Budget.Tolerance)
	}
	return ""
}

// sentence makes one of a clause.
func sentence(s string) string {
	if s[0] < utf8.RuneSelf { // but a symbol stays as it is
		s = strings.ToUpper(s[:1]) + s[1:]
	}
	return s + "."
}

// ended puts a full stop behind a clause that begins with the name of a file.
func ended(s string) string {
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
