package findings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"fitcoil/fit"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/patterns"
)

func kindsOf(list []Finding) (kinds []FindingKind) {
	for _, f := range list {
		kinds = append(kinds, f.Kind)
	}
	return kinds
}

// Of readings that fit no coil, the root mean square of residuals over what is redundant, relative, and
// the lines where they do least; from 2 % on, of what chance doesn't make.
func TestFarOffByHand(t *testing.T) {
	for what, c := range map[string]struct {
		off, p, redundancy float64
		robust, lumped     bool
		want               bool
	}{
		"just": {0.0201, 9e-4, 4, false, false, true}, "not quite": {0.0199, 9e-4, 4, false, false, false}, "by chance": {0.03, 1.1e-3, 4, false, false, false},
		"nothing redundant": {0.03, 9e-4, 0.9, false, false, false}, "little": {0.03, 9e-4, 1.1, false, false, true}, "robust": {0.03, 9e-4, 4, true, false, false}, "lumped": {0.03, 9e-4, 4, false, true, false},
	} {
		r := problemOf(t, sessionOf(111, full()...))
		r.Session.Robust, r.Session.Lumped = c.robust, c.lumped
		r.Quality.PValue, r.Scatter.Redundancy = c.p, c.redundancy
		r.Readings = make([]estimation.ReadingResult, len(r.Session.Log.Readings))
		squares := 0.0
		for i := range r.Readings {
			o := &r.Readings[i]
			o.Reading = r.Session.Log.Readings[i]
			o.Residual = []float64{3, -1, 0.5}[i%3] * o.Frequency * map[bool]float64{true: 1, false: 0.1}[i > 6]
			squares += math.Pow(o.Residual/o.Frequency, 2)
		}
		for i := range r.Readings {
			r.Readings[i].Residual *= c.off / math.Sqrt(squares/c.redundancy)
		}
		f, found := checkFarOff(r)
		if found != c.want {
			t.Errorf("%s: %+v, %v", what, f, found)
		}
		if found {
			near.Times(t, what, f.Value, c.off, 1e-9)
			if line := func(i int) int { return r.Readings[i].Line }; f.Kind != FitsNoCoil || !slices.Equal(f.Lines, []int{line(7), line(9), line(12)}) {
				t.Errorf("%s: %+v", what, f)
			}
		}
	}
}

// What is told of the whole: scatter that chance makes in less than one of twenty, agreement as in one of a
// hundred, with a robust fit advised from twice the stated on, unless the repeats explain it.
func TestWhatIsToldOfTheWhole(t *testing.T) {
	good := fitted(t, sessionOf(112, append(full(), full()...)...))
	for what, c := range map[string]struct {
		scale, p, data float64 // p of the readings alone
		want           FindingKind
		robust         bool
	}{
		"scatter": {1.06, 0.049, 0.5, ScatterExceeds, false}, "no more than stated": {1.04, 0.049, 0.5, -1, false}, "by chance": {1.5, 0.051, 0.5, -1, false},
		"much": {2.01, 0.01, 0.5, ScatterExceeds, true}, "not much": {1.99, 0.01, 0.5, ScatterExceeds, false},
		"too good": {1, 0.991, 0.991, TooGood, false}, "with priors": {1, 0.991, 0.989, -1, false}, "not with priors": {1, 0.989, 0.991, -1, false},
	} {
		r := *good
		r.Quality.Scale, r.Quality.PValue = c.scale, c.p
		r.Scatter.Redundancy = 10
		r.Solution.DataSquares = distuv.ChiSquared{K: 10}.Quantile(1 - c.data)
		var told []Finding
		for _, f := range All(&r, &r, nil) {
			if f.Kind == ScatterExceeds || f.Kind == TooGood || f.Kind == NothingToTest {
				told = append(told, f)
			}
		}
		if (c.want < 0) != (len(told) == 0) || len(told) > 0 && (told[0].Kind != c.want || told[0].Robust != c.robust) {
			t.Errorf("%s: %+v", what, told)
		}
		if len(told) > 0 {
			value, other := c.p, 0.0
			if c.want == ScatterExceeds {
				value, other = c.scale, c.p
			}
			if told[0].Value != value || told[0].Other != other {
				t.Errorf("%s: %+v, want %v and %v", what, told[0], value, other)
			}
		}
		robust := r
		robust.Session.Robust = true
		if list := All(&robust, &robust, nil); slices.ContainsFunc(list, func(f Finding) bool { return f.Robust }) {
			t.Errorf("%s: a robust fit is advised of one", what)
		}
	}
	few := *good
	few.Quality.Redundancy, few.Quality.Scale, few.Quality.PValue = 0.9, 3, 0.01
	if got := kindsOf(All(&few, &few, nil)); !slices.Contains(got, NothingToTest) || slices.Contains(got, ScatterExceeds) {
		t.Errorf("nothing redundant: %v", got)
	}
	s := sessionOf(113, append(full(), full()...)...)
	for i := range s.Log.Readings {
		s.Log.Readings[i].Uncertainty /= 4
	}
	r := fitted(t, s)
	repeats, list := repeatScatter(r), All(r, r, nil)
	if i := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == ScatterExceeds }); i < 0 || repeats == nil || list[i].Repeats == nil || *list[i].Repeats != *repeats || !repeats.Explain() || list[i].Robust {
		t.Errorf("%+v, repeats %+v", list, repeats)
	}
	at := *good
	at.Parameters = slices.Clone(good.Parameters)
	at.Parameters[1].Bound = fit.AtUpper
	var bounds []string
	for _, f := range All(good, &at, nil) {
		if f.Kind == AtBound {
			bounds = append(bounds, f.Name)
		}
	}
	if !slices.Equal(bounds, []string{at.Parameters[1].Name}) {
		t.Errorf("at bounds %v", bounds)
	}
}

