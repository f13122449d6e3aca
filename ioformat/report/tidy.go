package report

import (
	"io"

	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/quantities"
)

// tidy is a table with a row for each estimate, SI throughout.
type tidy [][]string

func tidyHead() []string {
	return []string{"name", "of", "value", "u", "lo", "hi", "unit", "k", "dof", "quoted"}
}

// add appends a row; of is what e belongs to.
func (t *tidy) add(e *quantities.Estimate, of string) {
	row := []string{e.Name, of, "", "", "", "", e.Unit, "", "", ""}
	if e.Determined {
		f := units{}.estimate(e, e.Uncertainty).Format(e.Value, e.Uncertainty)
		copy(row[2:], []string{csvNumber(e.Value), csvNumber(e.Uncertainty), csvNumber(e.Interval[0]), csvNumber(e.Interval[1]), e.Unit})
		if e.Coverage > 0 {
			row[7], row[8] = csvNumber(e.Coverage), csvNumber(e.Degrees)
		}
		if csvNumber(e.Uncertainty) != "" {
			row[9] = f.Concise()
		}
	}
	*t = append(*t, row)
}

// unquoted leaves out what would be quoted.
func (t tidy) unquoted() {
	for _, row := range t {
		row[9] = ""
	}
}

// of names what an estimate belongs to: its core, its part, or the distance of its hand.
func of(e *quantities.Estimate) string {
	switch {
	case e.Core != "":
		return e.Core
	case e.Part != "":
		return e.Part
	case e.Hand > 0:
		return wording.Distance(e.Hand)
	}
	return ""
}

// FitCSV writes all estimates of a fit; then the intervals by profile likelihood, and what the
// trials give, with the shortest intervals. What contradicts itself is not to be quoted.
func FitCSV(w io.Writer, r *model.Result, extra Extra) error {
	var t tidy
	for e := range r.All() {
		t.add(e, of(e))
	}
	for _, p := range extra.Profiles {
		e := *p.Estimate
		e.Interval = p.Profile
		t.add(&e, with(of(&e), "profile likelihood"))
	}
	if extra.MonteCarlo != nil {
		for _, q := range extra.MonteCarlo.Quantities {
			e := *q.Estimate
			e.Value, e.Uncertainty, e.Interval, e.Coverage = q.Mean, q.Deviation, q.Shortest, 0
			t.add(&e, with(of(&e), "Monte Carlo"))
		}
	}
	if undermined(r) {
		t.unquoted()
	}
	return writeCSV(w, tidyHead(), t)
}

// with joins what an estimate belongs to and what it is by.
func with(label, by string) string {
	if label == "" {
		return by
	}
	return label + ", " + by
}

// PredictCSV writes predicted frequencies, with the 95 % interval of the prediction.
func PredictCSV(w io.Writer, p Predictions) error {
	var t tidy
	for i := range p.List {
		t.add(&p.List[i].Frequency, wording.State(p.List[i].State, p.Parts))
	}
	return writeCSV(w, tidyHead(), t)
}

// CompareCSV writes each quantity before, after, and the difference.
func CompareCSV(w io.Writer, compared decisions.Comparison) error {
	var t tidy
	for i := range compared.Changes {
		c := &compared.Changes[i]
		for _, s := range []struct {
			e  *quantities.Estimate
			is string
		}{{&c.A, "first log"}, {&c.B, "second log"}, {&c.Difference, "difference"}} {
			e := *s.e
			e.Name, e.Unit = c.A.Name, c.A.Unit
			t.add(&e, with(of(&c.A), s.is))
		}
	}
	return writeCSV(w, tidyHead(), t)
}

// CoilCSV writes what a drawing gives.
func CoilCSV(w io.Writer, d *drawing.Drawn) error {
	var t tidy
	for i := range d.Estimates {
		t.add(&d.Estimates[i], of(&d.Estimates[i]))
	}
	return writeCSV(w, tidyHead(), t)
}
