package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// contribution is what brings a part of a variance.
type contribution struct {
	share float64
	what  string
}

// limitsOf lists what brings the variance of e, the largest first: readings and
// tolerances each as one, known values and priors by name.
func limitsOf(r *model.Result, e *quantities.Estimate) (list []contribution) {
	tolerances, readings := contribution{what: "tolerances of the capacitors"}, contribution{what: "uncertainty of the readings"}
	for i := range r.Assumed {
		switch a := &r.Assumed[i]; a.Kind {
		case estimation.AssumedTolerance:
			tolerances.what += fmt.Sprintf(", %s %% assumed", quantity.Digits(100*a.Spread/benchlog.BoundToStandard, 2))
		case estimation.AssumedDigits:
			readings.what += ", from their digits"
		}
	}
	if q := r.Quality; q.PartScale >= leastTold {
		tolerances.what += fmt.Sprintf(", multiplied by %s for the parts' errors", scaleText(q.PartScale))
	}
	for _, s := range r.Sources(e) {
		switch s.Kind {
		case estimation.PartSource, estimation.CommonSource:
			tolerances.share += s.Share
		case estimation.KnownSource:
			list = append(list, contribution{s.Share, knownSource(r, s.Known)})
		case estimation.EarlierSource:
			list = append(list, contribution{s.Share, wording.Source(&s)})
		case estimation.AssumptionSource:
			what, value, _ := assumption(&s.Assumption)
			list = append(list, contribution{s.Share, what + ", prior " + value})
		case estimation.ModelSource:
			list = append(list, contribution{s.Share, "model of a partly covered winding"})
		case estimation.LawSource:
			list = append(list, contribution{s.Share, "what a hand's law errs by at a distance"})
		default:
			readings.share += s.Share
		}
	}
	list = append(list, tolerances, readings)
	stable.Sort(list, func(a, b contribution) int { return cmp.Compare(b.share, a.share) })
	return list
}

// knownSource says where a known value comes from: from the drawing, unless somebody
// stated it.
func knownSource(r *model.Result, key quantities.Key) string {
	stated := func(k quantities.Known) bool { return k.Key == key }
	return knownName(key, r.Session.Drawn != nil && !slices.ContainsFunc(r.Session.Known, stated))
}

// knownName names a known value by who knows it.
func knownName(key quantities.Key, drawn bool) string {
	if drawn {
		return wording.Key(key) + " computed from the drawing"
	}
	return "known value of " + wording.Key(key)
}

// matters is the share of a variance that is worth a word in the answer, and enough
// how much of it is named in all.
const (
	matters = 0.1
	enough  = 0.75
)

// leastTold is the factor on tolerances from which the short answer tells of it: below, it
// changes no ± that is printed with two digits by much.
const leastTold = 1.05

// limits names what brings most of the variance of the inductance.
func (t *text) limits(r *model.Result, terse int) {
	if l := r.Find(quantities.Key{Name: quantities.EffectiveInductance}); l.Determined {
		t.largest(limitsOf(r, l), "the inductance", 7-terse)
	}
}

// budget names what brings most of the variance of another quantity, by kind.
func (t *text) budget(e *quantities.Estimate, of string) {
	b := e.Budget
	list := []contribution{{b.Tolerance, "tolerances of the capacitors"}, {b.Readings, "uncertainty of the readings"},
		{b.Known, "known values"}, {b.Assumed, "priors"}, {b.Model, "the model"}}
	stable.Sort(list, func(a, b contribution) int { return cmp.Compare(b.share, a.share) })
	t.largest(list, of, 0)
}

// largest names the first of list that together bring most of a variance, on at most so many
// lines, or all that it takes if most is below one.
func (t *text) largest(list []contribution, of string, most int) {
	var words []string
	named := 0.0
	for _, c := range list {
		if len(words) == 3 || named >= enough || !(c.share >= matters) {
			break
		}
		named += c.share
		share := ":\u00a0" + nobreak(quantity.Decimals(100*c.share, 0)+" %")
		if len(words) == 0 {
			share += " of the variance of " + of
		}
		words = append(words, c.what+share)
	}
	if len(words) > 0 {
		t.cutPoint("Limited by", strings.Join(words, "; "), most)
	}
}

// apart is from how many standard uncertainties on a drawing and the readings are
// told to differ.
const apart = 2

// drawing tells where the readings and a drawing differ.
func (t *text) drawing(r *model.Result, terse int) {
	if len(r.Checks) == 0 {
		return
	}
	var list []string
	for i := range r.Checks {
		if c := &r.Checks[i]; math.Abs(c.Sigmas) >= apart {
			list = append(list, fmt.Sprintf("%s as measured %s against the drawing (%s)", drawnLabel(&c.Drawn),
				nobreak(change(c.Readings.Value/c.Drawn.Value)), nobreak(fmt.Sprintf("%s σ", quantity.Decimals(math.Abs(c.Sigmas), 1)))))
		}
	}
	if len(list) == 0 {
		list = append(list, "consistent with the readings")
	}
	t.cutPoint("Drawing", strings.Join(list, "; "), max(1, 3-terse))
}

