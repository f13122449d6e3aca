package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// NextText writes which reading to take next, for people to read; at most most
// candidates are listed, and none that leaves what is wanted as it is.
func NextText(w io.Writer, r *model.Result, p decisions.Planned, parts []readings.Part, most int, src Source, v View) error {
	return written(w, v, func(t *text, terse int) {
		measurand := MeasurandText(p.Measurand, parts)
		now := notDetermined
		if p.Now.Determined {
			now = minus(units{picofarads: true}.estimate(&p.Now, p.Now.Uncertainty).Format(p.Now.Value, p.Now.Uncertainty).String())
			if u := PlusMinus(p.Now); strings.HasSuffix(u, "%") {
				now += " (" + u + ")"
			}
		}
		now = "now " + now
		if undermined(r) {
			now = Verdict(r)
		}
		t.heading(fmt.Sprintf("%s: what to do next for %s", src.Log, measurand), now)
		t.warnings(r, src, terse)
		helping := Helping(p.Ranked)
		if len(helping) == 0 {
			t.blank()
			t.line(noHelp(p, p.Tried))
			t.steps("Together, one after the other", p.Greedy, parts, terse)
			return
		}
		most := most
		if terse > 0 {
			most = min(most, 10-2*terse)
		}
		t.each(helping, len(p.Ranked), measurand, parts, most, terse)
		switch {
		case terse == everything:
			t.steps("A plan, one after the other", p.Greedy, parts, terse)
			t.steps("A better set, by exchanging steps", p.Better, parts, terse)
		case len(p.Better) > 0:
			t.steps("The best set found", p.Better, parts, terse)
		default:
			t.steps("A plan, one after the other", p.Greedy, parts, terse)
		}
		t.blank()
		if terse >= 0 {
			t.line("The first " + ReasonText(helping[0].Reason, measurand) + ".")
		}
		for _, note := range candidateNotes(helping[:min(most, len(helping))]) {
			t.line(note)
		}
		t.line("± is one standard uncertainty, as expected.")
	})
}

// each lists what helps alone, with the reason where all is told.
func (t *text) each(helping []decisions.Suggestion, ranked int, measurand string, parts []readings.Part, most, terse int) {
	tab := newTable(left("Each alone"), left("uncertainty"), left(""))
	for _, s := range helping[:min(most, len(helping))] {
		reason := ""
		if terse == everything {
			reason = ReasonText(s.Reason, measurand)
		}
		tab.row(CandidateText(s.Candidate, parts), GainText(s), reason)
	}
	t.blank()
	t.outdented(tab)
	var left []string
	if more := len(helping) - most; more > 0 {
		left = append(left, fmt.Sprintf("%s that %s less", quantity.Count(more, "other"), verb(more, "does", "do")))
	}
	if rest := ranked - len(helping); rest > 0 {
		left = append(left, fmt.Sprintf("%s that %s no visible difference", quantity.Count(rest, "other"), verb(rest, "makes", "make")))
	}
	if len(left) > 0 {
		t.under("not listed: " + strings.Join(left, "; "))
	}
}

// noHelp says that no candidate helps with a measurand.
func noHelp(p decisions.Planned, n int) string {
	none, determines, lowers := fmt.Sprintf("None of the %s tried", quantity.Count(n, "step")), "determines", "lowers"
	if n == 1 {
		none, determines, lowers = "The one step tried", "does not determine", "does not lower"
	}
	more := ""
	switch {
	case len(p.Greedy) == 0:
		none, more = none+" alone", "--how-many 2 tries two together, "
	case p.Greedy[len(p.Greedy)-1].After.Determined && p.Unmet:
		return fmt.Sprintf("%s alone %s it; these together do.", none, determines)
	}
	if p.Unmet {
		return fmt.Sprintf("%s %s it: %sfitcoil fit names what is missing.", none, determines, more)
	}
	return fmt.Sprintf("%s %s its uncertainty by a twentieth: %s--have 10pF,47pF±1%% names other parts.", none, lowers, more)
}

// Helping returns the suggestions that help, in their order.
func Helping(list []decisions.Suggestion) []decisions.Suggestion {
	return slices.DeleteFunc(slices.Clone(list), func(s decisions.Suggestion) bool { return !s.Helps() })
}

