package report

import (
	"bytes"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// A part of stated value that differs between two sessions is a sign of other parts, or of ± too small;
// one whose value the readings found may well have changed.
func TestPartsMoved(t *testing.T) {
	r := &model.Result{Result: &estimation.Result{Problem: &estimation.Problem{}}}
	r.Session.Log = readings.Log{Parts: []readings.Part{{Name: "2.2 pF", Known: true}, {Name: "10 pF", Known: true}, {Name: "roof"}}}
	change := func(part string, moved bool) decisions.Change {
		e := quantities.Estimate{Key: quantities.Key{Name: quantities.PartCapacitance, Part: part}, Unit: "F", Value: 1e-12, Uncertainty: 1e-15, Determined: true}
		return decisions.Change{A: e, B: e, Difference: e, Moved: moved}
	}
	told := decisions.Comparison{SplitA: true, SplitB: true, Changes: []decisions.Change{change("2.2 pF", true), change("10 pF", false), change("roof", true)}}
	silent := decisions.Comparison{SplitA: true, SplitB: true, Changes: told.Changes[1:]}
	for _, c := range []struct {
		decisions.Comparison
		want bool
	}{{told, true}, {silent, false}} {
		for _, write := range []func(b *bytes.Buffer) error{
			func(b *bytes.Buffer) error {
				return CompareText(b, c.Comparison, [2]*model.Result{r, r}, [2]Source{}, View{})
			},
			func(b *bytes.Buffer) error {
				return CompareJSON(b, c.Comparison, [2]*model.Result{r, r}, Source{}, Source{})
			},
		} {
			var b bytes.Buffer
			must.Do(t, write(&b))
			s := strings.Join(strings.Fields(b.String()), " ")
			if got := strings.Contains(s, "2.2 pF: parts stay what they are"); got != c.want {
				t.Errorf("told %v, want %v: %s", got, c.want, s)
			}
		}
	}
}
