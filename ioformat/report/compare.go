package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// CompareText writes what moved between two sessions, for people to read.
func CompareText(w io.Writer, changes []model.Change, a, b Source) error {
	var out strings.Builder
	fmt.Fprintf(&out, "A: %s\nB: %s\n", a.Log, b.Log)
	out.WriteString(Source{Warnings: slices.Concat(a.Warnings, b.Warnings)}.howRead())
	changes = slices.Clone(changes)
	slices.SortStableFunc(changes, func(a, b model.Change) int { return place(&a.A) - place(&b.A) })
	section(&out, "What moved", "by more than chance explains, at 95 %")
	out.WriteString(changeTable(changes, true))
	section(&out, "What did not", "as far as the readings can tell")
	out.WriteString(changeTable(changes, false))
	_, err := io.WriteString(w, out.String())
	return err
}

// place sorts the coil first, as fit does.
func place(e *model.Estimate) int {
	if e.Core != "" || e.Part != "" || e.Hand > 0 {
		return math.MaxInt32
	}
	return rank(e.Name)
}

func changeTable(changes []model.Change, moved bool) string {
	t := newTable(left(""), right("A"), right("B"), left(""), right("B - A"), left("±"), right("sigmas"))
	n := 0
	for i := range changes {
		c := &changes[i]
		if c.Moved != moved {
			continue
		}
		n++
		d := &c.Difference
		name := label(&c.A)
		if c.A.Core != "" {
			name = "core " + c.A.Core + ", " + name
		}
		if !d.Determined {
			t.row(name, undetermined(&c.A), undetermined(&c.B), "", "", "", "")
			continue
		}
		u := quantity.UnitFor(c.A.Value, d.Uncertainty, baseUnit(d.Unit))
		diff := u.Format(d.Value, d.Uncertainty)
		t.row(name, u.Format(c.A.Value, d.Uncertainty).Value, u.Format(c.B.Value, d.Uncertainty).Value, u.Symbol,
			diff.Value, diff.Uncertainty, sigmas(c.Sigmas))
	}
	if n == 0 {
		return "  nothing\n"
	}
	return t.text()
}

// sigmas writes a difference in standard uncertainties; there is none to divide
// by where a session is compared with itself.
func sigmas(s float64) string {
	if math.IsNaN(s) || math.IsInf(s, 0) {
		return "-"
	}
	return fmt.Sprintf("%+.1f", s)
}

func undetermined(e *model.Estimate) string {
	if !e.Determined {
		return quantity.Undetermined
	}
	return quantity.Format(e.Value, e.Uncertainty, baseUnit(e.Unit)).String()
}

type jsonComparison struct {
	Schema  int          `json:"schema"`
	A       jsonSide     `json:"a"`
	B       jsonSide     `json:"b"`
	Changes []jsonChange `json:"changes"`

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
	Moved      bool         `json:"moved"`
}

// CompareJSON writes the same as one JSON object, SI throughout.
func CompareJSON(w io.Writer, changes []model.Change, a, b Source) error {
	out := jsonComparison{Schema: Schema, A: jsonSide{a.Log, a.SHA256}, B: jsonSide{b.Log, b.SHA256}, Changes: []jsonChange{},
		Warnings: append(a.warnings(), b.Warnings...)}
	for i := range changes {
		c := &changes[i]
		out.Changes = append(out.Changes, jsonChange{c.A.Name, estimate(&c.A), estimate(&c.B), expected(&c.Difference), number(c.Sigmas), c.Moved})
	}
	return writeJSON(w, out)
}
