package report

import (
	"fmt"
	"io"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
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
	for _, c := range compared.Changes {
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

// NextCSV writes the measurand as it is now, and as each candidate would leave it, best first;
// then as the steps of a plan would, one after the other.
func NextCSV(w io.Writer, p decisions.Planned, parts []readings.Part) error {
	var t tidy
	name := keyName(p.Measurand.Key)
	add := func(e quantities.Estimate, of string) {
		e.Name = name
		t.add(&e, of)
	}
	if p.Measurand.Name == "frequency" {
		name += "@" + wording.State(p.Measurand.State, parts)
	}
	add(p.Now, "now")
	for _, list := range []struct {
		label string
		steps []decisions.Suggestion
	}{{"after ", p.Ranked}, {"plan, after ", p.Greedy}, {"better set, after ", p.Better}} {
		for _, s := range list.steps {
			add(s.After, list.label+CandidateText(s.Candidate, parts))
		}
	}
	return writeCSV(w, tidyHead(), t)
}

// CheckCSV writes each reading as it was understood; of is its state, and lines that aren't used
// say so.
func CheckCSV(w io.Writer, log readings.Log) error {
	var t tidy
	for _, o := range log.Readings {
		state := fmt.Sprintf("line %s, %s", lines(&o), wording.State(o.State, log.Parts))
		if !o.Use {
			state += ", not used"
		}
		t.read("frequency", state, o.Frequency, o.Uncertainty, "Hz")
	}
	for _, p := range log.Parts {
		if p.Known {
			t.read(quantities.PartCapacitance, p.Name, p.Capacitance, p.Uncertainty, "F")
		} else {
			t = append(t, []string{quantities.PartCapacitance, p.Name, "", "", "", "", "F", "", "", ""})
		}
	}
	return writeCSV(w, tidyHead(), t)
}

// read appends what has a standard uncertainty and no interval yet.
func (t *tidy) read(name, of string, v, u float64, unit string) {
	quoted := ""
	if csvNumber(v) != "" && u > 0 {
		quoted = units{}.of(v, u, unit).Format(v, u).Concise()
	}
	*t = append(*t, []string{name, of, csvNumber(v), csvNumber(u), "", "", unit, "", "", quoted})
}

// CaptureCSV writes what was found in each capture and each sweep.
func CaptureCSV(w io.Writer, list []Captured, sweeps []Swept) error {
	var t tidy
	add := func(e quantities.Estimate, name, of, unit string) {
		e.Name, e.Unit = name, unit
		if e.Unclaimed { // a value without a claim on its uncertainty
			t = append(t, []string{name, of, csvNumber(e.Value), "", "", "", unit, "", "", ""})
			return
		}
		t.add(&e, of)
	}
	for _, s := range sweeps {
		for _, q := range sweepQuantities(s) {
			add(q.e, q.name, s.Sweep.Name, q.unit)
		}
	}
	for _, c := range list {
		for _, q := range foundRows(c) {
			add(q.e, q.name, recordName(c.Capture), q.unit)
		}
		for i, m := range c.Result.Modes {
			mode := fmt.Sprintf("%s, mode %d", recordName(c.Capture), i+1)
			add(m.Natural, "frequency", mode, "Hz")
			add(m.Quality, "quality_factor", mode, "1")
			add(m.Amplitude, "amplitude", mode, c.Capture.Unit)
		}
	}
	return writeCSV(w, tidyHead(), t)
}

// ReachCSV writes the setting that gives a frequency, and the frequency there.
func ReachCSV(w io.Writer, a decisions.Reached, parts []readings.Part) error {
	var t tidy
	t.reached(&a, parts)
	return writeCSV(w, tidyHead(), t)
}

func (t *tidy) reached(a *decisions.Reached, parts []readings.Part) {
	setting := a.Setting
	setting.Name = [...]string{"added", "covered", "hand"}[a.By]
	setting.Unit = [...]string{"F", "1", "m"}[a.By]
	t.add(&setting, wording.State(a.Start, parts))
	t.add(&a.At.Frequency, wording.State(a.At.State, parts))
	for i := range a.Standard {
		t.add(&a.Standard[i].Frequency, quantity.FormatValue(a.Values[i].Capacitance, 2, "F").String()+", standard value")
	}
}

// WaysCSV writes the setting of every way to a frequency, and the frequency there.
func WaysCSV(w io.Writer, a Ways) error {
	var t tidy
	t.add(&a.From.Frequency, wording.State(a.From.State, a.Parts))
	for i := range a.Controls {
		t.reached(&a.Controls[i], a.Parts)
	}
	for i := range a.AtHand {
		t.add(&a.AtHand[i].Frequency, wording.State(a.AtHand[i].State, a.Parts)+", at hand")
	}
	for _, d := range a.Redrawn {
		setting := d.Setting
		setting.Name = d.Name
		t.add(&setting, "drawing")
		t.add(&d.At.Frequency, d.Name+" changed")
	}
	return writeCSV(w, tidyHead(), t)
}

// SweepCSV writes the frequency at each value of a change of the drawing.
func SweepCSV(w io.Writer, s Sweep) error {
	var t tidy
	for i := range s.Points {
		t.add(&s.Points[i].Frequency, s.Name+" = "+s.At[i])
	}
	return writeCSV(w, tidyHead(), t)
}
