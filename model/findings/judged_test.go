package findings

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// judged is what findMistake has to say by its own words, of a whole fit for each edit, and without what spares fits:
// which lines, of which kind, and which way it was told.
func judged(t *testing.T, r *estimation.Result, contradictions []Finding, rounds int) (lines []int, kind MistakeKind, way string) {
	if !(r.Quality.PValue < 1e-3) {
		return nil, 0, "agree"
	}
	type edit struct {
		lines, changed   []int
		kind             MistakeKind
		chi, rest        float64
		strikes, explain bool
	}
	s := r.Session
	s.Robust, s.Alike = false, 0
	var all []edit
	nearest, tried, screened := math.Inf(1), 0.0, false
	try := func(s estimation.Session, price float64, kind MistakeKind, told func(o *estimation.Result) (slip, told bool), lines []int, changed ...int) {
		least, p := atBest(s, r.Problem.Anchors)
		tried++
		nearest = math.Min(nearest, least)
		screened = screened || p > 0.02
		o, err := estimation.Fit(s)
		if err != nil || !(o.Quality.PValue > 0.02) {
			return
		}
		e := edit{lines: lines, changed: changed, kind: kind, chi: o.Quality.ChiSquare + price, rest: o.Scatter.Redundancy, explain: true}
		e.strikes = r.Quality.ChiSquare-e.chi > 60*math.Max(1, o.Quality.ChiSquare/math.Max(1, float64(o.Quality.DegreesOfFreedom)))
		slip, ok := told(o)
		if slip {
			e.chi -= 3
		}
		e.explain = ok
		all = append(all, e)
	}
	log := &s.Log
	for k, o := range log.Readings {
		try(leaving(s, k), 4, MistakenReading, func(r *estimation.Result) (bool, bool) {
			m := misread(r, k)
			return m != nil && !math.IsNaN(m.Meant), m != nil
		}, []int{o.Line}, k)
		if k == 0 {
			continue
		}
		swapped, b := leaving(s), log.Readings[k-1]
		for i, from := range map[int]estimation.ReadingResult{k: {Reading: b}, k - 1: {Reading: o}} {
			swapped.Log.Readings[i].Frequency, swapped.Log.Readings[i].Uncertainty = from.Frequency, from.Uncertainty
		}
		try(swapped, 0, MistakenRows, func(*estimation.Result) (bool, bool) { return false, true }, []int{b.Line, o.Line}, k-1, k)
	}
	for p := range log.Parts {
		if !log.Parts[p].Known {
			continue
		}
		for _, factor := range []float64{0.1, 10} {
			off := s
			off.Log.Parts = slices.Clone(log.Parts)
			off.Log.Parts[p].Capacitance *= factor
			off.Log.Parts[p].Uncertainty *= factor
			try(off, 0, MistakenPart, func(*estimation.Result) (bool, bool) { return false, true }, LinesWith(log, p), with(log)[p]...)
		}
	}
	slices.SortStableFunc(all, func(a, b edit) int { return int(math.Copysign(1, a.chi-b.chi)) })
	apart, counted := 0, map[int]bool{}
	best, least := -1, -1
	for i, e := range all {
		if e.rest > 0.2 {
			if !slices.ContainsFunc(e.changed, func(k int) bool { return counted[k] }) {
				apart++
			}
			for _, k := range e.changed {
				counted[k] = true
			}
		}
		if e.explain && e.strikes && e.rest > 0.2 && best < 0 {
			best = i
		}
		if e.explain && (e.strikes || r.Scatter.Scale == 1) && least < 0 {
			least = i
		}
	}
	share := func(a, b []int) bool {
		return slices.ContainsFunc(a, func(k int) bool { return slices.Contains(b, k) })
	}
	if best >= 0 {
		b := all[best]
		rival := slices.ContainsFunc(all, func(e edit) bool { return e.explain && e.strikes && e.chi < b.chi+6 && !share(e.lines, b.lines) })
		switch {
		case apart == 1 && (!rival || b.rest >= 2.5):
			return b.lines, b.kind, "the only"
		case b.rest >= 2.5:
			return b.lines, b.kind, "the best of many"
		case b.rest >= 1.5 && !rival:
			return b.lines, b.kind, "the best"
		}
		way = "rivalled, "
	}
	switch {
	case slices.ContainsFunc(contradictions, func(f Finding) bool { return f.Kind == KnownContradicts }):
		return nil, 0, way + "known contradicts"
	case !screened:
		nu := r.Scatter.Redundancy - 1
		if left := nearest / nu; rounds > 1 && nu >= 2 && left > 1 && math.Sqrt((r.Quality.ChiSquare-nearest)/left) > fit.CoverageFactor(1-1e-3/tried, nu) {
			s := r.Session
			s.Log.Readings = slices.Clone(s.Log.Readings)
			for i := range s.Log.Readings {
				s.Log.Readings[i].Uncertainty *= math.Sqrt(left)
			}
			lines, kind, way = judged(t, fitted(t, s), contradictions, rounds-1)
			return lines, kind, "scattered: " + way
		}
		return nil, 0, "none"
	case least < 0:
		return nil, 0, way + "none left"
	}
	alone := all[least].strikes
	for _, e := range all {
		if e.explain && (e.strikes || r.Scatter.Scale == 1) && e.chi < all[least].chi+9 {
			alone = alone && share(e.lines, all[least].lines)
			lines = append(lines, e.lines...)
		}
	}
	if alone {
		return all[least].lines, all[least].kind, way + "alone"
	}
	slices.Sort(lines)
	return slices.Compact(lines), MistakenOneOf, way + "one of"
}

