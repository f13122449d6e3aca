package report

import (
	"fmt"
	"io"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/readings"
)

// CheckText writes the readings of a log as they were understood.
func CheckText(w io.Writer, log readings.Log, src Source, v View) error {
	return written(w, v, func(t *text, terse int) {
		t.line(fmt.Sprintf("%s: %s, no fault", src.Log, howMany(log)))
		if len(src.Warnings) > 0 {
			t.section("How the input was read", "")
			t.bullets(src.Warnings, terse)
		}
		t.section("Readings", "± is one standard uncertainty")
		tab := readingsRead(log)
		listed := min(len(tab.Rows), MostLines)
		if terse >= 0 && len(tab.Rows) > 24-6*terse {
			listed = min(listed, max(3, 20-6*terse))
		}
		left := len(tab.Rows) - listed
		tab.Rows = tab.Rows[:listed]
		t.table(tab)
		if left > 0 && terse == everything {
			t.under(fmt.Sprintf("and %d more (--json has all)", left))
		} else {
			t.more(left)
		}
		t.partsRead(log, terse)
	})
}

// readingsRead lists readings, a row each.
func readingsRead(log readings.Log) *Table {
	columns := []Column{right("line"), right("frequency"), left("±"), left(""), left("± from"), left("state")}
	means := anyRepeats(len(log.Readings), func(i int) *readings.Reading { return &log.Readings[i] })
	if means {
		columns = slices.Insert(columns, 1, repeatsColumns()...)
	}
	t := newTable(columns...)
	highest := 0.0
	for i := range log.Readings {
		highest = max(highest, log.Readings[i].Frequency)
	}
	u := quantity.UnitFor(highest, highest/1000, "Hz")
	for _, r := range log.Readings {
		f := u.Format(r.Frequency, r.Uncertainty)
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
		cells := []string{lines(&r), f.Value, f.Uncertainty, f.Unit, from, state}
		if means {
			cells = slices.Insert(cells, 1, repeatsCells(&r)...)
		}
		t.row(cells...)
	}
	return t
}

// partsRead lists the parts on the top: on lines of their own, or in a sentence.
func (t *text) partsRead(log readings.Log, terse int) {
	if len(log.Parts) == 0 {
		return
	}
	if terse >= 0 {
		var list []string
		for _, p := range log.Parts {
			value := nobreak("to be found")
			if p.Known {
				value = nobreak(quantity.Format(p.Capacitance, p.Uncertainty, "F").String())
			}
			list = append(list, p.Name+": "+value)
		}
		t.blank()
		t.some("Parts", list, 10-2*terse)
		return
	}
	t.section("Parts", "± is one standard uncertainty: a tolerance is a bound taken as 95 %")
	tab := newTable(left(""), right(""), left(""), left(""))
	for _, p := range log.Parts {
		if !p.Known {
			tab.row(p.Name, "to be found", "", "")
			continue
		}
		c := quantity.Format(p.Capacitance, p.Uncertainty, "F")
		tab.row(p.Name, c.Value, c.Uncertainty, c.Unit)
	}
	t.table(tab)
}

type jsonCheck struct {
	jsonHead
	Readings []jsonCheckReading `json:"readings"`
	Parts    []jsonPart         `json:"parts"`
	Warnings []string           `json:"warnings"`
}

type jsonCheckReading struct {
	Line        int     `json:"line"`
	Frequency   float64 `json:"frequency"`
	Uncertainty float64 `json:"standard_uncertainty"`
	Unit        string  `json:"unit"`
	FromDigits  bool    `json:"uncertainty_from_digits"`
	jsonState
	Used    bool         `json:"used"`
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
func CheckJSON(w io.Writer, log readings.Log, src Source) error {
	return writeJSON(w, jsonCheck{head(src), each(log.Readings, func(r *readings.Reading) jsonCheckReading {
		return jsonCheckReading{r.Line, r.Frequency, r.Uncertainty, "Hz", r.FromDigits, setting(r.State, log.Parts), r.Use, repeats(r)}
	}), each(log.Parts, func(p *readings.Part) jsonPart {
		if p.Known {
			return jsonPart{p.Name, number(p.Capacitance), number(p.Uncertainty), "F", true}
		}
		return jsonPart{Name: p.Name, Unit: "F"}
	}), append([]string{}, src.Warnings...)})
}
