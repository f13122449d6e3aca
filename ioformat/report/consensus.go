package report

import (
	"fmt"
	"io"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/stable"
)

// mostSessions is the number of sessions whose deviations stand in the table.
const mostSessions = 5

// ConsensusText writes what several sessions of one coil say together.
func ConsensusText(w io.Writer, r []*model.Result, list []decisions.Agreed, sources []Source, v View) error {
	list = inOrder(list)
	return written(w, v, func(t *text, terse int) {
		t.line(fmt.Sprintf("Consensus of %s of one coil", quantity.Count(len(sources), "session")))
		for i, s := range sources {
			if terse == everything || i < max(mostSessions, 8-2*terse) {
				t.under(fmt.Sprintf("%s: %s", session(i), s.Log))
			}
		}
		var names []string
		for i := range sources {
			names = append(names, session(i))
		}
		t.warningsOf(names, r, sources, terse)
		if len(list) == 0 {
			t.line("No quantity is determined by any of them.")
			return
		}
		t.blank()
		columns := []Column{left("quantity"), right("consensus"), left("±"), left(""), right("between")}
		for i := range sources {
			if i < mostSessions {
				columns = append(columns, right(session(i)+" [σ]"))
			}
		}
		tab := newTable(columns...)
		differ := 0
		for _, a := range list {
			if a.Differs {
				differ++
			}
			if terse != everything && len(tab.Rows) >= 18-3*terse {
				continue
			}
			u := units{}.estimate(&a.Estimate, a.Uncertainty)
			f := u.Format(a.Value, a.Uncertainty)
			between := "0"
			if a.Between > 0 {
				between = u.Format(a.Between, a.Between).Value
			}
			if a.Count() == 1 {
				between = "–"
			}
			row := []string{wording.QuantityOf(&a.Estimate), f.Value, f.Uncertainty, f.Unit, between}
			for k := range a.Sigmas {
				if k < mostSessions {
					row = append(row, deviation(&a, k))
				}
			}
			tab.row(row...)
		}
		t.table(tab)
		t.blank()
		if left := len(list) - len(tab.Rows); left > 0 {
			t.line(fmt.Sprintf("and %d more: --full", left))
		}
		t.line(differing(list, differ))
		t.line("±: one standard uncertainty; between: standard deviation between sessions beside it (DerSimonian and Laird); σ: deviation of a session over its standard uncertainty; –: not determined. The same parts, clips, known values and priors on the coil err alike in all sessions.")
	})
}

// inOrder sorts what several sessions say: the coil, its cores, a hand, parts, and details last.
func inOrder(list []decisions.Agreed) []decisions.Agreed {
	list = slices.Clone(list)
	further := []string{quantities.CoreGain, quantities.CoreCapacitance, quantities.CoreFrequencyDrop, quantities.HandFrequencyDrop, quantities.PartCapacitance}
	place := func(name string) int {
		if i := slices.Index(further, name); i >= 0 {
			return rank("") + i
		}
		if i := rank(name); i < rank("") {
			return i
		}
		return rank("") + len(further)
	}
	stable.Sort(list, func(a, b decisions.Agreed) int { return place(a.Name) - place(b.Name) })
	return list
}

// deviation writes how far session k is from the consensus.
func deviation(a *decisions.Agreed, k int) string {
	switch {
	case a.Sessions[k] == nil:
		return "–"
	case a.Count() == 1:
		return "alone"
	}
	return wording.Moved(a.Sigmas[k])
}

// differing says whether sessions differ, in how many quantities and in which most surely.
func differing(list []decisions.Agreed, differ int) string {
	tested := 0
	for _, a := range list {
		if a.Count() > 1 {
			tested++
		}
	}
	at, far := decisions.Furthest(list)
	switch {
	case tested == 0:
		return "No quantity is determined by more than one session."
	case at < 0:
		return "The sessions agree within their uncertainties (Holm's test of all quantities together, at 5 %)."
	}
	most := wording.QuantityOf(&list[at].Estimate)
	if far >= 0 {
		most += " in session " + session(far)
	}
	return fmt.Sprintf("%d of %d quantities %s between sessions by more than their uncertainties explain (Holm's test of all together, at 5 %%), most surely the %s: the coil or the bench changed; fitcoil compare tells what.", differ, tested, verb(differ, "differs", "differ"), most)
}

// session names one by its letter.
func session(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return fmt.Sprint(i + 1)
}

type jsonConsensus struct {
	jsonStart
	Logs       []string     `json:"logs"`
	Quantities []jsonAgreed `json:"quantities"`
	jsonTold
}

type jsonAgreed struct {
	Consensus jsonEstimate   `json:"consensus"`
	Between   float64        `json:"between_sessions"`
	PValue    *float64       `json:"p_value"`
	Differs   bool           `json:"differs"`
	Sessions  []*jsonSession `json:"sessions"`
}

type jsonSession struct {
	Value       float64  `json:"value"`
	Uncertainty float64  `json:"standard_uncertainty"`
	Own         float64  `json:"own_uncertainty"`
	Deviation   float64  `json:"deviation"`
	Sigmas      *float64 `json:"sigmas"`
}

// ConsensusJSON writes the same as one JSON object, SI throughout.
func ConsensusJSON(w io.Writer, r []*model.Result, list []decisions.Agreed, sources []Source) error {
	out := jsonConsensus{jsonStart: start(sources...), Quantities: []jsonAgreed{}, jsonTold: Source{}.told(nil)}
	for i, s := range sources {
		out.Logs = append(out.Logs, s.Log)
		out.add("", s.told(r[i]))
	}
	for _, a := range list {
		j := jsonAgreed{Consensus: expected(&a.Estimate), Between: a.Between, PValue: number(a.PValue), Differs: a.Differs}
		for k, s := range a.Sessions {
			var of *jsonSession
			if s != nil {
				of = &jsonSession{s.Value, s.Uncertainty, a.Own[k], a.Deviations[k], number(a.Sigmas[k])}
			}
			j.Sessions = append(j.Sessions, of)
		}
		out.Quantities = append(out.Quantities, j)
	}
	return writeJSON(w, out)
}

// ConsensusCSV writes each consensus, and each session's value; nothing to quote where one
// contradicts itself.
func ConsensusCSV(w io.Writer, r []*model.Result, list []decisions.Agreed, sources []Source) error {
	var t tidy
	for _, a := range list {
		label := of(&a.Estimate)
		t.add(&a.Estimate, with(label, "consensus"))
		for k, s := range a.Sessions {
			if s != nil {
				t.add(s, with(label, sources[k].Log))
			}
		}
	}
	if slices.ContainsFunc(r, undermined) {
		t.unquoted()
	}
	return writeCSV(w, tidyHead(), t)
}
