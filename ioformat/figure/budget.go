package figure

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Budget shows what the variance of the effective inductance and capacitance comes from:
// each part, each kind of reading, each prior.
func Budget(r *model.Result) Figure {
	f := Figure{Name: "variance-budget", Title: "Where does the uncertainty of L and C come from?"}
	l, c := r.Find(quantities.Key{Name: quantities.EffectiveInductance}), r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	v := look(r)
	rows := v.budgetRows(l, c)
	if len(rows) == 0 {
		return empty(f, "Effective inductance and capacitance are not determined by these readings, so there is no variance to share out.")
	}
	f.Table.Columns = []string{"variance from", "of L [%]", "of C [%]"}
	var names []string
	p := chart.Panel{Height: budgetHeight*float64(len(rows)) + 8}
	most := 0.0
	var words []string
	for i, w := range rows {
		at := float64(len(rows) - 1 - i)
		names = append([]string{w.name}, names...)
		for k, share := range w.share {
			top := at + 0.38 - 0.38*float64(k)
			p.Areas = append(p.Areas, chart.Area{Style: budgetStyles()[k], Outline: box(0, 100*share, top-0.32, top)})
			most = max(most, 100*share)
		}
		ofL, ofC := percent(w.share[0]), percent(w.share[1])
		f.Table.Rows = append(f.Table.Rows, []string{w.name, ofL, ofC})
		words = append(words, fmt.Sprintf("%s %s and %s %%", w.name, ofL, ofC))
	}
	p.X, p.Y = chart.Over("share of the variance [%]", 0, most, 6), chart.Named(names)
	f.Panels = []chart.Panel{p}
	f.Keys = []chart.Key{
		{Text: "effective inductance, " + estimate(l), Style: budgetStyles()[0], Area: true},
		{Text: "effective capacitance, " + estimate(c), Style: budgetStyles()[1], Area: true},
	}
	if len(v.long) > 0 {
		f.Notes = []string{strings.Join(v.long, " ")}
	}
	f.Alt = "Shares of the variance of effective inductance and capacitance: " + strings.Join(words, "; ") + "."
	return f
}

func budgetStyles() [2]chart.Style { return [2]chart.Style{2, 1} }

const budgetHeight = 20.0

// budgetRow is one source with its share of the variance of L and of C.
type budgetRow struct {
	name  string
	share [2]float64
}

// mostSources is the number of rows that a figure has room for; the rest is one row.
const mostSources = 9

func (v *view) budgetRows(estimates ...*quantities.Estimate) (shown []budgetRow) {
	var list []budgetRow
	for k, e := range estimates {
		for _, s := range v.result.Sources(e) {
			name := wording.Source(v.shortSource(s))
			i := slices.IndexFunc(list, func(w budgetRow) bool { return w.name == name })
			if i < 0 {
				i = len(list)
				list = append(list, budgetRow{name: name})
			}
			list[i].share[k] += s.Share
		}
	}
	count, rest := 0, budgetRow{}
	for _, w := range list {
		if len(shown) < mostSources && max(w.share[0], w.share[1]) >= 0.005 {
			shown = append(shown, w)
			continue
		}
		count++
		rest.share[0] += w.share[0]
		rest.share[1] += w.share[1]
	}
	if count > 0 && len(shown) > 0 {
		rest.name = quantity.Count(count, "other source")
		shown = append(shown, rest)
	}
	return shown
}

// shortSource has the names that figures have room for.
func (v *view) shortSource(s estimation.Source) *estimation.Source {
	names := slices.Clone(s.Assumption.Names)
	for i, name := range names {
		if short, known := v.names[name]; known {
			names[i] = short
		}
	}
	s.Assumption.Names = names
	if short, known := v.names[s.Known.Core]; known {
		s.Known.Core = short
	}
	for i, p := range v.result.Parts() {
		if p.Name == s.Part {
			s.Part = v.parts[i].Name
		}
	}
	return &s
}

func percent(share float64) string {
	if share < 0.005 && share > 0 {
		return "< 0.5"
	}
	return fixed(100*share, 0)
}
