package findings

import (
	"slices"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// A finding holds what its sentence tells: of a scatter its factor and its chance, of a reading that
// decides how far it moves what, and how far it stands off itself.
func TestFindingsHoldTheirNumbers(t *testing.T) {
	s := sessionOf(95, append(full(), full()...)...)
	for i := range s.Log.Readings {
		s.Log.Readings[i].Uncertainty /= 4
	}
	r := fitted(t, s)
	r.Readings[3].Moves = &estimation.Moved{Estimate: r.Find(quantities.Key{Name: quantities.Inductance}), By: 1.75}
	list := All(r, r, nil)
	of := func(k FindingKind) Finding {
		i := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == k })
		if i < 0 {
			t.Fatalf("no finding %v among %+v", k, list)
		}
		return list[i]
	}
	if f := of(ScatterExceeds); f.Value != r.Quality.Scale || f.Other != r.Quality.PValue || !(f.Value > 1.5) || !(f.Other < 0.05) {
		t.Errorf("%+v, scale %v, p %v", f, r.Quality.Scale, r.Quality.PValue)
	}
	if f := of(ReadingDecisive); f.Value != 1.75 || f.Other != r.Readings[3].Standardised || f.Line != r.Readings[3].Line {
		t.Errorf("%+v", f)
	}
}