// What is named of short and longer logs with a mistake in them is what a whole fit of each edit by itself says.
func TestMistakesAsJudgedByWholeFits(t *testing.T) {
	a := simulated.Added
	logs := [][]simulated.Step{
		{a(), a(4.7), a(10), a()}, {a(), a(4.7), a(10), a(22), a()}, {a(), a(2.2), a(4.7), a(10), a(22), a()}, {a(), a(4.7), a(10), a(22), a().Rod(1), a(10).Rod(1), a()},
		{a(), a(10), a(), a(10), a(22), a()}, full(),
	}
	ways, drifts := map[string]int{}, map[bool]int{}
	for _, c := range [][3]int{{0, 0, 0}, {0, 2, 0}, {0, 3, 0}, {0, 4, 0}, {0, 5, 0}, {0, 8, 0}, {0, 9, 0}, {0, 0, 1}, {0, 2, 1}, {0, 3, 1}, {0, 4, 1}, {0, 5, 1}, {0, 8, 1}, {0, 9, 1}, {1, 0, 0}, {1, 4, 0}, {1, 5, 0}, {1, 7, 0}, {1, 8, 0}, {2, 0, 0}, {2, 4, 0}, {2, 5, 0}, {2, 7, 0}, {2, 8, 0}, {3, 5, 0}, {3, 8, 0}, {4, 0, 0}, {4, 1, 0}, {4, 2, 0}, {4, 4, 0}, {4, 5, 0}, {4, 1, 1}, {4, 4, 1}, {4, 5, 1}, {4, 7, 1}, {4, 4, 2}, {4, 5, 2}, {4, 7, 2}, {4, 5, 3}} {
		n, kind, seed := c[0], c[1], c[2]
		steps := logs[n]
		s := written(uint64(160+seed*1000+10*n+kind), steps...)
		k := 1 + (n+kind)%(len(steps)-2)
		o, b := &s.Log.Readings[k], &s.Log.Readings[k+1]
		off := 1.0
		switch kind {
		case 0:
			o.Frequency *= 1.1
		case 1:
			o.Frequency *= 1.003
		case 2:
			o.Frequency, b.Frequency = b.Frequency, o.Frequency
		case 3:
			s.Log.Parts[0].Capacitance *= 10
			s.Log.Parts[0].Uncertainty *= 10
		case 4:
			o.Frequency *= 0.9
			off = 8
		case 5:
			o.Frequency *= 1.01
			s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.4e-3, Uncertainty: 0.01e-3}}
		case 6:
			o.Frequency *= 1.02
			s.Alike, s.Robust = 0.6, n%2 == 0
		case 7:
			o.Frequency *= 1.03
			off = 20
		case 8, 9:
			for i := range s.Log.Readings {
				s.Log.Readings[i].Frequency *= 1 + 4e-3*float64(2*kind-17)*float64(i)/float64(len(steps)-1)
				s.Log.Moments = append(s.Log.Moments, 0.5*float64(i))
			}
			s.Log.Hours = kind == 9
		}
		for i := range s.Log.Readings {
			s.Log.Readings[i].Uncertainty /= off
		}
		r, err := estimation.Fit(s)
		if err != nil {
			continue
		}
		contradictions := Contradictions(r)
		got := findMistake(r, contradictions)
		lines, of, way := judged(t, r, contradictions, 3)
		ways[way]++
		if (got == nil) != (lines == nil) || got != nil && (!slices.Equal(got.Lines, lines) || got.Kind != of) {
			t.Errorf("log %d, mistake %d: %+v, want %v in lines %v (%s)", n, kind, got, of, lines, way)
		}
		drift, u := 0.0, 0.0
		if of == MistakenOneOf && !strings.HasPrefix(way, "scattered") {
			if drift, u = driftInstead(r); drift != 0 {
				drifts[s.Log.Hours]++
			} else {
				u = 0
			}
		}
		if got != nil && (got.Drift != drift || got.DriftWithin != u || got.Hourly != (drift != 0 && s.Log.Hours)) {
			t.Errorf("log %d, mistake %d: %+v, drift instead %v ± %v", n, kind, got, drift, u)
		}
	}
	if len(ways) < 8 || len(drifts) < 2 {
		t.Errorf("ways %v, drifts %v: the test needs more", ways, drifts)
	}
}
