package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// NextText writes which reading to take next, for people to read; at most most
// candidates are listed.
func NextText(w io.Writer, p model.Planned, parts []model.Part, most int, src Source) error {
	var b strings.Builder
	wish := WishText(p.Wish, parts)
	fmt.Fprintf(&b, "%s: what to read next for %s\n", src.Log, wish)
	b.WriteString(src.howRead())
	if len(p.Ranked) == 0 {
		b.WriteString("\n  there is no candidate: name parts with --have 2.2pF,10pF\n")
		_, err := io.WriteString(w, b.String())
		return err
	}
	if now := p.Ranked[0].Before; now.Determined {
		fmt.Fprintf(&b, "now: %s (± %s)\n", quantity.Format(now.Value, now.Uncertainty, baseUnit(now.Unit)), percent(now))
	} else {
		b.WriteString("now: undetermined\n")
	}
	if p.Unmet {
		b.WriteString("no single candidate determines it; the nearest come first\n")
	}
	section(&b, "Candidates, each alone", "")
	t := newTable(left(""), left(""), left(""))
	for i, s := range p.Ranked {
		if i == most {
			break
		}
		t.row(wording.State(s.State, parts), GainText(s), ReasonText(s.Reason, wish))
	}
	b.WriteString(t.text())
	if best := p.Ranked[0]; best.Before.Determined && best.Reason == model.ReasonNothing {
		b.WriteString("  none of these helps; name other parts that could be put on the top, as --have 10pF,47pF\n")
		_, err := io.WriteString(w, b.String())
		return err
	}
	if more := len(p.Ranked) - most; more > 0 {
		fmt.Fprintf(&b, "  and %s less useful\n", count(more, "candidate"))
	}
	plan(&b, "A plan, one after the other", p.Greedy, parts)
	plan(&b, "A better set, by exchanging readings", p.Better, parts)
	_, err := io.WriteString(w, b.String())
	return err
}

func plan(b *strings.Builder, title string, list []model.Suggestion, parts []model.Part) {
	if len(list) == 0 {
		return
	}
	section(b, title, "")
	t := newTable(right(""), left(""), left(""))
	for i, s := range list {
		t.row(fmt.Sprint(i+1), wording.State(s.State, parts), GainText(s))
	}
	b.WriteString(t.text())
}

// GainText says what a reading does to the uncertainty, in numbers.
func GainText(s model.Suggestion) string {
	switch {
	case !s.After.Determined:
		return "still undetermined"
	case !s.Before.Determined:
		return "undetermined → ± " + percent(s.After)
	}
	return fmt.Sprintf("± %s → ± %s", percent(s.Before), percent(s.After))
}

func percent(e model.Estimate) string {
	return quantity.FormatValue(e.Uncertainty/math.Abs(e.Value), 2, "%").String()
}

// WishText names what further readings should make better known.
func WishText(w model.Wish, parts []model.Part) string {
	name := strings.ReplaceAll(w.Name, "_", " ")
	switch {
	case w.Name == "frequency":
		return "the frequency of " + wording.State(w.State, parts)
	case w.Core != "":
		return "the " + name + " of " + w.Core
	case w.Part != "":
		return "the capacitance of " + w.Part
	case !math.IsInf(w.State.Hand, 1):
		return "the " + name + " at " + Distance(w.State.Hand)
	}
	return "the " + name
}

// ReasonText says why a reading helps with a wish, which WishText names.
func ReasonText(r model.Reason, wish string) string {
	switch r {
	case model.ReasonSplits:
		return "it tells inductance from capacitance"
	case model.ReasonRange:
		return "it has more on the top than any reading so far"
	case model.ReasonNewPart:
		return "its part is new, so its error is independent of the others"
	case model.ReasonCombination:
		return "it is a combination not read yet"
	case model.ReasonRepeat:
		return "it averages the scatter of a state already read"
	case model.ReasonDirect:
		return "it is " + wish + " itself"
	case model.ReasonMissing:
		return "it brings in what no reading has yet"
	}
	return "it tells nothing new of " + wish
}

type jsonNext struct {
	Schema int              `json:"schema"`
	Log    string           `json:"log"`
	SHA256 string           `json:"log_sha256,omitempty"`
	For    string           `json:"for"`
	Now    *jsonEstimate    `json:"now,omitempty"`
	Ranked []jsonSuggestion `json:"candidates"`
	Greedy []jsonSuggestion `json:"plan"`
	Better []jsonSuggestion `json:"exchanged_plan"`
	Unmet  bool             `json:"still_undetermined"`

	Warnings []string `json:"warnings"`
}

type jsonSuggestion struct {
	State  jsonState    `json:"state"`
	Before jsonEstimate `json:"before"`
	After  jsonEstimate `json:"after"`
	Reason string       `json:"reason"`
}

// NextJSON writes the same as one JSON object, SI throughout, all candidates
// listed.
func NextJSON(w io.Writer, p model.Planned, parts []model.Part, src Source) error {
	wish := WishText(p.Wish, parts)
	list := func(in []model.Suggestion) []jsonSuggestion {
		out := []jsonSuggestion{}
		for i := range in {
			s := &in[i]
			out = append(out, jsonSuggestion{state(s.State, parts), expected(&s.Before), expected(&s.After), ReasonText(s.Reason, wish)})
		}
		return out
	}
	out := jsonNext{Schema: Schema, Log: src.Log, SHA256: src.SHA256, For: wish, Unmet: p.Unmet,
		Ranked: list(p.Ranked), Greedy: list(p.Greedy), Better: list(p.Better), Warnings: src.warnings()}
	if len(p.Ranked) > 0 {
		now := expected(&p.Ranked[0].Before)
		out.Now = &now
	}
	return writeJSON(w, out)
}

// expected is an estimate without a budget: nobody has read it yet.
func expected(e *model.Estimate) jsonEstimate {
	j := estimate(e)
	j.Budget = nil
	return j
}
