package earlier

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

const (
	mostBytes    = 64 << 20
	mostSessions = 100
	mostReadings = 1000 // of one session
	mostNamed    = 300  // parts, cores
	longestName  = 200
)

// Read reads the JSON of a fit; name is what messages call it. The error is a [cells.Faults]
// where the file is at fault, else what r failed with.
func Read(r io.Reader, name string) ([]estimation.Earlier, error) {
	refuse := func(problem, do string) error {
		return cells.Faults{List: []cells.Fault{{File: name, Problem: problem, Do: do}}}
	}
	const make = "make it with: fitcoil fit LOG --json"
	b, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, err
	}
	if len(b) > mostBytes {
		return nil, refuse("this file is larger than any that fitcoil fit writes", make)
	}
	var in struct {
		Schema  int                 `json:"schema"`
		Log     *string             `json:"log"`
		Carried *report.CarriedJSON `json:"carried"`
		Quality *json.RawMessage    `json:"quality"`
	}
	if err := json.Unmarshal(b, &in); err != nil || in.Log == nil || in.Quality == nil {
		return nil, refuse("this is not the JSON output of fitcoil fit", make)
	}
	switch {
	case in.Schema != report.Schema:
		return nil, refuse(fmt.Sprintf("its schema is %d, and this program reads %d", in.Schema, report.Schema), "make it anew with: fitcoil fit LOG --json")
	case in.Carried == nil:
		return nil, refuse("it has nothing that a later session could go on with: it was made by an older program, or its log has too many readings", "make it anew with: fitcoil fit LOG --json")
	}
	list, err := sessions(in.Carried)
	if err != nil {
		return nil, refuse("its field carried is damaged: "+err.Error(), "make it anew with: fitcoil fit LOG --json")
	}
	return list, nil
}

// sessions checks and converts. JSON has no number that isn't finite.
func sessions(c *report.CarriedJSON) (list []estimation.Earlier, err error) {
	if len(c.Sessions) == 0 || len(c.Sessions) > mostSessions {
		return nil, fmt.Errorf("%d sessions", len(c.Sessions))
	}
	var known []quantities.Known
	for _, k := range c.Known {
		if k.Uncertainty < 0 || !named(k.Name) {
			return nil, fmt.Errorf("the known value of %s", quantity.Quote(k.Name))
		}
		known = append(known, quantities.Known{Key: quantities.Key{Name: k.Name, Core: quantity.Visible(k.Core)}, Value: k.Value, Uncertainty: k.Uncertainty})
	}
	for i := range c.Sessions {
		s, err := session(&c.Sessions[i])
		if err != nil {
			return nil, fmt.Errorf("session %d, %w", i+1, err)
		}
		list = append(list, s)
	}
	list[len(list)-1].Known = known
	return list, nil
}

func session(j *report.CarriedSession) (s estimation.Earlier, err error) {
	s.Log, s.SHA256, s.Bench = quantity.Visible(j.Log), strings.ToLower(j.SHA256), j.Bench
	s.Scale, s.Checked, s.Squares, s.Freedom = j.Scale, j.Checked, j.Squares, j.Freedom
	n := len(j.Readings)
	if n == 0 || n > mostReadings || len(j.Parts) > mostNamed || len(j.Shared) > n+1 {
		return s, errors.New("too many readings, or none")
	}
	if s.Bench < 0 || s.Bench > mostSessions {
		return s, errors.New("its bench")
	}
	if s.Scale < 1 || s.Checked < 0 {
		return s, errors.New("its scatter")
	}
	index := map[string]int{}
	for i, p := range j.Parts {
		part := readings.Part{Name: quantity.Visible(p.Name), Known: p.Capacitance != nil, Lot: quantity.Visible(p.Lot), Common: p.Common, Default: p.Default, Rectangular: p.Rectangular}
		if part.Known {
			part.Capacitance, part.Uncertainty = *p.Capacitance, p.Uncertainty
		}
		if _, twice := index[p.Name]; twice || !named(p.Name) || part.Known && !(part.Capacitance > 0 && part.Uncertainty >= 0 && part.Uncertainty < 1e3*part.Capacitance) || !(p.Common >= 0 && p.Common <= 1) {
			return s, fmt.Errorf("part %s", quantity.Quote(p.Name))
		}
		index[p.Name] = i
		s.Parts = append(s.Parts, part)
	}
	for i := range j.Readings {
		r := &j.Readings[i]
		state, ok := stateOf(r, index)
		if !ok || !(r.Frequency > 0 && r.Frequency <= 1e15) || !(r.Relative >= 1e-15 && r.Relative <= 1e6) {
			return s, fmt.Errorf("reading %d", i+1)
		}
		s.States, s.Hertz, s.Relative = append(s.States, state), append(s.Hertz, r.Frequency), append(s.Relative, r.Relative)
	}
	for _, v := range j.Shared {
		if len(v) != n {
			return s, errors.New("what its readings have in common")
		}
	}
	s.Shared = j.Shared
	return s, nil
}

func stateOf(r *report.CarriedReading, parts map[string]int) (s readings.State, ok bool) {
	s = readings.Bare()
	for _, name := range r.Added {
		i, ok := parts[name]
		if !ok {
			return s, false
		}
		s.Parts = append(s.Parts, i)
	}
	s.Clip, s.Core = r.Clip, quantity.Visible(r.Core)
	if r.Core != "" {
		if r.Covered == nil || !named(r.Core) || !(r.Covered[0] >= 0 && r.Covered[1] > r.Covered[0] && r.Covered[1] <= 1) {
			return s, false
		}
		s.From, s.To = r.Covered[0], r.Covered[1]
	}
	if r.Hand != nil {
		if !(*r.Hand > 0 && *r.Hand <= 1e3) {
			return s, false
		}
		s.Hand = *r.Hand
	}
	return s, true
}

func named(text string) bool { return text != "" && len(text) <= longestName }
