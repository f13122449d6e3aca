package report

import (
	"slices"

	"fitcoil/model"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
)

// warnings tells, before any number, what changes them, and whether anything does.
func (t *text) warnings(r *model.Result, src Source, terse int) bool {
	var doubts, warnings, scatter []string
	for _, f := range r.Findings {
		switch {
		case f.Undermines():
			doubts = append(doubts, Sentence(f))
		case f.Kind == findings.ScatterExceeds && Warns(f) && terse != everything: // the verdict says the rest
			if f.Repeats.Explain() {
				scatter = append(scatter, repeatsScatter(f.Repeats))
			} else {
				scatter = append(scatter, scatterRemedy)
			}
		case f.Kind == findings.AtBound && terse != everything && isDetail(f.Name): // no number of it is below
		case Warns(f):
			warnings = append(warnings, Warning(r, f))
		}
	}
	warnings = slices.Concat(warnings, scatter, src.Warnings)
	t.doubts(doubts, warnings, terse)
	return len(doubts)+len(warnings) > 0
}

// warningsOf tells the same of several sessions, each under its name, and whether
// there was a contradiction, or anything to tell.
func (t *text) warningsOf(names []string, r []*model.Result, src []Source, terse int) (doubtful, any bool) {
	var doubts, warnings []string
	for i, name := range names {
		for _, f := range r[i].Findings {
			if f.Undermines() {
				doubts = append(doubts, name+": "+Sentence(f))
			}
		}
		warnings = append(warnings, src[i].Warnings...)
	}
	t.doubts(doubts, warnings, terse)
	return len(doubts) > 0, len(doubts)+len(warnings) > 0
}

// doubts writes what contradicts, and other warnings.
func (t *text) doubts(doubts, warnings []string, terse int) {
	if len(doubts) > 0 {
		t.section("Contradiction: no number below is to be trusted until it is resolved", "")
		if terse > 1 { // one list, doubts first
			doubts, warnings = append(doubts, warnings...), nil
		}
		t.bullets(doubts, terse)
	}
	if len(warnings) > 0 {
		t.section("Warnings", "")
		t.bullets(warnings, terse)
	}
}

// Warning is the sentence of a finding, and what leaving its reading out would do.
func Warning(r *model.Result, f findings.Finding) string {
	s := Sentence(f)
	if w := Without(r, f.Line); w != "" {
		s += "; " + w
	}
	return s
}

// isDetail tells whether a quantity stands in the answer in full alone.
func isDetail(name string) bool {
	switch name {
	case quantities.WindingCapacitance, quantities.TopCapacitance, quantities.HandStrength, quantities.HandOffset, quantities.HandExponent, quantities.Drift:
		return true
	}
	return false
}

// Warns tells whether a finding, beside those that undermine all, changes how the
// numbers are to be read.
func Warns(f findings.Finding) bool {
	switch f.Kind {
	case findings.ReadingSuspect, findings.ReadingForgotten, findings.ReadingDecisive, findings.AtBound, findings.NeighboursAlike, findings.RunOrderTrend,
		findings.ReadingApart, findings.ReadingsWander, findings.Drifts:
		return true
	case findings.ScatterExceeds: // else the first line says it all
		return f.Robust || f.Repeats.Explain()
	}
	return false
}

// noted tells whether a finding is a note: no warning, and not in the first line.
func noted(f findings.Finding) bool {
	return !f.Undermines() && !Warns(f) && f.Kind != findings.NothingToTest && f.Kind != findings.ScatterExceeds
}

// bullets writes the first of list, the fewer and the shorter the terser.
func (t *text) bullets(list []string, terse int) {
	most := max(1, mostTerse-terse)
	for i, s := range list {
		switch {
		case terse == everything:
			t.bullet(s)
		case i == most:
			t.more(len(list) - most)
			return
		default:
			t.cut("  - ", s, most+1)
		}
	}
}
