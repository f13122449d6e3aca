package findings

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/fit"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
)

// offBy is a session whose part i is off its value by so many of its standard uncertainties.
func offBy(seed uint64, i int, by float64) estimation.Session {
	s := sessionOf(seed, append(full(), full()...)...)
	s.Log.Parts = slices.Clone(s.Log.Parts)
	p := &s.Log.Parts[i]
	p.Capacitance *= 1 + 0.01*by
	p.Uncertainty = 0.01 * p.Capacitance
	return s
}

// Of parts and known values, the one is named without which the readings scatter least, by what a fit
// finds that leaves it open, and by how many standard uncertainties of the difference that misses it.
func TestWhichPriorContradicts(t *testing.T) {
	for i := range 4 {
		s := offBy(101, i, 12)
		s.Lumped = i == 0 // the prior of which is then the first
		r := fitted(t, s)
		r.Scatter.Scale = 100 // so that all have the scatter fall enough
		open := s
		open.Log.Parts = slices.Clone(s.Log.Parts)
		open.Log.Parts[i].Known = false
		e := fitted(t, open).Find(quantities.Key{Name: quantities.PartCapacitance, Part: s.Log.Parts[i].Name})
		f, found := contradictingPrior(r, nil)
		if !found || f.Kind != PartOffTolerance || f.Name != e.Part {
			t.Errorf("part %d: %+v, %v", i, f, found)
			continue
		}
		near.Times(t, "value", f.Value, e.Value, 3e-3)
		near.Times(t, "pull", f.Other, math.Log(e.Value/s.Log.Parts[i].Capacitance)/math.Hypot(0.01, e.Uncertainty/e.Value), 0.02)
		for k := range s.Log.Readings { // so that no scatter is left
			s.Log.Readings[k].Uncertainty *= 2
		}
		s.Lumped = false
		r = fitted(t, s)
		for scale, want := range map[float64]bool{1.49: false, 1.51: true} {
			r.Scatter.Scale = scale
			if _, found := contradictingPrior(r, nil); found != want {
				t.Errorf("part %d, of readings that scatter %v times: %v", i, scale, found)
			}
		}
	}
	s := sessionOf(102, append(full(), full()...)...)
	gain := fitted(t, s).Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	known := quantities.Known{Key: gain.Key, Value: gain.Value * 1.3, Uncertainty: 1e-3 * gain.Value}
	s.Known = []quantities.Known{known}
	for i := range s.Log.Readings { // so that they scatter without it, too
		s.Log.Readings[i].Uncertainty /= 2.5
	}
	r := fitted(t, s)
	row := len(r.Problem.Origins) - 1
	left := opened(r, row).Scatter.Scale
	if !(left > 1.1) {
		t.Fatalf("scatter %v is left", left)
	}
	for by, want := range map[float64]bool{2.99: false, 3.01: true} {
		r.Scatter.Scale = by * left
		f, found := contradictingPrior(r, nil)
		if found != want || found && (f.Kind != KnownContradicts || f.Name != quantities.CoreGain || f.Core != "rod" || f.Value != known.Value || f.row != row) {
			t.Errorf("scatter falls %v times: %+v, %v", by, f, found)
		}
		if found {
			near.Times(t, "pull", f.Other, math.Log(gain.Value/known.Value)/math.Hypot(1e-3*gain.Value/known.Value, gain.Uncertainty/gain.Value), 0.02)
		}
	}
	r.Scatter.Scale = 3.01 * left
	if _, found := contradictingPrior(r, &Repeats{PValue: 0.5}); found {
		t.Error("repeats that scatter as much are explained by a known value")
	}
}

// Of many tolerances and known values those are left open in turn that would lower χ² most.
func TestWhichPriorsAreSuspect(t *testing.T) {
	var steps []simulated.Step
	for i := range 16 {
		steps = append(steps, simulated.Added(1+float64(i)), simulated.Added(1+float64(i)))
	}
	r := fitted(t, sessionOf(103, steps...))
	list := suspectPriors(r)
	rows := fit.Must(fit.Diagnose(r.Problem.Problem, r.Solution))[len(r.Problem.Rows):]
	least := math.Inf(1)
	for _, i := range list {
		least = math.Min(least, math.Abs(rows[i].Studentised))
	}
	for i, o := range r.Problem.Origins {
		if o == estimation.FromTolerance && !slices.Contains(list, i) && math.Abs(rows[i].Studentised) > least {
			t.Errorf("row %d, off by %v, isn't among %v", i, rows[i].Studentised, list)
		}
	}
	if len(list) != 12 || !slices.IsSorted(list) {
		t.Errorf("suspect %v", list)
	}
}

