package report

import (
	"fmt"
	"io"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

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
	for i := range log.Readings {
		o := &log.Readings[i]
		state := fmt.Sprintf("line %s, %s", lines(o), wording.State(o.State, log.Parts))
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
			unit := q.unit
			if unit == "" {
				unit = "1"
			}
			add(q.e, q.name, s.Sweep.Name, unit)
		}
	}
	for _, c := range list {
		r, of := c.Result, c.Capture.Name
		if c.Capture.Segment > 0 {
			of += fmt.Sprintf(", segment %d", c.Capture.Segment)
		}
		add(r.Resonance, "resonance_frequency", of, "Hz")
		add(r.Frequency, "crossing_frequency", of, "Hz")
		add(r.Quality, "quality_factor", of, "1")
		add(r.Damping, "damping", of, "1/s")
		add(r.Amplitude, "amplitude", of, c.Capture.Unit)
		add(r.Offset, "offset", of, c.Capture.Unit)
		for i, m := range r.Modes {
			mode := fmt.Sprintf("%s, mode %d", of, i+1)
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
	for i := range a.Redrawn {
		d := &a.Redrawn[i]
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