// What is told of single readings: which, and its numbers; of readings left aside nothing else, too.
func TestWhatIsToldOfReadings(t *testing.T) {
	log := sessionOf(119, append(full(), simulated.Added().Rod(0.5), simulated.Added())...)
	log.Log.Readings[0].Use = false // so that rows are not readings
	r := fitted(t, log)
	line := func(i int) int { return r.Readings[i].Line }
	for i := range r.Readings {
		r.Readings[i].Standardised, r.Readings[i].Leverage = 0.1*float64(1-2*(i%2)), 0.5
	}
	r.Readings[3].Flagged, r.Readings[3].Deleted = true, -7.5
	r.Readings[6].Moves, r.Readings[6].Standardised = &estimation.Moved{Estimate: &r.Parameters[1], By: 1.75}, -2.5
	r.Readings[9].Flagged, r.Readings[9].Deleted = true, 9
	r.Readings[4].Leverage, r.Readings[11].Leverage = 0.995, 0.995
	r.Solution.Forgotten = []int{slices.Index(r.Problem.Rows, 9)}
	got := map[FindingKind][]Finding{}
	for _, f := range All(r, r, nil) {
		got[f.Kind] = append(got[f.Kind], f)
	}
	one := func(k FindingKind) Finding {
		if len(got[k]) != 1 {
			t.Fatalf("kind %v: %+v", k, got[k])
		}
		return got[k][0]
	}
	if f := one(ReadingSuspect); f.Line != line(3) || f.Value != -7.5 {
		t.Errorf("suspect: %+v", f)
	}
	if f := one(ReadingDecisive); f.Line != line(6) || f.Value != 1.75 || f.Other != -2.5 || f.Moves != r.Readings[6].Moves {
		t.Errorf("decisive: %+v", f)
	}
	if f := one(ReadingForgotten); f.Line != line(9) {
		t.Errorf("left aside: %+v", f)
	}
	if f := one(ReadingsUnchecked); !slices.Equal(f.Lines, []int{line(4), line(11)}) {
		t.Errorf("unchecked: %+v", f)
	}
	half := r.Readings[13]
	if f := one(ModelUncertainty); f.Value != r.Problem.ModelUncertainty(r.Solution.X, &half.State) || !half.Partly() {
		t.Errorf("of the model: %+v", f)
	}
}

// A trend is told where chance makes it in less than one of a hundred sessions.
func TestTrendFromWhenOn(t *testing.T) {
	r := fitted(t, sessionOf(114, append(full(), full()...)...))
	told, spared := 0, 0
	for k := range 20 {
		for i := range r.Readings {
			r.Readings[i].Standardised = math.Sin(float64(7*i)) + 0.01*float64(k*i)
		}
		rho, p := patterns.Trend(usedResiduals(r))
		list := All(r, r, nil)
		at := slices.IndexFunc(list, func(f Finding) bool { return f.Kind == RunOrderTrend })
		if (at >= 0) != (p < 0.01) || at >= 0 && (list[at].Value != rho || list[at].Other != p) {
			t.Errorf("p = %v: %+v", p, list)
		}
		if p < 0.01 {
			told++
		} else if p < 0.05 {
			spared++
		}
	}
	if told == 0 || spared == 0 {
		t.Errorf("%d told, %d spared: the test needs both", told, spared)
	}
}

// The shape is assumed where more than half of the variance of the share comes from priors.
func TestShapeAssumedByHalf(t *testing.T) {
	assumed, read := 0, 0
	for k := range 12 {
		s := estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(115, 9)), math.Pow(10, -3.4+0.1*float64(k)), 1e-4, append(full(), full()...)...)}
		r := fitted(t, s)
		grad := make([]float64, r.Problem.N)
		grad[r.Problem.Share] = 1
		all, priors := 0.0, 0.0
		for row, u := range fit.Must(fit.Contributions(r.Problem.Problem, r.Solution, r.Covariance, grad)) {
			all += u * u
			if row.Prior && r.Problem.Origins[row.Index].IsPrior() {
				priors += u * u
			}
		}
		want := priors > all/2
		if shareAssumed(r) != want {
			t.Errorf("%v of the variance from priors: assumed %v", priors/all, !want)
		}
		if want {
			assumed++
		} else if priors > all/20 {
			read++
		}
	}
	if assumed == 0 || read == 0 {
		t.Errorf("%d assumed, %d read: the test needs both", assumed, read)
	}
}

