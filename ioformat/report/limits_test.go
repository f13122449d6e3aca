package report

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// What limits an estimate, by what its variance comes from: tolerances, of each part and in common, as one,
// readings as one, and each known value and prior by its name, the largest first.
func TestLimitsByTheirSources(t *testing.T) {
	of := log(0, 2.2, 4.7, 10)
	for i := range of.Parts {
		of.Parts[i].Lot, of.Parts[i].Common = "box", 0.5
	}
	inCore, bare := of.Readings[1], of.Readings[0]
	inCore.State.Core, inCore.State.To, inCore.State.Parts, inCore.Line, inCore.Frequency, inCore.Uncertainty = "rod", 0.5, nil, 6, 2e6, 2e3
	of.Readings = append(of.Readings, inCore)
	for i, d := range []float64{0.1, 0.15, 0.2, 0.3} { // more than the law of a hand has unknowns
		o := bare
		o.State.Hand, o.Line, o.Frequency, o.Uncertainty = d, 7+i, bare.Frequency*(1-0.012*math.Pow(0.1/d, 2.4)), 200
		of.Readings = append(of.Readings, o)
	}
	r := mustFit(t, estimation.Session{Log: of, Known: []quantities.Known{{Key: quantities.Key{Name: quantities.WindingCapacitance}, Value: 2e-12, Uncertainty: 0.2e-12}}})
	common, laws := 0.0, 0.0
	for e := range r.All() {
		if !e.Determined {
			continue
		}
		list := limitsOf(r, e)
		if !slices.IsSortedFunc(list, func(a, b contribution) int { return cmp.Compare(b.share, a.share) }) {
			t.Errorf("%s: %+v isn't the largest first", e.Name, list)
		}
		var got quantities.Budget
		for _, c := range list {
			of := &got.Known
			switch {
			case strings.HasPrefix(c.what, "tolerances of the capacitors"):
				of = &got.Tolerance
			case strings.HasPrefix(c.what, "uncertainty of the readings"):
				of = &got.Readings
			case strings.Contains(c.what, ", prior "):
				of = &got.Assumed
			case c.what == "model of a partly covered winding":
				of = &got.Model
			case c.what == "what a hand's law errs by at a distance":
				of, laws = &got.Model, laws+c.share
			case c.what != "known value of winding capacitance":
				t.Errorf("%s: limited by %q", e.Name, c.what)
			}
			*of += c.share
		}
		want := e.Budget
		common += want.Common
		for _, c := range [][2]float64{{got.Tolerance, want.Tolerance}, {got.Readings, want.Readings}, {got.Known, want.Known}, {got.Assumed, want.Assumed}, {got.Model, want.Model}} {
			if !(math.Abs(c[0]-c[1]) < 1e-6) {
				t.Errorf("%s: %+v, want %+v", e.Name, got, want)
				break
			}
		}
	}
	if !(common > 0.1) || !(laws > 0.01) {
		t.Errorf("parts have %v in common, and the law brings %v", common, laws)
	}
}

// A known value is from the drawing, unless there is none or somebody stated that very value.
func TestWhoKnowsAValue(t *testing.T) {
	const drawn, stated = "winding capacitance computed from the drawing", "known value of winding capacitance"
	of := func(name string) []quantities.Known { return []quantities.Known{{Key: quantities.Key{Name: name}}} }
	for _, c := range []struct {
		drawing *drawing.Drawn
		known   []quantities.Known
		want    string
	}{{&drawing.Drawn{}, nil, drawn}, {&drawing.Drawn{}, of(quantities.Inductance), drawn}, {&drawing.Drawn{}, of(quantities.WindingCapacitance), stated},
		{&drawing.Drawn{}, append(of(quantities.Inductance), of(quantities.WindingCapacitance)...), stated}, {nil, of(quantities.WindingCapacitance), stated}} {
		r := &model.Result{Result: &estimation.Result{Problem: &estimation.Problem{}}}
		r.Session.Drawn, r.Session.Known = c.drawing, c.known
		if got := knownSource(r, quantities.Key{Name: quantities.WindingCapacitance}); got != c.want {
			t.Errorf("%+v: %q, want %q", c, got, c.want)
		}
	}
}