// Of several that seem off, those stay of which one alone, left open, has none off; wherever it stands among
// them. Where none does, or they are more than can be tried, all stay.
func TestCausesAmongSeveral(t *testing.T) {
	for i := range 4 {
		s := offBy(101, i, 12)
		r := fitted(t, s)
		list := make([]Finding, 4)
		for row, o := range r.Problem.Origins {
			if o == estimation.FromTolerance {
				k := r.Problem.PriorOf[row]
				list[k] = Finding{Kind: PartOffTolerance, Name: r.Problem.Parts[k].Name, row: row}
			}
		}
		innocent := append(slices.Clone(list[:i]), list[i+1:]...)
		for at := range 4 {
			if got := causes(r, slices.Insert(slices.Clone(innocent), at, list[i]), nil); len(got) != 1 || got[0].row != list[i].row {
				t.Errorf("part %d, the %dth: %+v", i, at, got)
			}
		}
		if got := causes(r, innocent, nil); !slices.EqualFunc(got, innocent, func(a, b Finding) bool { return a.row == b.row }) {
			t.Errorf("part %d isn't among them: %+v", i, got)
		}
		if got := causes(r, list[i:i+1], nil); len(got) != 1 {
			t.Errorf("part %d alone: %+v", i, got)
		}
	}
}

// What contradicts is told by how much it is off, the most first; tolerances as a whole only where none
// is off by itself; and before all that the coil would have less than no capacitance.
func TestContradictionsInOrder(t *testing.T) {
	for _, signs := range [][2]float64{{1, -1}, {-1, 1}} {
		s := offBy(104, 2, 9*signs[0])
		gain := fitted(t, sessionOf(104, append(full(), full()...)...)).Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
		s.Known = []quantities.Known{{Key: gain.Key, Value: gain.Value * (1 + 0.6*signs[1]), Uncertainty: 0.02 * gain.Value}}
		list := Contradictions(fitted(t, s))
		if len(list) != 2 || list[0].Kind != KnownContradicts || list[1].Kind != PartOffTolerance || !(math.Abs(list[0].Other) > math.Abs(list[1].Other)) || list[0].Other*list[1].Other > 0 {
			t.Errorf("signs %v: %+v", signs, list)
		}
	}
	s := offBy(104, 2, 15)
	gain := fitted(t, sessionOf(104, append(full(), full()...)...)).Find(quantities.Key{Name: quantities.CoreGain, Core: "rod"})
	s.Known = []quantities.Known{{Key: gain.Key, Value: gain.Value * 1.12, Uncertainty: 0.02 * gain.Value}}
	if list := Contradictions(fitted(t, s)); len(list) != 2 || list[0].Kind != PartOffTolerance || list[1].Kind != KnownContradicts || !(math.Abs(list[0].Other) > math.Abs(list[1].Other)) {
		t.Errorf("a part off by more: %+v", list)
	}
	alone, together := 0, 0
	for _, by := range []float64{1.014, 1.017, 1.02, 1.022, 1.025, 1.03, 1.05, 1.1} {
		s := sessionOf(84, append(full(), full()...)...)
		s.Log.Parts = slices.Clone(s.Log.Parts)
		for i := range s.Log.Parts {
			s.Log.Parts[i].Capacitance *= math.Pow(by, float64(1-2*(i%2)))
		}
		list := Contradictions(fitted(t, s))
		whole := slices.ContainsFunc(list, func(f Finding) bool { return f.Kind == TolerancesContradicted })
		if whole && len(list) != 1 {
			t.Errorf("parts off by %v: %+v", by, list)
		}
		if _, found := tolerancesContradicted(fitted(t, s)); found && !whole {
			alone++
		} else if whole {
			together++
		}
	}
	if alone == 0 || together == 0 {
		t.Errorf("%d with a part named, %d with tolerances", alone, together)
	}
	s = sessionOf(105, simulated.Added(10), simulated.Added(22), simulated.Added(10), simulated.Added(22), simulated.Added(47), simulated.Added(47))
	for i := range s.Log.Readings { // as of −5 pF beside what is added
		o := &s.Log.Readings[i]
		u := o.Uncertainty / o.Frequency
		o.Frequency = 1 / (2 * math.Pi * math.Sqrt(1e-3*(s.Log.Parts[o.Parts[0]].Capacitance-5e-12)))
		o.Uncertainty = u * o.Frequency
	}
	s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 2e-3, Uncertainty: 2e-6}}
	r := fitted(t, s)
	list := Contradictions(r)
	if farad, u, _ := belowZero(r); len(list) < 2 || list[0].Kind != CapacitanceBelowZero || list[0].Value != farad || list[0].Other != u {
		t.Errorf("below nothing: %+v", list)
	}
}

