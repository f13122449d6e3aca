package report

import (
	"fmt"
	"io"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
)

// mostSessions is the number of sessions whose deviations stand in the table.
const mostSessions = 5

// ConsensusText writes what several sessions of one coil say together.
func ConsensusText(w io.Writer, r []*model.Result, list []decisions.Agreed, sources []Source, v View) error {
	return written(w, v, func(terse int) *text { return consensusDraft(r, list, sources, v, terse) })
}

func consensusDraft(r []*model.Result, list []decisions.Agreed, sources []Source, v View, terse int) *text {
	t := newText(v)
	t.line(fmt.Sprintf("Consensus of %s of one coil", count(len(sources), "session")))
	for i, s := range sources {
		if terse == everything || i < 8-2*terse {
			t.under(fmt.Sprintf("%s: %s", session(i), s.Log))
		}
	}
	var names []string
	for i := range sources {
		names = append(names, session(i))
	}
	t.warningsOf(names, r, sources, terse)
	if len(list) == 0 {
		t.line("No quantity is determined by all of them.")
		return t
	}
	t.blank()
	columns := []Column{left("± is one standard uncertainty"), right("consensus"), left("±"), left(""), right("between")}
	for i := range sources {
		if i < mostSessions {
			columns = append(columns, right(session(i)+" [σ]"))
		}
	}
	tab := newTable(columns...)
	differ := 0
	for i := range list {
		a := &list[i]
		if a.PValue < 0.05 {
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
		row := []string{wording.QuantityOf(&a.Estimate), f.Value, f.Uncertainty, f.Unit, between}
		for k, s := range a.Sigmas {
			if k < mostSessions {
				row = append(row, strings.NewReplacer("+0.0", "0.0", "-0.0", "0.0").Replace(quantity.SignedDecimals(s, 1)))
			}
		}
		tab.row(row...)
	}
	t.table(tab)
	t.blank()
	if left := len(list) - len(tab.Rows); left > 0 {
		t.line(fmt.Sprintf("and %d more: --full", left))
	}
	switch {
	case differ == 0:
		t.line("The sessions agree within their own uncertainties (p ≥ 0.05 for each quantity).")
	default:
		t.line(fmt.Sprintf("%d of %d quantities differ between sessions by more than their own uncertainties explain (p < 0.05): the coil or the bench changed; fitcoil compare tells what.", differ, len(list)))
	}
	t.line("between: standard deviation between sessions beside their own uncertainties (DerSimonian and Laird); σ: deviation of a session from the consensus, over its standard uncertainty. Tolerances of the same parts, known values and priors on the coil are common to all sessions.")
	return t
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
	Warnings   []string     `json:"warnings"`
}

type jsonAgreed struct {
	Consensus jsonEstimate  `json:"consensus"`
	Between   float64       `json:"between_sessions"`
	PValue    *float64      `json:"p_value"`
	Sessions  []jsonSession `json:"sessions"`
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
	out := jsonConsensus{jsonStart: start(sources...), Quantities: []jsonAgreed{}, Warnings: []string{}}
	for i, s := range sources {
		out.Logs = append(out.Logs, s.Log)
		out.Warnings = append(out.Warnings, s.warnings(r[i])...)
	}
	for i := range list {
		a := &list[i]
		e := expected(&a.Estimate)
		j := jsonAgreed{Consensus: e, Between: a.Between, PValue: number(a.PValue)}
		for k, s := range a.Sessions {
			j.Sessions = append(j.Sessions, jsonSession{s.Value, s.Uncertainty, a.Own[k], a.Deviations[k], number(a.Sigmas[k])})
		}
		out.Quantities = append(out.Quantities, j)
	}
	return writeJSON(w, out)
}

// ConsensusCSV writes each consensus, and each session's value.
func ConsensusCSV(w io.Writer, list []decisions.Agreed, sources []Source) error {
	var t tidy
	for i := range list {
		a := &list[i]
		label := of(&a.Estimate)
		if label != "" {
			label += ", "
		}
		t.add(&a.Estimate, label+"consensus")
		for k, s := range a.Sessions {
			t.add(s, label+sources[k].Log)
		}
	}
	return writeCSV(w, tidyHead(), t)
}
