package report

import (
	"fmt"
	"io"
	"math"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// mostDiffering is how many quantities are listed in brief.
const mostDiffering = 8

// MonteCarloText writes how the linear estimates of a fit compare with those by Monte Carlo: all
// with View.Full, else those that differ, and effective inductance and capacitance.
func MonteCarloText(w io.Writer, m *estimation.MonteCarlo, v View) error {
	t := newText(v)
	t.put("")
	tab, words := MonteCarloTable(m, v.Full)
	t.line(words[0])
	for _, s := range words[1 : len(words)-1] {
		t.under(s)
	}
	t.table(tab)
	t.under(words[len(words)-1])
	return t.to(w)
}

// MonteCarloTable has a row for each quantity, or for the main ones and some of those that
// differ; words are what was done, and, last, how all of them compare.
func MonteCarloTable(m *estimation.MonteCarlo, all bool) (tab *Table, words []string) {
	settled := "stopped there, not yet settled to δ/5"
	if m.Settled {
		settled = "settled to δ/5"
	}
	words = append(words, fmt.Sprintf("Monte Carlo (JCGM 101:2008): %d trials, seed %d, %s", m.Trials, m.Seed, settled))
	if m.Failed > 0 {
		words = append(words, fmt.Sprintf("%s no solution and %s left out", quantity.Count(m.Failed, "further trial")+verb(m.Failed, " has", " have"), verb(m.Failed, "is", "are")))
	}
	tab = newTable(left("95 % intervals"), right("linear"), right("shortest"), left(""), right("u"), right("δ"), left("valid"))
	if !all { // nearly all that are listed then aren't, and names need the room
		tab.Columns = tab.Columns[:len(tab.Columns)-1]
	}
	differ := 0
	units := unitsIn(m.Quantities, func(q estimation.Propagated) *quantities.Estimate { return q.Estimate })
	for _, q := range m.Quantities {
		main := q.Key == quantities.Key{Name: quantities.EffectiveInductance} || q.Key == quantities.Key{Name: quantities.EffectiveCapacitance}
		word := "yes"
		if !q.Holds() {
			differ++
			word = "no"
		}
		if all || main || !q.Holds() && len(tab.Rows) < mostDiffering {
			tab.row(propagatedRow(&q, units, word)[:len(tab.Columns)]...)
		}
	}
	if n := len(m.Quantities); differ == 0 {
		words = append(words, fmt.Sprintf("The linear 95 %% intervals of all %d quantities agree with the probabilistically symmetric ones of the trials within δ, the numerical tolerance of one digit of u.", n))
	} else {
		words = append(words, fmt.Sprintf("%d of %d linear 95 %% intervals differ from the probabilistically symmetric ones of the trials by more than δ, the numerical tolerance of one digit of u%s: quote those of the trials there.", differ, n, elsewhere(all)))
	}
	if slices.ContainsFunc(m.Quantities, func(q estimation.Propagated) bool { return math.IsNaN(q.Deviation) }) {
		words = append(words, "u –: one in a thousand trials makes most of that variance: the distribution has no standard deviation to quote.")
	}
	if differ > 0 && m.Degrees < fewDegrees {
		words = append(words, fmt.Sprintf("Few readings check the stated uncertainties: the trials draw that doubt too (Student's t, %s degrees of freedom), so that the tails of what is no straight function of the readings, as a core's gain, are longer than by --profile.", quantity.Decimals(m.Degrees, 0)))
	}
	return tab, words
}

// fewDegrees is the number of degrees of freedom below which tails of Student's t are told of.
const fewDegrees = 30

func propagatedRow(q *estimation.Propagated, units units, word string) []string {
	u := units.estimate(q.Estimate, q.Uncertainty)
	deviation := "–"
	if !math.IsNaN(q.Deviation) {
		deviation = u.Format(q.Mean, q.Deviation).Uncertainty
	}
	between := func(i [2]float64) string {
		return u.Format(i[0], q.Uncertainty).Value + " to " + u.Format(i[1], q.Uncertainty).Value
	}
	return []string{wording.QuantityOf(q.Estimate), between(q.LinearInterval()), between(q.Shortest), u.Symbol,
		deviation, plainDigit(u.FromSI(q.Tolerance)), word}
}

// plainDigit writes a number above zero with its first digit, without a power of ten.
func plainDigit(v float64) string {
	return quantity.Decimals(v, max(0, -int(math.Floor(math.Log10(v)+1e-9))))
}

type jsonMonteCarlo struct {
	Trials     int              `json:"trials"`
	Failed     int              `json:"failed"`
	Seed       uint64           `json:"seed"`
	Settled    bool             `json:"settled"`
	Quantities []jsonPropagated `json:"quantities"`
}

type jsonPropagated struct {
	Name      string     `json:"name"`
	Unit      string     `json:"unit"`
	Mean      *float64   `json:"mean"`
	Deviation *float64   `json:"standard_uncertainty"`
	Shortest  [2]float64 `json:"shortest_interval_95"`
	Symmetric [2]float64 `json:"symmetric_interval_95"`
	Tolerance float64    `json:"numerical_tolerance"`
	Low       float64    `json:"low_end_differs_by"`
	High      float64    `json:"high_end_differs_by"`
	Validated bool       `json:"validated"`
}

func monteCarlo(m *estimation.MonteCarlo) *jsonMonteCarlo {
	if m == nil {
		return nil
	}
	return &jsonMonteCarlo{m.Trials, m.Failed, m.Seed, m.Settled, each(m.Quantities, func(q *estimation.Propagated) jsonPropagated {
		return jsonPropagated{keyName(q.Key), q.Unit, number(q.Mean), number(q.Deviation), q.Shortest, q.Symmetric,
			q.Tolerance, q.Low, q.High, q.Holds()}
	})}
}

// Extra is what a fit is asked for besides; nil for nothing.
type Extra struct {
	MonteCarlo *estimation.MonteCarlo
	Profiles   []estimation.Profiled
	Surface    *estimation.Surface // for a figure
}

// ExtraText writes it behind the answer.
func ExtraText(w io.Writer, e Extra, v View) error {
	if e.Profiles != nil {
		if err := ProfilesText(w, e.Profiles, v); err != nil {
			return err
		}
	}
	if e.MonteCarlo != nil {
		return MonteCarloText(w, e.MonteCarlo, v)
	}
	return nil
}

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
	for _, p := range list {
		if p.Differs() {
			differ++
		}
		if all || p.Differs() && shown < mostDiffering {
			shown++
			tab.row(profileRow(&p, units)...)
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

func profiled(p *estimation.Profiled) jsonProfile {
	return jsonProfile{keyName(p.Key), p.Unit, [2]*float64{number(p.Profile[0]), number(p.Profile[1])}, p.Differs()}
}