// In brief the first gaps are told, three or as many as there is room for, each remedy once in a row; what is told as
// a limit, the share of the top beside another gap, and scatter of details aren't.
func TestGapsInBrief(t *testing.T) {
	known, unknown := mustFit(t, estimation.Session{Log: log(0, 4.7)}), mustFit(t, estimation.Session{Log: log(0)})
	gap := func(what findings.Gap, part string, a findings.Advice) findings.Undetermined {
		return findings.Undetermined{What: what, Part: part, Core: part, Advice: a}
	}
	a, b, c := gap(findings.GapPart, "a", findings.ReadPartWithKnown), gap(findings.GapPart, "b", findings.ReadPartWithKnown), gap(findings.GapCore, "c", findings.ReadCoreWithCapacitor)
	d, shape := gap(findings.GapPart, "d", findings.MoreReadings), gap(findings.GapShape, "", findings.ReadBareOrSmall)
	scatter := func(names ...string) findings.Undetermined {
		return findings.Undetermined{What: findings.GapScatter, Names: names, Advice: findings.ReadOftener}
	}
	const capA, capB, effC, capD = `the capacitance of "a"`, `the capacitance of "b"`, `the effect of core "c"`, `the capacitance of "d"`
	part, core, shared := ": "+remedies[findings.ReadPartWithKnown], ": "+remedies[findings.ReadCoreWithCapacitor], "how the capacitance is shared between winding and top"
	for i, x := range []struct {
		of    *model.Result
		gaps  []findings.Undetermined
		terse int
		want  string
	}{
		{known, nil, 0, ""},
		{known, []findings.Undetermined{a}, 0, "Not determined " + capA + part},
		{known, []findings.Undetermined{a, b}, 0, "Not determined " + capA + part + " and " + capB},
		{known, []findings.Undetermined{a, c, b}, 0, "Not determined " + capA + part + " and " + effC + core + " and " + capB + part},
		{known, []findings.Undetermined{a, b, c, d}, 0, "Not determined " + capA + part + " and " + capB + " and " + effC + core + " and 1 more: --full"},
		{known, []findings.Undetermined{a, b, c, d}, 1, "Not determined " + capA + part + " and " + capB + " and 2 more: --full"},
		{known, []findings.Undetermined{a, b, c, d}, 2, "Not determined " + capA + " and 3 more: --full"},
		{known, []findings.Undetermined{a, b, c, d}, 3, "Not determined " + capA + " and 3 more: --full"},
		{known, []findings.Undetermined{shape}, 0, ""},
		{unknown, []findings.Undetermined{shape}, 0, "Not determined " + shared + ": " + remedies[findings.ReadBareOrSmall]},
		{unknown, []findings.Undetermined{d, shape}, 0, "Not determined " + capD + ": " + remedies[findings.MoreReadings]},
		{known, []findings.Undetermined{scatter(quantities.Drift, quantities.TopCapacitance)}, 0, ""},
	} {
		x.of.Undetermined = x.gaps
		w := newText(View{Width: 120})
		w.open(x.of, x.terse)
		if got := strings.Join(strings.Fields(w.String()), " "); got != strings.Join(strings.Fields(x.want), " ") {
			t.Errorf("%d: %q, want %q", i, got, x.want)
		}
	}
	known.Undetermined = []findings.Undetermined{scatter(quantities.Drift, quantities.CoreGain)}
	w := newText(View{})
	if w.open(known, 0); !strings.HasPrefix(w.String(), "Not determined ") {
		t.Errorf("%q", w.String())
	}
}

// A contradiction comes before all that could be done, wherever it stands among the findings.
func TestContradictionsComeFirst(t *testing.T) {
	r := mustFit(t, estimation.Session{Log: log(0, 4.7)})
	harmless, off := findings.Finding{Kind: findings.ScatterExceeds}, findings.Finding{Kind: findings.PartOffTolerance, Name: "roof"}
	if harmless.Undermines() || !off.Undermines() {
		t.Fatal("the wrong examples")
	}
	best := decisions.Planned{Tried: 3, Now: quantities.Estimate{Determined: true}}
	const nothing, meter = "no single step lowers the uncertainty of the inductance", `resolve the contradiction first: measure part "roof" at a meter, and check its rows`
	for _, c := range []struct {
		list []findings.Finding
		plan decisions.Planned
		want string
	}{{nil, best, nothing}, {[]findings.Finding{harmless}, best, nothing}, {[]findings.Finding{harmless, off}, best, meter}, {[]findings.Finding{off, harmless}, best, meter},
		{nil, decisions.Planned{}, "fitcoil next LOG --for L ranks"}, {nil, decisions.Planned{Tried: 1}, "no single step determines the inductance"}} {
		r.Findings = c.list
		w := newText(View{Width: 120})
		w.next(r, c.plan, nil)
		if got := strings.Join(strings.Fields(w.String()), " "); !strings.HasPrefix(got, "Next "+c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Of what helps the first is told, with what it would give and what is known now; that the core is out where there is one.
func TestFirstOfWhatHelps(t *testing.T) {
	e := func(u float64) quantities.Estimate {
		return quantities.Estimate{Value: 1, Uncertainty: u, Determined: u > 0}
	}
	some := func(before, after float64, reason decisions.Reason) decisions.Suggestion {
		return decisions.Suggestion{Candidate: decisions.Candidate{State: readings.Bare()}, Before: e(before), After: e(after), Reason: reason}
	}
	none := some(0.05, 0.01, decisions.ReasonNothing)
	bare := mustFit(t, estimation.Session{Log: log(0, 4.7)})
	of := log(0, 4.7)
	in := of.Readings[0]
	in.State.Core, in.State.To, in.Frequency, in.Line = "rod", 1, in.Frequency*0.7, 4
	of.Readings = append(of.Readings, in)
	cored := mustFit(t, estimation.Session{Log: of})
	what := CandidateText(none.Candidate, nil)
	for _, c := range []struct {
		r      *model.Result
		ranked []decisions.Suggestion
		want   string
	}{
		{bare, []decisions.Suggestion{some(0.05, 0.02, decisions.ReasonRepeat), some(0.05, 0.03, decisions.ReasonRepeat)}, "read " + what + ": inductance to ± 2.0 % (now ± 5.0 %)"},
		{cored, []decisions.Suggestion{some(0.05, 0.02, decisions.ReasonRepeat), some(0.05, 0.03, decisions.ReasonRepeat)}, "read " + what + ", core out: inductance to ± 2.0 % (now ± 5.0 %)"},
		{bare, []decisions.Suggestion{none, some(0, 0.03, decisions.ReasonRepeat)}, "read " + what + ": inductance to ± 3.0 %"},
		{bare, []decisions.Suggestion{none}, "no single step lowers the uncertainty"},
	} {
		c.r.Findings = nil
		w := newText(View{Width: 120})
		w.next(c.r, decisions.Planned{Tried: 9, Now: e(0.05), Ranked: c.ranked}, nil)
		got := strings.ReplaceAll(strings.Join(strings.Fields(w.String()), " "), noBreak, " ")
		if got != "Next "+c.want && !(len(c.ranked) == 1 && strings.HasPrefix(got, "Next "+c.want)) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