// openQuestions lists the gaps that matter to a reader: what clips and leads bring, and
// a drift, are always open without readings of their own, and count only where they
// bring a part of the inductance's variance.
func openQuestions(r *model.Result) (list []findings.Undetermined) {
	share := map[estimation.AssumptionKind]float64{}
	for _, s := range r.Sources(r.Find(quantities.Key{Name: quantities.EffectiveInductance})) {
		if s.Kind == estimation.AssumptionSource {
			share[s.Assumption.Kind] = s.Share
		}
	}
	for _, u := range r.Undetermined {
		switch {
		case u.What == findings.GapLead && !(share[estimation.AssumedLead] >= matters), u.What == findings.GapDrift && !(share[estimation.AssumedDrift] >= matters):
			continue
		}
		list = append(list, u)
	}
	return list
}

// open names what the readings leave open, and, where there is room, how to close it.
func (t *text) open(r *model.Result, terse int) {
	var list []findings.Undetermined
	for _, u := range openQuestions(r) {
		switch {
		case u.What == findings.GapLead || u.What == findings.GapDrift: // told as limits
		case u.What == findings.GapShape && (len(list) > 0 || r.Find(quantities.Key{Name: quantities.EffectiveInductance}).Determined): // a detail
		case !slices.ContainsFunc(u.Names, func(name string) bool { return !isDetail(name) }) && u.What == findings.GapScatter:
		default:
			list = append(list, u)
		}
	}
	label, most, said := "Not determined", max(1, 3-terse), ""
	for i, u := range list {
		if i == most {
			t.point("and", fmt.Sprintf("%d more: --full", len(list)-most))
			return
		}
		what, _ := gap(u)
		if remedy := remedies[u.Advice]; terse < 2 && remedy != said {
			what += ": " + remedyOf(u)
			said = remedy
		}
		t.cutPoint(label, what, max(1, mostTerse-terse))
		label = "and"
	}
}

// next says what to do for the inductance, or first against a contradiction.
func (t *text) next(r *model.Result, plan decisions.Planned, parts []readings.Part) {
	s := step(plan, "inductance", parts, len(r.Cores()) > 0)
	if i := slices.IndexFunc(r.Findings, findings.Finding.Undermines); i >= 0 {
		s = resolution(r.Findings[i])
	}
	switch {
	case s != "":
	case plan.Tried == 0:
		s = "fitcoil next LOG --for L ranks what could be done for the inductance"
	case !plan.Now.Determined:
		s = "no single step determines the inductance"
	default:
		s = "no single step lowers the uncertainty of the inductance by a twentieth; fitcoil next LOG --for gain (or hand, frequency@STATE) ranks steps for others"
	}
	t.cutPoint("Next", s, 3)
}

// resolution says what to do about a contradiction before all else.
func resolution(f findings.Finding) string {
	switch f.Kind {
	case findings.EarlierContradicts:
		return "resolve the contradiction first: fitcoil compare tells what moved between the two logs"
	case findings.LikelyMistake:
		return "resolve the contradiction first: read " + wording.Lines(f.Mistake.Lines) + " again, or correct what was written"
	case findings.FitsNoCoil:
		return "resolve the contradiction first: compare what is written with the notes of the bench, row by row"
	case findings.CapacitanceBelowZero:
		return "resolve the contradiction first: " + remedies[findings.CheckParts]
	case findings.PartOffTolerance:
		return fmt.Sprintf("resolve the contradiction first: measure part %q at a meter, and check its rows", f.Name)
	case findings.KnownContradicts:
		if f.Drawn {
			return "resolve the contradiction first: check the rows of the coil sheet, then the largest residuals (--full)"
		}
		return "resolve the contradiction first: check the " + knownName(quantities.Key{Name: f.Name, Core: f.Core}, false) + ", then the largest residuals (--full)"
	case findings.Implausible:
		return "check the units in the header of the log"
	}
	return "resolve the contradiction first: measure the parts at a meter, and look at the largest residuals (--full)"
}

// step is the best that could be done, with what it would give; "" for nothing that
// helps.
func step(p decisions.Planned, what string, parts []readings.Part, cores bool) string {
	helping := Helping(p.Ranked)
	if len(helping) == 0 {
		return ""
	}
	s := helping[0]
	text := fmt.Sprintf("%s: %s to %s", action(s.Candidate, parts, cores), what, nobreak(PlusMinus(s.After)))
	if s.Before.Determined {
		text += fmt.Sprintf(" (now %s)", nobreak(PlusMinus(s.Before)))
	}
	return text
}

// action says what to do as an instruction; where there are cores, also that none is in.
func action(c decisions.Candidate, parts []readings.Part, cores bool) string {
	text := CandidateText(c, parts)
	if cores && c.State.Core == "" {
		text += ", core out"
	}
	switch c.Kind {
	case decisions.MeasurePart:
		return fmt.Sprintf("measure part %s at a meter to ± %s", parts[c.Part].Name, bound(c.Relative))
	case decisions.MeasureWinding:
		return "measure turns, diameter and length of the winding for a coil sheet"
	case decisions.ReadNew:
		return "read with " + text
	}
	return "read " + text
}
