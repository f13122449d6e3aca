package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// CompareText writes what moved between two sessions, for people to read.
func CompareText(w io.Writer, c model.Comparison, a, b Source) error {
	var out strings.Builder
	fmt.Fprintf(&out, "A: %s\nB: %s\n", a.Log, b.Log)
	out.WriteString(Source{Warnings: slices.Concat(a.Warnings, b.Warnings)}.howRead())
	for _, words := range comparedWords(c) {
		out.WriteString(words + "\n")
	}
	changes := slices.Clone(c.Changes)
	slices.SortStableFunc(changes, func(a, b model.Change) int { return place(&a.A) - place(&b.A) })
	section(&out, "What moved", "by more than chance explains, all of them taken together: Holm's test at 5 %")
	out.WriteString(changeTable(changes, func(c *model.Change) bool { return c.Moved }))
	if slices.ContainsFunc(changes, mayHaveMoved) {
		section(&out, "What may have moved", "outside its own 95 % interval, as about one in twenty is by chance")
		out.WriteString(changeTable(changes, func(c *model.Change) bool { return mayHaveMoved(*c) }))
	}
	section(&out, "What did not", "as far as the readings can tell")
	out.WriteString(changeTable(changes, func(c *model.Change) bool { return !c.Moved && !c.Alone }))
	_, err := io.WriteString(w, out.String())
	return err
}

func mayHaveMoved(c model.Change) bool { return c.Alone && !c.Moved }

// comparedWords says how much is compared, and what is not.
func comparedWords(c model.Comparison) (words []string) {
	without := ""
	switch {
	case !c.SplitA && !c.SplitB:
		without = "neither session tells"
	case !c.SplitA:
		without = "A does not tell"
	case !c.SplitB:
		without = "B does not tell"
	}
	if without != "" {
		words = append(words, without+" inductance and capacitance apart: of the coil itself, only L × C and what follows from frequencies compare")
	}
	if c.Tested > 0 {
		words = append(words, fmt.Sprintf("%s tested; at 95 %% each, about %.2g would seem to move by chance", count(c.Tested, "difference"), float64(c.Tested)/20))
	}
	return words
}

// place sorts the coil first, as fit does.
func place(e *model.Estimate) int {
	if e.Core != "" || e.Part != "" || e.Hand > 0 {
		return math.MaxInt32
	}
	return rank(e.Name)
}

func changeTable(changes []model.Change, belongs func(*model.Change) bool) string {
	t := newTable(left(""), right("A"), right("B"), left(""), right("B - A"), left("±"), right("sigmas"))
	n := 0
	for i := range changes {
		c := &changes[i]
		if !belongs(c) {
			continue
		}
		n++
		d := &c.Difference
		name := label(&c.A)
		if c.A.Core != "" {
			name = "core " + c.A.Core + ", " + name
		}
		if !d.Determined {
			unit := changeUnit(c)
			t.row(name, changeSide(&c.A, unit), changeSide(&c.B, unit), unit.Symbol, "", "", "")
			continue
		}
		u := quantity.UnitFor(c.A.Value, d.Uncertainty, baseUnit(d.Unit))
		diff := plainly(u, d.Value, d.Uncertainty)
		t.row(name, plainly(u, c.A.Value, d.Uncertainty).Value, plainly(u, c.B.Value, d.Uncertainty).Value, u.Symbol,
			diff.Value, diff.Uncertainty, sigmas(c.Sigmas))
	}
	if n == 0 {
		return "  nothing\n"
	}
	return t.text()
}

// plainly is Unit.Format without powers of ten, as a column of numbers reads best.
func plainly(u quantity.Unit, value, uncertainty float64) quantity.Text {
	v, s := u.FromSI(value), u.FromSI(uncertainty)
	if !(s > 1e-9 && s < 0.1 && math.Abs(v) < 1e9) {
		return u.Format(value, uncertainty)
	}
	places := 1 - int(math.Floor(math.Log10(s)))
	if math.Round(s*math.Pow10(places)) >= 100 { // 0.0996 is 0.10
		places--
	}
	write := func(x float64) string { return strings.TrimPrefix(fmt.Sprintf("%+.*f", places, x), "+") }
	out := quantity.Text{Value: write(v), Uncertainty: write(s), Unit: u.Symbol}
	if strings.Trim(out.Value, "-0.") == "" {
		out.Value = strings.TrimPrefix(out.Value, "-")
	}
	return out
}

// sigmas writes a difference in standard uncertainties; there is none to divide
// by where a session is compared with itself.
func sigmas(s float64) string {
	if math.IsNaN(s) || math.IsInf(s, 0) {
		return "-"
	}
	if math.Abs(s) < 0.05 {
		return "0.0"
	}
	return fmt.Sprintf("%+.1f", s)
}

// changeUnit is the unit of a row whose difference has no number.
func changeUnit(c *model.Change) quantity.Unit {
	for _, e := range []*model.Estimate{&c.A, &c.B} {
		if e.Determined {
			return quantity.UnitFor(e.Value, width(e), baseUnit(e.Unit))
		}
	}
	return quantity.Unit{}
}

// changeSide writes one session's value in such a row.
func changeSide(e *model.Estimate, u quantity.Unit) string {
	if !e.Determined {
		return quantity.Undetermined
	}
	return u.Format(e.Value, width(e)).Value
}

// width is the standard uncertainty of an estimate, or what stands for it at a bound.
func width(e *model.Estimate) float64 {
	if e.Bound != fit.Free {
		return (e.Interval[1] - e.Interval[0]) / 4
	}
	return e.Uncertainty
}

type jsonComparison struct {
	Schema  int          `json:"schema"`
	A       jsonSide     `json:"a"`
	B       jsonSide     `json:"b"`
	Changes []jsonChange `json:"changes"`
	Tested  int          `json:"tested"`
	SplitA  bool         `json:"a_inductance_apart"`
	SplitB  bool         `json:"b_inductance_apart"`

	Warnings []string `json:"warnings"`
}

type jsonSide struct {
	Log    string `json:"log"`
	SHA256 string `json:"log_sha256,omitempty"`
}

type jsonChange struct {
	Name       string       `json:"name"`
	A          jsonEstimate `json:"a"`
	B          jsonEstimate `json:"b"`
	Difference jsonEstimate `json:"difference"`
	Sigmas     *float64     `json:"sigmas,omitempty"`
	Chance     *float64     `json:"p_value,omitempty"`
	Moved      bool         `json:"moved"`
	Alone      bool         `json:"outside_interval"`
}

// CompareJSON writes the same as one JSON object, SI throughout.
func CompareJSON(w io.Writer, compared model.Comparison, a, b Source) error {
	out := jsonComparison{Schema: Schema, A: jsonSide{a.Log, a.SHA256}, B: jsonSide{b.Log, b.SHA256}, Changes: []jsonChange{},
		Tested: compared.Tested, SplitA: compared.SplitA, SplitB: compared.SplitB,
		Warnings: append(a.warnings(), b.Warnings...)}
	for i := range compared.Changes {
		c := &compared.Changes[i]
		out.Changes = append(out.Changes, jsonChange{c.A.Name, estimate(&c.A), estimate(&c.B), expected(&c.Difference), number(c.Sigmas), number(c.Chance), c.Moved, c.Alone})
	}
	return writeJSON(w, out)
}