func verb(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// candidateNotes says what was assumed of instruments and new parts.
func candidateNotes(list []decisions.Suggestion) (notes []string) {
	for _, k := range []struct {
		kind decisions.CandidateKind
		text string
	}{
		{decisions.ReadNew, "A new capacitor is one that no reading has; its tolerance is a bound taken as 95 %."},
		{decisions.MeasurePart, "A value by meter goes into the next fit as --known 'PART=VALUE±1%'."},
		{decisions.MeasureWinding, "Turns, diameter and length go into a coil sheet, --coil SHEET; the inductance from them is taken as known to 1.2 %: 0.5 % of the diameter, of the length and of the formula."},
	} {
		if slices.ContainsFunc(list, func(s decisions.Suggestion) bool { return s.Kind == k.kind }) {
			notes = append(notes, k.text)
		}
	}
	return notes
}

// CandidateText says what to do.
func CandidateText(c decisions.Candidate, parts []readings.Part) string {
	switch c.Kind {
	case decisions.MeasurePart:
		return fmt.Sprintf("%s measured to ± %s", parts[c.Part].Name, bound(c.Relative))
	case decisions.MeasureWinding:
		return "winding measured: turns, diameter, length"
	case decisions.ReadNew:
		text := "a capacitor of " + quantity.FormatValue(c.New[0], 2, "F").String()
		if c.New[0] != c.New[1] {
			unit := quantity.UnitFor(c.New[1], c.New[1]/10, "F")
			text = fmt.Sprintf("any capacitor of %s to %s %s", plain(unit, c.New[0]), plain(unit, c.New[1]), unit.Symbol)
		}
		text += " ± " + bound(c.Relative)
		if c.State.Core != "" {
			text += ", " + wording.Condition(c.State.Condition())
		}
		return text
	}
	return wording.State(c.State, parts)
}

// plain writes a preferred value in unit u, without zeros behind the point.
func plain(u quantity.Unit, farad float64) string {
	return quantity.Decimals(math.Round(u.FromSI(farad)*1e3)/1e3, -1)
}

// bound writes a relative standard uncertainty as the tolerance that it stands for.
func bound(relative float64) string {
	return quantity.Decimals(math.Round(relative/benchlog.BoundToStandard*1e4)/1e2, -1) + " %"
}

// steps lists what to do one after the other.
func (t *text) steps(title string, list []decisions.Suggestion, parts []readings.Part, terse int) {
	if len(list) == 0 || !list[len(list)-1].Helps() {
		return
	}
	tab := newTable(right(""), left(""), left(""))
	most := len(list)
	if terse >= 0 {
		most = min(most, 12-2*terse)
	}
	for i, s := range list {
		if i < most-1 || i == len(list)-1 || most == len(list) {
			tab.row(fmt.Sprint(i+1), CandidateText(s.Candidate, parts), GainText(s))
		} else if i == most-1 {
			tab.row("…", "", "")
		}
	}
	t.section(title, "")
	t.table(tab)
}

// GainText says what a reading does to the uncertainty, in numbers.
func GainText(s decisions.Suggestion) string {
	switch {
	case !s.After.Determined:
		return "still not determined"
	case !s.Before.Determined:
		return "not determined → " + PlusMinus(s.After)
	}
	return PlusMinus(s.Before) + " → " + PlusMinus(s.After)
}

// MeasurandText names what further readings should make better known.
func MeasurandText(w decisions.Measurand, parts []readings.Part) string {
	name := strings.ReplaceAll(w.Name, "_", " ")
	switch {
	case w.Name == "frequency":
		return "the frequency of " + wording.State(w.State, parts)
	case w.Core != "":
		return "the " + name + " of " + w.Core
	case w.Part != "":
		return "the capacitance of " + w.Part
	case w.Hand > 0:
		return "the " + name + " at " + wording.Distance(w.Hand)
	}
	return "the " + name
}

// reasons say why a candidate helps with a quantity, %s.
var reasons = [...]string{
	decisions.ReasonSplits:      "separates inductance and capacitance",
	decisions.ReasonRange:       "has more on the top than any reading so far",
	decisions.ReasonNewPart:     "brings a new part, whose error is independent of the others",
	decisions.ReasonCombination: "is a combination not measured yet",
	decisions.ReasonRepeat:      "averages the scatter of a state already read",
	decisions.ReasonMissing:     "adds what no reading has yet",
	decisions.ReasonTolerance:   "replaces tolerances by a measured value",
	decisions.ReasonClip:        "separates clips and leads from the parts",
	decisions.ReasonMeasured:    "is an independent measurement of the inductance",
	decisions.ReasonDirect:      "is %s itself",
}

// ReasonText says why a candidate helps with a quantity, which MeasurandText names.
func ReasonText(r decisions.Reason, measurand string) string {
	return strings.ReplaceAll(cmp.Or(reasons[r], "adds no information on %s"), "%s", measurand)
}

type jsonNext struct {
	jsonHead
	For    string           `json:"for"`
	Now    jsonEstimate     `json:"now"`
	Ranked []jsonSuggestion `json:"candidates"`
	Greedy []jsonSuggestion `json:"plan"`
	Better []jsonSuggestion `json:"exchanged_plan"`
	Unmet  bool             `json:"still_undetermined"`
	jsonTold
}

type jsonSuggestion struct {
	Kind      string      `json:"kind"`
	What      string      `json:"what"`
	State     jsonState   `json:"state"`
	New       *[2]float64 `json:"new_capacitor,omitempty"`
	Part      string      `json:"part,omitempty"`
	Tolerance *float64    `json:"tolerance,omitempty"`
	Helps     bool        `json:"helps"`

	Before jsonEstimate `json:"before"`
	After  jsonEstimate `json:"after"`
	Reason string       `json:"reason"`
}

// NextJSON writes the same as one JSON object, SI throughout, all candidates
// listed.
func NextJSON(w io.Writer, r *model.Result, p decisions.Planned, parts []readings.Part, src Source) error {
	measurand := MeasurandText(p.Measurand, parts)
	suggested := func(s *decisions.Suggestion) jsonSuggestion {
		j := jsonSuggestion{What: CandidateText(s.Candidate, parts), State: state(s.State, parts), Helps: s.Helps(),
			Before: estimate(&s.Before), After: estimate(&s.After), Reason: ReasonText(s.Reason, measurand)}
		j.Kind = [...]string{"reading", "reading with a new capacitor", "part at a meter", "winding by calliper"}[s.Kind]
		switch s.Kind {
		case decisions.ReadNew:
			j.New = &s.New
		case decisions.MeasurePart:
			j.Part = parts[s.Part].Name
		}
		if s.Kind != decisions.ReadState {
			t := s.Relative / benchlog.BoundToStandard
			j.Tolerance = &t
		}
		return j
	}
	return writeJSON(w, jsonNext{head(src), measurand, estimate(&p.Now),
		each(p.Ranked, suggested), each(p.Greedy, suggested), each(p.Better, suggested), p.Unmet, src.told(r)})
}

// expected is an estimate without a budget: nobody has read it yet.
func expected(e *quantities.Estimate) jsonEstimate {
	j := estimate(e)
	j.Budget = nil
	return j
}
