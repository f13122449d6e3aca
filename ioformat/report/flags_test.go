package report

import (
	"bytes"
	"encoding/json"
	"io"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// decoded reads what write writes.
func decoded[T any](t *testing.T, write func(w io.Writer) error) (v T) {
	t.Helper()
	var b bytes.Buffer
	must.Do(t, write(&b))
	must.Do(t, json.Unmarshal(b.Bytes(), &v))
	return v
}

// Words and yes or no of proposals, ways and predictions in JSON follow the field that they tell of, and no other.
func TestFlagsOfJSON(t *testing.T) {
	type suggestion struct {
		Kind, Part string
		Helps      bool
		New        []float64 `json:"new_capacitor"`
		Tolerance  *float64
	}
	type next struct {
		Ranked []suggestion `json:"candidates"`
		Greedy []suggestion `json:"plan"`
		Better []suggestion `json:"exchanged_plan"`
		Unmet  bool         `json:"still_undetermined"`
	}
	parts := []readings.Part{{Name: "a"}, {Name: "b"}}
	some := func(kind decisions.CandidateKind, reason decisions.Reason, determined bool) decisions.Suggestion {
		return decisions.Suggestion{Candidate: decisions.Candidate{Kind: kind, State: readings.Bare(), Part: 1, New: [2]float64{1e-12, 2e-12}, Relative: 0.1 * benchlog.BoundToStandard},
			After: quantities.Estimate{Value: 1, Uncertainty: 0.1, Determined: determined}, Reason: reason}
	}
	for _, unmet := range []bool{false, true} {
		p := decisions.Planned{Unmet: unmet, Ranked: []decisions.Suggestion{some(decisions.ReadState, decisions.ReasonRepeat, true), some(decisions.ReadNew, decisions.ReasonNothing, true), some(decisions.MeasurePart, decisions.ReasonTolerance, false), some(decisions.MeasureWinding, decisions.ReasonMeasured, true)}}
		p.Greedy, p.Better = p.Ranked[:1], p.Ranked[2:]
		j := decoded[next](t, func(w io.Writer) error { return NextJSON(w, nil, p, parts, Source{}) })
		for i, want := range []suggestion{{Kind: "reading", Helps: true}, {Kind: "reading with a new capacitor"}, {Kind: "part at a meter", Part: "b"}, {Kind: "winding by calliper", Helps: true}} {
			got := j.Ranked[i]
			if got.Kind != want.Kind || got.Part != want.Part || got.Helps != want.Helps || (got.New != nil) != (i == 1) || (got.Tolerance != nil) != (i > 0) {
				t.Errorf("%+v, want %+v", got, want)
			}
		}
		if j.Unmet != unmet || len(j.Greedy) != 1 || len(j.Better) != 2 || j.Greedy[0].Kind != "reading" || j.Better[0].Kind != "part at a meter" {
			t.Errorf("%+v", j)
		}
	}
	type way struct {
		By, Quantity, Problem string
		Reachable             bool
		Closest               *float64 `json:"closest_setting"`
	}
	type ways struct {
		Ways    []way
		Redrawn []way `json:"drawing_changes"`
	}
	for _, can := range []bool{false, true} {
		a := Ways{}
		for _, by := range []decisions.Control{decisions.ByAdded, decisions.ByCovered, decisions.ByHand} {
			a.Controls = append(a.Controls, decisions.Reached{By: by, Reachable: can, Closest: 0.5, At: decisions.Prediction{Frequency: quantities.Estimate{Value: 1e6, Uncertainty: 1, Determined: true}}})
		}
		a.Redrawn = []Redrawn{{Redrawn: decisions.Redrawn{Reachable: can, Closest: 0.25}, Name: "turns", Problem: "no sheet"}}
		j := decoded[ways](t, func(w io.Writer) error { return WaysJSON(w, nil, a, Source{}) })
		for i, by := range []string{"added", "covered", "hand"} {
			if o := j.Ways[i]; o.By != by || o.Reachable != can || (o.Closest == nil) != can {
				t.Errorf("%+v, want by %s, %v", o, by, can)
			}
		}
		if o := j.Redrawn[0]; o.Quantity != "turns" || o.Problem != "no sheet" || o.Reachable != can || (o.Closest == nil) != can {
			t.Errorf("%+v, want %v", o, can)
		}
	}
	clip, with, exact := readings.Bare(), readings.Bare(), readings.Bare()
	clip.Clip, with.Clip, exact.Clip, exact.Exact = true, true, true, 1e-12
	with.Parts = []int{1}
	for i, want := range [][]string{{}, {"clip"}, {"b"}, {}} {
		if got := state([]readings.State{readings.Bare(), clip, with, exact}[i], parts).Added; !slices.Equal(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