// A drift is told from 99 % confidence on, or from 3.3 of its standard uncertainties on where few readings
// show how they scatter, as which it may then be; one that is known beforehand isn't.
func TestDriftFromWhenOn(t *testing.T) {
	told, either, no := 0, 0, 0
	few := []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(), simulated.Added(4.7)}
	for _, steps := range [][]simulated.Step{few, append(full(), full()...)} {
		for k := range 32 {
			truth := simulated.Lighthouse()
			truth.Drift = 2.5e-5 * float64(k)
			s := estimation.Session{Log: truth.Session(rand.New(rand.NewPCG(106, 9)), 1e-4, 0.01, steps...)}
			r := fitted(t, s)
			v, u := r.Problem.ByReadings(estimation.Enlarged{Result: r.Solution}, r.Problem.Drift)
			degrees := r.Solution.ScaleDegrees
			if r.Scatter.Scale <= 1 && r.Scatter.Redundancy >= 3 {
				degrees = math.Inf(1)
			}
			far, seen := math.Abs(v/u), fit.CoverageFactor(0.99, degrees)
			f, found := CheckDrift(r, r)
			if found != (far > seen || far > 3.3) || found && f.OrScatter != (far <= seen) {
				t.Errorf("drift %v: %v u, %v are seen: %+v, %v", truth.Drift, far, seen, f, found)
			}
			switch {
			case far > 2 && far < math.Min(seen, 3.3):
				no++
			case found && f.OrScatter:
				either++
			case found && far < 3.3:
				told++
			}
			s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Drift}, Value: truth.Drift, Uncertainty: 1e-2}}
			if _, found := CheckDrift(fitted(t, s), r); found {
				t.Error("a known drift is told")
			}
		}
	}
	if told == 0 || either == 0 || no == 0 {
		t.Errorf("%d told, %d either, %d not: the test needs all", told, either, no)
	}
}

// Earlier sessions are contradicted where χ² rises so that chance does in less than one of a hundred, and
// the last session by itself is as it should be; the last of them is named.
func TestEarlierContradictedFromWhenOn(t *testing.T) {
	told, chance, itself := 0, 0, 0
	for k := range 60 {
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(107+uint64(k%10), 9)), 2e-4, 0.001, slices.Repeat(full(), 3)...)
		var chain []estimation.Session
		for i := range 3 {
			s := estimation.Session{Log: log}
			s.Log.Readings = slices.Clone(log.Readings[13*i : 13*i+13])
			for j := range s.Log.Readings {
				if o := &s.Log.Readings[j]; i == 2 {
					o.Frequency *= 1 + 0.8e-4*float64(k/10)
					if k%10 == 9 && j == 4 {
						o.Frequency *= 1.002
					}
				}
			}
			chain = append(chain, s)
		}
		for i, name := range []string{"first.csv", "second.csv"} {
			list := fitted(t, chain[i]).Carry()
			list[len(list)-1].Log = name
			for _, e := range list {
				chain[i+1].Follow(e)
			}
		}
		r := fitted(t, chain[2])
		squares, freedom := r.Quality.ChiSquare, float64(r.Quality.DegreesOfFreedom)
		for _, e := range r.Session.Earlier {
			squares, freedom = squares-e.Squares, freedom-e.Freedom
		}
		alone := chain[2]
		alone.Earlier = nil
		q := fitted(t, alone).Quality
		p := fit.ChiSquareSurvival(squares, freedom)
		want := p < 0.01 && !(q.PValue < 0.05)
		f, found := CheckEarlier(r)
		if found != want || found && (f.Name != "second.csv" || f.Value != p) {
			t.Errorf("%d: p %v, alone %v: %+v, %v", k, p, q.PValue, f, found)
		}
		switch {
		case want && q.PValue < 0.5:
			told++
		case p < 0.01 && !want:
			itself++
		case p > 0.01 && p < 0.1:
			chance++
		}
	}
	if told == 0 || itself == 0 || chance == 0 {
		t.Errorf("%d told, %d bad by themselves, %d by chance: the test needs all", told, itself, chance)
	}
}
