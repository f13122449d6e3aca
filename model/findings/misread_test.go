package findings

import (
	"math"
	"slices"
	"testing"

	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// A reading is misread where it is 3.5 of its and the prediction's uncertainty together from what the others predict, as they
// drift; the number meant, of a slip of the pen, is within three of these. Nothing is said of one that the others don't predict.
func TestMisreadByHand(t *testing.T) {
	s := sessionOf(156, append(full(), full()...)...)
	for i := range s.Log.Readings {
		s.Log.Readings[i].Frequency *= 1 + 3e-3*float64(i)/25
	}
	const i = 20
	r := fitted(t, leaving(s, i))
	o := &r.Session.Log.Readings[i]
	e := r.Frequency(o.State, nil)
	o.Uncertainty = 1.5 * e.Uncertainty
	then, u := e.Value*r.DriftAt(i), math.Hypot(1.5, 1)*e.Uncertainty
	if !(math.Abs(then-e.Value) > u) {
		t.Fatalf("drifts by %v of %v", then-e.Value, u)
	}
	for _, side := range []float64{-1, 1} {
		for off, want := range map[float64]bool{3.45: false, 3.55: true} {
			o.Frequency = then + side*off*u
			if m := misread(r, i); (m != nil) != want || want && (m.Kind != MistakenReading || m.Read != o.Frequency || m.Predict != then || m.Within != e.Uncertainty || !slices.Equal(m.Lines, []int{o.Line})) {
				t.Errorf("off by %v: %+v", side*off, m)
			}
		}
		for off, want := range map[float64]bool{2.9: true, 3.1: false} {
			meant := math.Round(then + side*off*u)
			o.Frequency = meant + 1e5
			if int(meant/1e5)%10 == 9 {
				o.Frequency = meant - 1e5
			}
			if m := misread(r, i); m == nil || (m.Meant == meant) != want || !want && !math.IsNaN(m.Meant) {
				t.Errorf("meant %v, off by %v: %+v", meant, side*off, m)
			}
		}
	}
	s = sessionOf(157, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(simulated.Spike))
	r = fitted(t, leaving(s, 3))
	r.Session.Log.Readings[3].Frequency *= 2
	if m := misread(r, 3); m != nil {
		t.Errorf("of a part that nothing else tells of: %+v", m)
	}
}

// From 2000 readings on none is looked at by a fit without it.
func TestTooManyForAFitEach(t *testing.T) {
	for n, want := range map[int]int{1999: 1999, 2000: 0} {
		r := &estimation.Result{Problem: &estimation.Problem{Rows: make([]int, n)}, Readings: []estimation.ReadingResult{{Leverage: 0.995}}, Quality: estimation.Quality{DegreesOfFreedom: 5, PValue: 1e-9}}
		if got := unchecked(r); len(got) != want {
			t.Errorf("of %d readings %d are unchecked", n, len(got))
		}
		if n == 2000 && findMistake(r, nil) != nil {
			t.Error("looked for a mistake")
		}
	}
}

// A mistake is looked for where chance makes as much χ² in less than one of a thousand sessions.
func TestMistakeFromWhenOn(t *testing.T) {
	s := sessionOf(158, append(full(), full()...)...)
	s.Log.Readings[5].Frequency *= 1.1
	r := fitted(t, s)
	for p, want := range map[float64]bool{0.99e-3: true, 1.01e-3: false, math.NaN(): false} {
		r.Quality.PValue = p
		if m := findMistake(r, nil); (m != nil) != want {
			t.Errorf("chance %v: %+v", p, m)
		}
	}
}

// What neighbours have in common, and what a robust fit would forget, may be the mistake: it is looked for without either. A
// part is as uncertain as its value is large, so that one that was written a tenth of itself may be off as others are.
func TestMistakeLookedForPlainly(t *testing.T) {
	s := sessionOf(158, append(full(), full()...)...)
	s.Log.Readings[5].Frequency *= 1.1
	r := fitted(t, s)
	want := findMistake(r, nil)
	for what, change := range map[string]func(s *estimation.Session){"alike": func(s *estimation.Session) { s.Alike = 0.8 }, "robust": func(s *estimation.Session) { s.Robust = true }} {
		other := *r
		change(&other.Session)
		if got := findMistake(&other, nil); got == nil || want == nil || got.Kind != want.Kind || !slices.Equal(got.Lines, want.Lines) || got.Predict != want.Predict || got.Within != want.Within {
			t.Errorf("%s: %+v, want %+v", what, got, want)
		}
	}
	s = sessionOf(159, append(full(), full()...)...)
	p := &s.Log.Parts[2]
	p.Capacitance, p.Uncertainty = 0.1*0.92*p.Capacitance, 0.1*0.05*p.Capacitance
	if m := findMistake(fitted(t, s), nil); m == nil || m.Kind != MistakenPart || m.Part != p.Name || m.Meant != 10*p.Capacitance {
		t.Errorf("a tenth of itself: %+v", m)
	}
}

// A lumped model misses a coil by per cents: no mistake is looked for beside it. Of so many readings that a fit each takes too
// long suspects are told by their residual alone. What a part without a value is doesn't count in what χ² would lose.
func TestWhatIsNotLookedFor(t *testing.T) {
	s := sessionOf(158, append(full(), full()...)...)
	s.Log.Readings[5].Frequency *= 1.1
	r := fitted(t, s)
	for _, lumped := range []bool{false, true} {
		r.Session.Lumped = lumped
		if list := All(r, r, nil); slices.ContainsFunc(list, func(f Finding) bool { return f.Kind == LikelyMistake }) == lumped {
			t.Errorf("lumped %v: %+v", lumped, list)
		}
	}
	r = problemOf(t, sessionOf(160, simulated.Added(), simulated.Added(4.7), simulated.Added(simulated.Spike)))
	r.Solution.X = r.Problem.Start(r.Session.Log)
	r.Scatter.Redundancy, r.Scatter.Scale = 50, 1
	r.Readings = make([]estimation.ReadingResult, 3)
	for i := range r.Readings {
		o := &r.Readings[i]
		o.Reading = r.Session.Log.Readings[i]
		o.Residual, o.Standardised = 2*r.Problem.Uncertainty(r.Solution.X, &o.Reading), 1
	}
	for _, k := range r.Problem.PartAt {
		r.Solution.X[k] = 3
	}
	if got := excess(r); !(math.Abs(got[0]-4) <= 1e-9) || !(math.Abs(got[1]-13) <= 1e-9) || !(math.Abs(got[2]-4) <= 1e-9) {
		t.Errorf("χ² would lose %v", got)
	}
	r.Readings[1].Residual *= 5
	r.Readings[1].Standardised = 9
	r.Problem.Rows = append(make([]int, 1999), 1)
	FlagSuspects(r, nil)
	if o := r.Readings[1]; !o.Flagged || o.Deleted != 9 || o.Without != nil || r.Readings[0].Flagged {
		t.Errorf("of two thousand: %+v", o)
	}
}

// A robust fit is advised where readings scatter much, but for a wrong part or value, nor where they fit no coil at all, which is
// told where nothing else is. Beside a mistake, no larger ± is advised by repeats that have it among them.
func TestWhatHelpsAgainstScatter(t *testing.T) {
	of := func(list []Finding, kind FindingKind) *Finding {
		if i := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == kind }); i >= 0 {
			return &list[i]
		}
		return nil
	}
	loose := sessionOf(73, full()...)
	for i := range loose.Log.Readings {
		loose.Log.Readings[i].Uncertainty /= 15
	}
	r := fitted(t, loose)
	for _, c := range [][]Finding{nil, {{Kind: KnownContradicts, Name: quantities.CoreGain}}} {
		if f := of(All(r, r, c), ScatterExceeds); f == nil || f.Robust != (c == nil) {
			t.Errorf("contradicted %v: %+v", c, f)
		}
	}
	odd := sessionOf(161, append(full(), full()...)...)
	for k, i := range []int{2, 6, 11, 15, 21} {
		odd.Log.Readings[i].Frequency *= 1 + 0.1*float64(1-2*(k%2))
	}
	r = fitted(t, odd)
	list := All(r, r, nil)
	if f := of(list, ScatterExceeds); of(list, FitsNoCoil) == nil || of(list, LikelyMistake) != nil || f == nil || f.Robust {
		t.Errorf("fits no coil: %+v", list)
	}
	for by, far := range map[float64]bool{1.2: true, 1.003: false} { // so far off that it fits no coil; so little that the repeats show their scatter
		wrong := sessionOf(158, append(full(), full()...)...)
		for i := range wrong.Log.Readings {
			wrong.Log.Readings[i].Uncertainty /= 2
		}
		wrong.Log.Readings[5].Frequency *= by
		r = fitted(t, wrong)
		if _, is := checkFarOff(r); is != far || (repeatScatter(r) == nil) != far {
			t.Fatalf("far off %v, repeats %+v", is, repeatScatter(r))
		}
		list = All(r, r, nil)
		if f := of(list, ScatterExceeds); of(list, LikelyMistake) == nil || of(list, FitsNoCoil) != nil || f == nil || f.Repeats != nil || f.Robust {
			t.Errorf("beside a mistake: %+v", list)
		}
	}
}

// Of several values known, that which contradicts is told, wherever it stands among them.
func TestWhichKnownValueContradicts(t *testing.T) {
	gain := quantities.Known{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.6, Uncertainty: 0.3}
	wrong := quantities.Known{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.5e-3, Uncertainty: 0.1e-6}
	for _, known := range [][]quantities.Known{{gain, wrong}, {wrong, gain}} {
		s := sessionOf(162, append(full(), full()...)...)
		s.Known = known
		r := fitted(t, s)
		f, found := contradictingPrior(r, nil)
		if !found || f.Kind != KnownContradicts || f.Name != quantities.Inductance || f.Value != wrong.Value || !(f.Other < -3) {
			t.Errorf("%+v, %v of scatter %v", f, found, r.Scatter.Scale)
		}
		for _, u := range []float64{0.1e-6, 1e-6, 3e-6, 10e-6} { // hardly moved, or pulled at: told once
			s.Known = slices.Clone(known)
			s.Known[slices.Index(known, wrong)].Uncertainty = u
			if list := Contradictions(fitted(t, s)); len(list) != 1 || list[0].Name != quantities.Inductance {
				t.Errorf("± %v: %+v", u, list)
			}
		}
	}
}
