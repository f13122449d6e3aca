package report

import (
	"math"
	"slices"

	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// MovedPriors lists all priors and defaults: what was believed, what is known now, by how many of
// its standard uncertainties the fit moved it, its share of the variance of the effective
// inductance, and what would take its place. left is how many are too many to be listed.
func MovedPriors(r *model.Result) (t *Table, left int) {
	t = newTable(Column{Head: "prior"}, Column{Head: "believed"}, Column{Head: "known now"}, right("moved [u]"), right("variance of L"), Column{Head: "replaced by"})
	sources := r.Sources(r.Find(quantities.Key{Name: quantities.EffectiveInductance}))
	moved := r.MovedPriors()
	for i := range moved {
		b := &moved[i]
		what, believed, now := wording.MovedPrior(b)
		named, _, replacedBy := assumption(&b.Assumption)
		switch {
		case b.Assumption.Kind == estimation.NotAssumed:
			replacedBy = "stated"
		case b.Kind != estimation.PartSource: // the name that text and JSON have for it
			what = named + wording.MovedOf(b)
		}
		t.row(what, believed, now, wording.Moved(b.Moved()), shareText(movedShare(b, sources)), replacedBy)
	}
	for i := range r.Assumed {
		if a := &r.Assumed[i]; a.Kind == estimation.AssumedDigits || a.Kind == estimation.AssumedPrimary || a.Kind == estimation.AssumedTolerance {
			what, value, replacedBy := assumption(a)
			t.row(what, value, "-", "-", shareText(a.Share), replacedBy)
		}
	}
	if left = len(t.Rows) - mostMoved; left > 0 {
		t.Rows = t.Rows[:mostMoved]
	}
	return t, max(0, left)
}

const mostMoved = 40

// movedShare is what a prior brings of the variance that sources share.
func movedShare(b *estimation.MovedPrior, sources []estimation.Source) (sum float64) {
	if sources == nil {
		return math.NaN()
	}
	for _, s := range sources {
		same := s.Kind == b.Kind && s.Part == b.Part && s.Known == b.Known.Name
		if b.Kind == estimation.AssumptionSource || b.Kind == estimation.CommonSource {
			same = same && s.Assumption.Kind == b.Assumption.Kind && slices.Equal(s.Assumption.Names, b.Assumption.Names)
		}
		if same {
			sum += s.Share
		}
	}
	return sum
}
