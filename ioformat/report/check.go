package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
)

// CheckText writes the readings of a log as they were understood.
func CheckText(w io.Writer, log model.Log, src Source) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s, no fault\n", src.Log, howMany(log))
	b.WriteString(src.howRead())
	section(&b, "Readings", "± is one standard uncertainty")
	columns := []Column{right("line"), right("frequency"), left("±"), left(""), left("± from"), left("state")}
	means := anyRepeats(len(log.Readings), func(i int) *model.Reading { return &log.Readings[i] })
	if means {
		columns = slices.Insert(columns, 1, repeatsColumns()...)
	}
	t := newTable(columns...)
	for i := range min(len(log.Readings), MostLines) {
		r := &log.Readings[i]
		f := quantity.Format(r.Frequency, r.Uncertainty, "Hz")
		from := "the log"
		switch {
		case r.Repeats != nil:
			from = "all of them"
		case r.FromDigits:
			from = "digits"
		}
		state := wording.State(r.State, log.Parts)
		if !r.Use {
			state += " (not used)"
		}
		cells := []string{lines(r), f.Value, f.Uncertainty, f.Unit, from, state}
		if means {
			cells = slices.Insert(cells, 1, repeatsCells(r)...)
		}
		t.row(cells...)
	}
	b.WriteString(t.text())
	if left := len(log.Readings) - len(t.Rows); left > 0 {
		fmt.Fprintf(&b, "  and %d more (--json has all)\n", left)
	}
	if len(log.Parts) > 0 {
		section(&b, "Parts", "± is one standard uncertainty: a tolerance is a bound taken as 95 %")
		t := newTable(left(""), right(""), left(""), left(""))
		for _, p := range log.Parts {
			if !p.Known {
				t.row(p.Name, "to be found", "", "")
				continue
			}
			c := quantity.Format(p.Capacitance, p.Uncertainty, "F")
			t.row(p.Name, c.Value, c.Uncertainty, c.Unit)
		}
		b.WriteString(t.text())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

type jsonCheck struct {
	Schema   int                `json:"schema"`
	Log      string             `json:"log"`
	SHA256   string             `json:"log_sha256,omitempty"`
	Readings []jsonCheckReading `json:"readings"`
	Parts    []jsonPart         `json:"parts"`
	Warnings []string           `json:"warnings"`
}

type jsonCheckReading struct {
	Line        int         `json:"line"`
	Frequency   float64     `json:"frequency"`
	Uncertainty float64     `json:"standard_uncertainty"`
	Unit        string      `json:"unit"`
	FromDigits  bool        `json:"uncertainty_from_digits"`
	Parts       []string    `json:"added"`
	Core        string      `json:"core,omitempty"`
	Covered     *[2]float64 `json:"covered,omitempty"`
	Hand        *float64    `json:"hand,omitempty"`
	Used        bool        `json:"used"`

	Repeats *jsonRepeats `json:"repeats,omitempty"`
}

type jsonPart struct {
	Name        string   `json:"name"`
	Capacitance *float64 `json:"capacitance,omitempty"`
	Uncertainty *float64 `json:"standard_uncertainty,omitempty"`
	Unit        string   `json:"unit"`
	Known       bool     `json:"known"`
}

// CheckJSON writes the same as one JSON object, SI throughout.
func CheckJSON(w io.Writer, log model.Log, src Source) error {
	out := jsonCheck{Schema: Schema, Log: src.Log, SHA256: src.SHA256,
		Readings: []jsonCheckReading{}, Parts: []jsonPart{}, Warnings: src.warnings()}
	for i := range log.Readings {
		r := &log.Readings[i]
		j := jsonCheckReading{Line: r.Line, Frequency: r.Frequency, Uncertainty: r.Uncertainty, Unit: "Hz",
			FromDigits: r.FromDigits, Parts: []string{}, Core: r.Core, Hand: number(r.Hand), Used: r.Use, Repeats: repeats(r)}
		for _, p := range r.Parts {
			j.Parts = append(j.Parts, log.Parts[p].Name)
		}
		if r.Core != "" {
			j.Covered = &[2]float64{r.From, r.To}
		}
		out.Readings = append(out.Readings, j)
	}
	for _, p := range log.Parts {
		j := jsonPart{Name: p.Name, Unit: "F", Known: p.Known}
		if p.Known {
			j.Capacitance, j.Uncertainty = number(p.Capacitance), number(p.Uncertainty)
		}
		out.Parts = append(out.Parts, j)
	}
	return writeJSON(w, out)
}
