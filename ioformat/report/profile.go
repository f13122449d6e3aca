package report

import (
	"fmt"
	"io"

	"fitcoil/ioformat/wording"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// ProfilesText writes how the linear intervals of a fit compare with those by profile
// likelihood: all with View.Full, else those that differ.
func ProfilesText(w io.Writer, list []estimation.Profiled, v View) error {
	t := newText(v)
	t.put("")
	t.line("95 % intervals by profile likelihood")
	tab, summary := ProfilesTable(list, v.Full)
	t.table(tab)
	t.under(summary)
	return t.to(w)
}

// ProfilesTable has a row for each of list, or for some of those that differ, and a sentence on
// all of them.
func ProfilesTable(list []estimation.Profiled, all bool) (tab *Table, summary string) {
	tab = newTable(left(""), right("linear"), right("profile"), left(""), right("u"))
	differ, shown := 0, 0
	units := unitsIn(list, func(q estimation.Profiled) *quantities.Estimate { return q.Estimate })
	for i := range list {
		p := &list[i]
		if p.Differs() {
			differ++
		}
		if all || p.Differs() && shown < mostDiffering {
			shown++
			tab.row(profileRow(p, units)...)
		}
	}
	if differ == 0 {
		return tab, fmt.Sprintf("The linear intervals of all %d quantities agree with these within a tenth of the standard uncertainty.", len(list))
	}
	return tab, fmt.Sprintf("%d of %d linear intervals differ from these by more than a tenth of the standard uncertainty%s: quote the profile's there.", differ, len(list), elsewhere(all))
}

// elsewhere says where all rows of a table are that shows some.
func elsewhere(all bool) string {
	if all {
		return ""
	}
	return " (--json has all)"
}

func profileRow(p *estimation.Profiled, units units) []string {
	u := units.estimate(p.Estimate, p.Uncertainty)
	between := func(i [2]float64) string { return u.End(i[0], p.Uncertainty) + " to " + u.End(i[1], p.Uncertainty) }
	profile := between(p.Profile)
	if p.Better {
		profile = "a better fit exists"
	}
	return []string{wording.QuantityOf(p.Estimate), between(p.LinearInterval()), profile, u.Symbol, u.Format(p.Value, p.Uncertainty).Uncertainty}
}

type jsonProfile struct {
	Name     string      `json:"name"`
	Unit     string      `json:"unit"`
	Interval [2]*float64 `json:"interval_95"`
	Differs  bool        `json:"differs"`
}

func profiles(list []estimation.Profiled) []jsonProfile {
	var out []jsonProfile
	for i := range list {
		p := &list[i]
		out = append(out, jsonProfile{keyName(p.Key), p.Unit, [2]*float64{number(p.Profile[0]), number(p.Profile[1])}, p.Differs()})
	}
	return out
}
