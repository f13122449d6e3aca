package report

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// NextText writes which reading to take next, for people to read; at most most
// candidates are listed, and none that leaves what is wished about as it is.
func NextText(w io.Writer, p model.Planned, parts []model.Part, most int, src Source) error {
	var b strings.Builder
	wish := WishText(p.Wish, parts)
	fmt.Fprintf(&b, "%s: what to do next for %s\n", src.Log, wish)
	b.WriteString(src.howRead())
	if p.Now.Determined {
		fmt.Fprintf(&b, "now: %s (± %s)\n", quantity.Format(p.Now.Value, p.Now.Uncertainty, baseUnit(p.Now.Unit)), percent(p.Now))
	} else {
		b.WriteString("now: not determined by the readings\n")
	}
	helping := Helping(p.Ranked)
	if len(helping) == 0 {
		b.WriteString("\n" + noHelp(p, p.Tried))
		plan(&b, "Together, one after the other", p.Greedy, parts)
		_, err := io.WriteString(w, b.String())
		return err
	}
	section(&b, "Each alone", "± is one standard uncertainty, expected")
	t := newTable(left(""), left(""), left(""))
	for i, s := range helping {
		if i == most {
			break
		}
		t.row(CandidateText(s.Candidate, parts), GainText(s), ReasonText(s.Reason, wish))
	}
	b.WriteString(t.text())
	if more := len(helping) - most; more > 0 {
		fmt.Fprintf(&b, "  and %s that %s less\n", count(more, "other"), verb(more, "does", "do"))
	}
	if rest := len(p.Ranked) - len(helping); rest > 0 {
		fmt.Fprintf(&b, "  left out: %s that %s no visible difference\n", count(rest, "other"), verb(rest, "makes", "make"))
	}
	plan(&b, "A plan, one after the other", p.Greedy, parts)
	plan(&b, "A better set, by exchanging steps", p.Better, parts)
	if notes := candidateNotes(helping[:min(most, len(helping))]); notes != "" {
		b.WriteString("\n" + notes)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// noHelp says that no candidate helps with a wish.
func noHelp(p model.Planned, n int) string {
	alone, more := "", ""
	if len(p.Greedy) == 0 {
		alone, more = " alone", "--how-many 2 tries two together, "
	}
	if p.Unmet {
		return fmt.Sprintf("  none of the %s tried%s determines it: %sfitcoil fit names what is missing\n", count(n, "step"), alone, more)
	}
	return fmt.Sprintf("  none of the %s tried%s lowers its uncertainty by a twentieth: %s--have 10pF,47pF±1%% names other parts\n", count(n, "step"), alone, more)
}

// Helping returns the suggestions that help, in their order.
func Helping(list []model.Suggestion) (out []model.Suggestion) {
	for _, s := range list {
		if s.Helps() {
			out = append(out, s)
		}
	}
	return out
}

func verb(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// candidateNotes says what was assumed of instruments and new parts.
func candidateNotes(list []model.Suggestion) string {
	var b strings.Builder
	kinds := map[model.CandidateKind]bool{}
	for _, s := range list {
		kinds[s.Kind] = true
	}
	for _, k := range []struct {
		kind model.CandidateKind
		text string
	}{
		{model.ReadNew, "A new capacitor is one that no reading has, with its tolerance taken as 95 % bounds."},
		{model.MeasurePart, "What a meter says of a part goes into the next fit as --known 'PART=VALUE±1%'."},
		{model.MeasureWinding, "Turns, diameter and length go into a coil sheet, --coil SHEET; the inductance from\nthem is taken as known to 1.2 %: 0.5 % of the diameter, of the length and of the formula."},
	} {
		if kinds[k.kind] {
			b.WriteString(k.text + "\n")
		}
	}
	return b.String()
}

// CandidateText says what to do.
func CandidateText(c model.Candidate, parts []model.Part) string {
	switch c.Kind {
	case model.MeasurePart:
		return fmt.Sprintf("%s measured to ± %s", parts[c.Part].Name, bound(c.Relative))
	case model.MeasureWinding:
		return "winding measured: turns, diameter, length"
	case model.ReadNew:
		text := quantity.FormatValue(c.New[0], 2, "F").String()
		switch {
		case c.New[0] != c.New[1]:
			unit := quantity.UnitFor(c.New[1], c.New[1]/10, "F")
			text = fmt.Sprintf("any capacitor of %s to %s %s", plain(unit, c.New[0]), plain(unit, c.New[1]), unit.Symbol)
		default:
			text = "a capacitor of " + text
		}
		text += " ± " + bound(c.Relative)
		if c.State.Core != "" {
			text += ", " + wording.Condition(c.State.Condition())
		}
		return text
	}
	return wording.State(c.State, parts)
}

// plain writes a preferred value in unit u, without noughts behind the point.
func plain(u quantity.Unit, farad float64) string {
	return strconv.FormatFloat(math.Round(u.FromSI(farad)*1e3)/1e3, 'f', -1, 64)
}

// bound writes a relative standard uncertainty as the tolerance that it stands for.
func bound(relative float64) string {
	return strconv.FormatFloat(math.Round(relative/benchlog.BoundToStandard*1e4)/1e2, 'f', -1, 64) + " %"
}

func plan(b *strings.Builder, title string, list []model.Suggestion, parts []model.Part) {
	if len(list) == 0 || !list[len(list)-1].Helps() {
		return
	}
	section(b, title, "")
	t := newTable(right(""), left(""), left(""))
	for i, s := range list {
		t.row(fmt.Sprint(i+1), CandidateText(s.Candidate, parts), GainText(s))
	}
	b.WriteString(t.text())
}

// GainText says what a reading does to the uncertainty, in numbers.
func GainText(s model.Suggestion) string {
	switch {
	case !s.After.Determined:
		return "still not determined"
	case !s.Before.Determined:
		return "not determined → ± " + percent(s.After)
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

// ReasonText says why a candidate helps with a wish, which WishText names.
func ReasonText(r model.Reason, wish string) string {
	switch r {
	case model.ReasonSplits:
		return "it separates inductance and capacitance"
	case model.ReasonRange:
		return "it has more on the top than any reading so far"
	case model.ReasonNewPart:
		return "its part is new: its error is independent of the others"
	case model.ReasonCombination:
		return "this combination is in no reading yet"
	case model.ReasonRepeat:
		return "it averages the scatter of a state already read"
	case model.ReasonDirect:
		return "it is " + wish + " itself"
	case model.ReasonMissing:
		return "it brings in what no reading has yet"
	case model.ReasonTolerance:
		return "it replaces tolerances by a measured value"
	case model.ReasonClip:
		return "it tells what clips and leads bring beside the parts"
	case model.ReasonMeasured:
		return "it is a measurement of the inductance by other means"
	}
	return "it adds nothing visible on " + wish
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
func NextJSON(w io.Writer, p model.Planned, parts []model.Part, src Source) error {
	wish := WishText(p.Wish, parts)
	list := func(in []model.Suggestion) []jsonSuggestion {
		out := []jsonSuggestion{}
		for i := range in {
			s := &in[i]
			j := jsonSuggestion{What: CandidateText(s.Candidate, parts), State: state(s.State, parts), Helps: s.Helps(),
				Before: estimate(&s.Before), After: estimate(&s.After), Reason: ReasonText(s.Reason, wish)}
			j.Kind = [...]string{"reading", "reading with a new capacitor", "part at a meter", "winding by calliper"}[s.Kind]
			switch s.Kind {
			case model.ReadNew:
				j.New = &s.New
			case model.MeasurePart:
				j.Part = parts[s.Part].Name
			}
			if s.Kind != model.ReadState {
				t := s.Relative / benchlog.BoundToStandard
				j.Tolerance = &t
			}
			out = append(out, j)
		}
		return out
	}
	now := estimate(&p.Now)
	out := jsonNext{Schema: Schema, Log: src.Log, SHA256: src.SHA256, For: wish, Now: &now, Unmet: p.Unmet,
		Ranked: list(p.Ranked), Greedy: list(p.Greedy), Better: list(p.Better), Warnings: src.warnings()}
	return writeJSON(w, out)
}

// expected is an estimate without a budget: nobody has read it yet.
func expected(e *model.Estimate) jsonEstimate {
	j := estimate(e)
	j.Budget = nil
	return j
}
