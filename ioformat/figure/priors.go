package figure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
)

// Priors shows how far the fit has moved each prior, and how much it has narrowed it: in the
// prior's own standard uncertainty.
func Priors(r *model.Result) Figure {
	f := Figure{Name: "priors", Title: "What did the readings add to what was believed?"}
	v := look(r)
	all := r.MovedPriors()
	if len(all) == 0 {
		return empty(f, "This fit has no prior: all that it knows comes from the readings.")
	}
	f.Table.Columns = []string{"prior", "believed", "known now", "moved [own u]", "u left [%]"}
	for i := range all {
		what, believed, now := wording.MovedPrior(&all[i])
		f.Table.Rows = append(f.Table.Rows, []string{what, believed, now, wording.Moved(all[i].Moved()), fixed(100*all[i].Narrowed(), 0)})
	}
	shown := telling(all)
	p := chart.Panel{Height: priorHeight*float64(len(shown)) + 8}
	var names []string
	var x span
	x.add(-1.4, 1.4)
	for i := range shown {
		b := &shown[i]
		at := float64(len(shown) - 1 - i)
		names = append([]string{wording.MovedName(v.shortMoved(b))}, names...)
		p.Areas = append(p.Areas, chart.Area{Style: chart.Faint, Tint: priorTint, Outline: box(-1, 1, at-0.3, at+0.3)})
		moved, left := b.Moved(), b.Narrowed()
		p.Lines = append(p.Lines, chart.Line{Style: nowStyle, Bold: true, Points: []chart.XY{{X: moved - left, Y: at}, {X: moved + left, Y: at}}})
		p.Points = append(p.Points, chart.Point{XY: chart.XY{X: moved, Y: at}, Style: nowStyle})
		x.add(moved-left, moved+left)
	}
	p.Rules = []chart.Rule{{At: 0, Upright: true}}
	p.X, p.Y = chart.Over("standard uncertainties of the prior", x.low, x.high, 6), chart.Named(names)
	f.Panels = []chart.Panel{p}
	f.Keys = []chart.Key{{Text: "believed, ± u", Style: chart.Faint, Band: true}, {Text: "known now, ± u", Style: nowStyle, Mark: true, Line: true}}
	f.Notes = []string{"A short bar: the readings say more than the prior. A bar as wide as the grey one: the prior is all that is known."}
	if n := len(all) - len(shown); n > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("Not drawn: %s that changed least.", quantity.Count(n, "prior")))
	}
	if len(v.long) > 0 {
		f.Notes = append(f.Notes, strings.Join(v.long, " "))
	}
	most := slices.MaxFunc(all, func(a, b estimation.MovedPrior) int { return cmp.Compare(math.Abs(a.Moved()), math.Abs(b.Moved())) })
	what, believed, now := wording.MovedPrior(&most)
	f.Alt = fmt.Sprintf("%s beside what the fit makes of them. Moved most: %s, from %s to %s, by %s of its standard uncertainties.", quantity.Count(len(all), "prior"), what, believed, now, fixed(math.Abs(most.Moved()), 1))
	return f
}

const (
	nowStyle chart.Style = 2

	priorHeight = 15.0
	priorTint   = 0.3
	mostPriors  = 14
)

// telling leaves out what changed least, where there are more than a figure has room for.
func telling(all []estimation.MovedPrior) []estimation.MovedPrior {
	list := slices.Clone(all)
	for len(list) > mostPriors {
		change := func(b estimation.MovedPrior) float64 { return math.Abs(b.Moved()) + math.Abs(1-b.Narrowed()) }
		least := slices.MinFunc(list, func(a, b estimation.MovedPrior) int { return cmp.Compare(change(a), change(b)) })
		i := slices.IndexFunc(list, func(b estimation.MovedPrior) bool { return change(b) == change(least) })
		list = slices.Delete(list, i, i+1)
	}
	return list
}

// shortMoved has the names that figures have room for.
func (v *view) shortMoved(b *estimation.MovedPrior) *estimation.MovedPrior {
	out := *b
	s := v.shortSource(estimation.Source{Kind: b.Kind, Part: b.Part, Known: b.Known, Assumption: b.Assumption})
	out.Part, out.Known, out.Assumption = s.Part, s.Known, s.Assumption
	return &out
}