// A core's dispersion is told where it moves frequencies by a thousandth, half of what the gain moves.
func TestDispersionFromWhenOn(t *testing.T) {
	told, spared := 0, 0
	for k := range 14 {
		r := dispersingCore(t, 80*math.Pow(1.25, float64(k)))
		d, ok := Disperses(r)
		f, found := checkDispersion(r)
		if want := ok && d.Gain > 2e-3; found != want || found && (f.Kind != CoreDisperses || f.Value != d.Gain) {
			t.Errorf("gain moves by %v: %+v, %v", d.Gain, f, found)
		}
		switch {
		case d.Gain > 2e-3 && d.Gain < 5e-3:
			told++
		case d.Gain > 0.8e-3 && d.Gain < 2e-3:
			spared++
		}
	}
	if told == 0 || spared == 0 {
		t.Errorf("%d told, %d spared: the test needs both", told, spared)
	}
}

// Beside a mistake nothing is told that it may make: no reading that decides, no trend, no drift, and of
// what contradicts only what may be right though the mistake is one.
func TestBesideAMistake(t *testing.T) {
	truth := simulated.Lighthouse()
	truth.Drift = 3e-3
	s := estimation.Session{Log: truth.Session(rand.New(rand.NewPCG(116, 9)), 2e-4, 0.01, append(full(), full()...)...)}
	s.Log.Readings[4].Frequency *= 1.004
	r := fitted(t, s)
	r.Readings[8].Moves = &estimation.Moved{Estimate: &r.Parameters[0], By: 2}
	r.Readings[4].Flagged, r.Readings[9].Flagged = true, true
	for i := range r.Readings {
		r.Readings[i].Standardised = float64(i)
	}
	if _, found := CheckDrift(r, r); !found {
		t.Fatal("no drift")
	}
	list := All(r, r, []Finding{{Kind: KnownContradicts}, {Kind: PartOffTolerance, Name: s.Log.Parts[0].Name}})
	if list[0].Kind != LikelyMistake || list[0].Mistake.Kind != MistakenReading {
		t.Fatalf("%+v", list)
	}
	if n := len(slices.DeleteFunc(kindsOf(list), func(k FindingKind) bool { return k != ReadingSuspect })); n != 1 {
		t.Errorf("%d readings suspect", n)
	}
	for _, f := range list {
		if slices.Contains([]FindingKind{ReadingDecisive, RunOrderTrend, Drifts, KnownContradicts, PartOffTolerance}, f.Kind) || f.Kind == ReadingSuspect && f.Line != s.Log.Readings[4].Line {
			t.Errorf("%+v", f)
		}
	}
	// In one of few readings, and nothing tells which: what contradicts stays.
	several := 0
	for i := range 5 {
		few := sessionOf(118, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added())
		few.Log.Readings[i].Frequency *= 1.02
		r := fitted(t, few)
		part := Finding{Kind: PartOffTolerance, Name: few.Log.Parts[0].Name}
		list := All(r, r, []Finding{part})
		if list[0].Kind == LikelyMistake && list[0].Mistake.Kind == MistakenOneOf {
			if several++; list[1].Kind != part.Kind || list[1].Name != part.Name {
				t.Errorf("%+v", list)
			}
		}
	}
	if several == 0 {
		t.Error("each mistake shows where it is")
	}
	// What a mistake leaves: all, where it is in one of several readings; else the part of that reading alone.
	with := LinesWith(&s.Log, 0)
	for _, c := range []struct {
		m    Mistake
		f    Finding
		want bool
	}{
		{Mistake{Kind: MistakenOneOf}, Finding{Kind: KnownContradicts}, true}, {Mistake{Kind: MistakenReading, Lines: with}, Finding{Kind: PartOffTolerance, Name: s.Log.Parts[0].Name}, true},
		{Mistake{Kind: MistakenReading, Lines: with[:1]}, Finding{Kind: PartOffTolerance, Name: s.Log.Parts[0].Name}, false}, {Mistake{Kind: MistakenRows, Lines: with}, Finding{Kind: PartOffTolerance, Name: s.Log.Parts[0].Name}, false},
		{Mistake{Kind: MistakenReading, Lines: with}, Finding{Kind: KnownContradicts, Name: s.Log.Parts[0].Name}, false},
	} {
		if c.m.leaves(r, c.f) != c.want {
			t.Errorf("%+v leaves %+v: %v", c.m, c.f, !c.want)
		}
	}
	// A log in a wrong unit whose coil has less than no capacitance: no other unit mends it.
	s = sessionOf(117, full()...)
	for i := range s.Log.Readings {
		s.Log.Readings[i].Frequency /= 1e3
		s.Log.Readings[i].Uncertainty /= 1e3
	}
	r = fitted(t, s)
	for i, c := range [][]Finding{nil, {{Kind: KnownContradicts}}, {{Kind: CapacitanceBelowZero}}} {
		if got := kindsOf(All(r, r, c)); slices.Contains(got, Implausible) != (i < 2) {
			t.Errorf("beside %+v: %v", c, got)
		}
	}
}
