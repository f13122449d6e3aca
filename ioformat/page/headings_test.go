package page

import (
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/report"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// Blocks have a place to be linked to, a title, and the story of their quantities below it; tables say in their captions what
// they hold.
func TestHeadingsOfBlocks(t *testing.T) {
	r, _ := demo(t)
	own := []section{{ID: "quantities-7", Title: "The primary", About: aboutCoupling, Story: "The story of a coupling."}, {ID: "quantities-8", Title: "What is lost", About: aboutLosses, Story: "The story of losses."}}
	list := must.Get(blocks(r, own, 0)).In(t)
	if len(list) != 2 {
		t.Fatalf("%d blocks", len(list))
	}
	for i, want := range [][2]string{{"coupling", "Coupling of the primary"}, {"losses", "Losses"}} {
		b := list[i]
		if b.ID != want[0] || b.Title != want[1] || strings.Join(b.Words, "|") != own[i].Story || b.Section != &own[i] || b.Figures != nil || b.Tables != nil || b.List != nil {
			t.Errorf("%+v", b)
		}
	}
	e := quantities.Estimate{Key: quantities.Key{Name: quantities.EffectiveInductance}, Unit: "H", Value: 1e-3, Uncertainty: 20e-6, Interval: [2]float64{0.96e-3, 1.04e-3}, Coverage: 2, Determined: true}
	profiles := []estimation.Profiled{{Estimate: &e, Profile: [2]float64{0.96e-3, 1.05e-3}}}
	_, summary := report.ProfilesTable(profiles, true)
	b := must.Get(checked(r, report.Extra{Profiles: profiles})).In(t)
	if b.ID != "checked" || b.Title != "Linear intervals checked" || len(b.Tables) != 1 || strings.Join(b.Words, "|") != "By profile likelihood: "+summary ||
		b.Tables[0].Caption != "95 % intervals by profile likelihood: the values for which χ², with all else fitted anew, rises by no more than k²" || b.Tables[0].Class != "" {
		t.Errorf("%+v", b)
	}
	if b := must.Get(checked(r, report.Extra{})).In(t); b != nil {
		t.Errorf("nobody asked for %+v", b)
	}
}

// A clause becomes a sentence: a letter that begins it is a capital, a symbol stays; what asks has its mark already.
func TestClausesBecomeSentences(t *testing.T) {
	for of, want := range map[string]string{"line 2 is off": "Line 2 is off.", "χ² is high": "χ² is high.", "4 readings": "4 readings.", "L is known": "L is known."} {
		if got := sentence(of); got != want {
			t.Errorf("%q", got)
		}
	}
	for of, want := range map[string]string{"a.csv: read": "a.csv: read.", "a.csv: what?": "a.csv: what?"} {
		if got := ended(of); got != want {
			t.Errorf("%q", got)
		}
	}
}
