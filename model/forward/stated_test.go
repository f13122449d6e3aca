package forward

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/field"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// The sizes of what is assumed are those that docs/mathematics.md and docs/uncertainty.md state: plain
// choices of the project, of which a user reads there.
func TestSizesAreAsDocumented(t *testing.T) {
	for what, c := range map[string][2]float64{
		"clips and leads, F": {LeadSigma, 0.1e-12}, "another bench, F": {StraySigma, 1e-12}, "drift": {DriftSigma, 500e-6}, "share of a tolerance in common": {CommonShare, 0.25},
		"errors of one place": {Apart, 0.2}, "of that in common": {InCommon*InCommon + Apart*Apart, 1}, "a hand at a distance": {HandSpread, 0.03}, "end of a core": {CoverRead, 0.005 / math.Sqrt(3)},
		"ends of a core from the base": {resonator.CoveredFromEnd, 0.017}, "and elsewhere": {resonator.CoveredInTheMiddle, 0.054}, "moved at most": {resonator.MovedMean * math.Exp(resonator.MovedSigma*resonator.MovedMost), 0.173},
	} {
		near.Times(t, what, c[0], c[1], 5e-3)
	}
}

// A core that weakens the field takes no more than all that it takes where it is: half of what is left
// is the limit of what the ends make of it.
func TestWeakeningCoreAtItsLimit(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(202, 1)), 1e-4, 0.01, simulated.FullSession()...)
	f := New(&log, &resonator.Line{}, false, nil, Earlier{}, nil)
	c := f.Cores[0]
	x := make([]float64, f.N)
	met := [2]int{}
	for e := -2.0; e < 2.5; e += 0.25 {
		for g := 0.05; g < 1; g += 0.025 {
			x[c.At], x[c.Ends] = math.Log(g), e
			s := readings.Bare()
			s.Core, s.From, s.To = "rod", 0.4, 0.7
			k, perE := resonator.Covered(s.From, s.To, e)
			want, perGain, perEnds := 1+(g-1)*k, g*k, (g-1)*perE
			switch {
			case want < g/2:
				want, perGain, perEnds = g, g, 0
				if met[0]++; 1+(g-1)*k > g/3 {
					met[1]++
				}
			case k <= 1:
				continue
			}
			gain, a, b := f.apparent(x, &c, &s)
			near.Times(t, "gain", gain, want, 1e-12)
			near.Times(t, "by ln g", a, perGain, 1e-12)
			near.To(t, "by the ends", b, perEnds, 1e-12)
		}
	}
	if met[0] == met[1] || met[1] == 0 {
		t.Errorf("limited %d times, %d of them just: the test needs more", met[0], met[1])
	}
}

// A hand's law has an error of its own at each distance from four on, as it passes through three.
func TestErrorsOfTheHandsLaw(t *testing.T) {
	for _, n := range []int{1, 2, 3, 4, 5, MostPlaces, MostPlaces + 1} {
		steps := []simulated.Step{simulated.Added(), simulated.Added(10)}
		for i := range n {
			steps = append(steps, simulated.Added().Near(0.1*float64(i+1)))
		}
		log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(203, 1)), 1e-4, 0.01, steps...)
		want := n
		if n < 4 || n > 40 {
			want = 0
		}
		if f := New(&log, &resonator.Line{}, false, nil, Earlier{}, nil); len(f.Near) != want || len(f.Distances) != n {
			t.Errorf("%d distances: %d errors of the law, distances %v", n, len(f.Near), f.Distances)
		} else if want > 0 { // 3 % of the capacitance for each standard uncertainty, there alone
			x := make([]float64, f.N)
			x[f.Hand], x[f.Hand+1], x[f.Hand+2] = math.Log(2e-13), math.Log(0.07), 2.4
			var lawful []float64
			for _, d := range f.Distances {
				lawful = append(lawful, f.handCapacitance(x, d))
			}
			for i, o := range f.Near {
				if o.Hand != f.Distances[i] {
					t.Errorf("the %dth error is at %v, want %v", i, o.Hand, f.Distances[i])
				}
				x[o.At] = 1.5
				for k, d := range f.Distances {
					want := lawful[k]
					if k == i {
						want *= math.Exp(0.045)
					}
					near.Times(t, "beside the law", f.handCapacitance(x, d), want, 1e-12)
				}
				x[o.At] = 0
			}
		}
	}
}

// What a core does that was never all in is of the stretch where it covers most; so is the coupling told
// beside it. All but the inductance with the core, which is of the whole winding.
func TestEffectsOfTheDeepestStretch(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(204, 1)), 1e-4, 0.01, simulated.Added(), simulated.Added(10), simulated.Added().Rod(0.3), simulated.Added().Rod(0.6), simulated.Added().Rod(0.6))
	log.Readings[3].From, log.Readings[3].To = 0.2, 0.7
	log.Readings[4].From, log.Readings[4].To = 0.5, 0.9
	for _, i := range []int{2, 3} {
		r := log.Readings[i]
		r.Primary.Kind = readings.PrimaryShorted
		log.Readings = append(log.Readings, r)
	}
	f := New(&log, &resonator.Line{}, false, nil, Earlier{}, nil)
	_, derived := Quantities(f)
	couplings := 0
	for _, q := range derived {
		want := [2]float64{}
		if q.Core == "rod" && q.Name != quantities.InductanceWithCore && !quantities.OfCoupling(q.Name) {
			want = [2]float64{0.2, 0.7}
		}
		if q.Covered != want {
			t.Errorf("%s: covered %v, want %v", q.Name, q.Covered, want)
		}
		if q.Name == quantities.CouplingAtResonance {
			couplings++
			x, grad := make([]float64, f.N), make([]float64, f.N)
			x[f.Couplings[0].At], x[f.Couplings[1].At] = 0.01, 0.02
			near.Times(t, "coupling", q.Value(f, x, grad), math.Sqrt(1-math.Exp(-0.04)), 1e-12)
		}
	}
	if couplings != 1 || len(f.Couplings) != 2 {
		t.Errorf("%d couplings told of %d", couplings, len(f.Couplings))
	}
}

// How far a coupling carried over by the mode may be off, by what is drawn: the primary, and the core.
func TestUncertaintyOfACouplingByWhatIsDrawn(t *testing.T) {
	shape := field.Shape{Diameter: 30e-3, Length: 280e-3, Slices: 8}
	with := shape
	with.Primary = field.Primary{Turns: 3, Diameter: 50e-3, Height: 5e-3, Spacing: 4e-3, Wire: 1e-3}
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(205, 1)), 1e-4, 0.01, simulated.FullSession()...)
	core := &resonator.DrawnCore{Name: "rod"}
	for _, c := range []struct {
		shape field.Shape
		core  *resonator.DrawnCore
		of    string
		want  float64
	}{
		{with, core, "", 0.03}, {with, core, "rod", 0.15}, {with, core, "other", 0.10}, {with, nil, "", 0.03}, {with, nil, "rod", 0.10}, {shape, core, "", 0.01}, {shape, core, "rod", 0.10},
	} {
		l := resonator.NewLadder(must.Get(field.NewLadder(c.shape)).In(t), c.core)
		f := New(&log, l, false, nil, Earlier{}, nil)
		near.Times(t, "of "+c.of, f.modeUncertainty(0.5, c.of), math.Hypot(0.003, 0.5*c.want), 1e-12)
	}
}

// Each of several lots, places, couplings and tunings has an unknown of its own, which moves what is of it and nothing else.
func TestEachOfSeveralHasItsOwn(t *testing.T) {
	log := &readings.Log{}
	add := func(change func(s *readings.State)) {
		s := readings.Bare()
		change(&s)
		log.Readings = append(log.Readings, readings.Reading{State: s, Use: true, Frequency: 1e6, Uncertainty: 100})
	}
	add(func(*readings.State) {})
	for i := range 6 { // two of each of three lots
		log.Parts = append(log.Parts, readings.Part{Name: string(rune('a' + i)), Capacitance: 5e-12, Uncertainty: 0.1e-12, Known: true, Lot: string(rune('x' + i/2)), Common: []float64{0.16, 0.36, 0.64}[i/2]})
		add(func(s *readings.State) { s.Parts = []int{i} })
	}
	for i := range 3 { // each place twice; three tunings, and a primary shorted in air and with each of two cores
		for range 2 {
			add(func(s *readings.State) { s.Core, s.To = "rod", 0.3+0.2*float64(i) })
		}
		add(func(s *readings.State) {
			s.Primary = readings.Primary{Kind: readings.PrimaryTuned, Capacitance: 1e-9 * float64(i+1)}
		})
		add(func(s *readings.State) {
			s.Primary.Kind = readings.PrimaryShorted
			if i > 0 {
				s.Core, s.To = []string{"rod", "bead"}[i-1], 1
			}
		})
	}
	f := New(log, &resonator.Line{}, false, nil, Earlier{Benches: 1}, nil)
	for p := range log.Parts { // of what a part is off, its own and its lot's share, by the lot's
		own, common := f.Split(p)
		near.To(t, "own", own, []float64{math.Sqrt(0.84), 0.8, 0.6}[p/2], 1e-12)
		near.To(t, "common", common, []float64{0.4, 0.6, 0.8}[p/2], 1e-12)
	}
	if len(f.Lots) != 3 || len(f.Places) != 3 || len(f.Couplings) != 3 || len(f.Couplings[0].Tuned) != 3 {
		t.Fatalf("%+v", f.Unknowns)
	}
	x := make([]float64, f.N)
	x[AtL], x[AtC], x[f.Share] = math.Log(1.3e-3), math.Log(6e-12), 0.2
	for _, c := range f.Cores {
		x[c.At] = 0.4
	}
	for _, c := range f.Couplings {
		x[c.At] = 0.02
		for _, tuned := range c.Tuned {
			x[tuned.At] = math.Log(1.9e6)
		}
	}
	of := map[int]func(s *readings.State) bool{}
	for i, l := range f.Lots {
		of[l.At] = func(s *readings.State) bool { return len(s.Parts) == 1 && s.Parts[0]/2 == i }
	}
	for i, p := range f.Places {
		of[p.At] = func(s *readings.State) bool { return s.Partly() && s.To == 0.3+0.2*float64(i) }
	}
	for i, c := range f.Couplings {
		core := []string{"", "rod", "bead"}[i]
		of[c.At] = func(s *readings.State) bool { return s.Primary.Kind != readings.PrimaryOpen && s.Core == core }
		for k, tuned := range c.Tuned {
			of[tuned.At] = func(s *readings.State) bool { return s.Primary.Capacitance == 1e-9*float64(k+1) }
		}
	}
	for at, ofIt := range of {
		moved := slices.Clone(x)
		moved[at] += 1e-3
		met := 0
		for i := range log.Readings {
			s := &log.Readings[i].State
			if moves := f.Frequency(moved, s, nil) != f.Frequency(x, s, nil); moves != ofIt(s) {
				t.Errorf("unknown %d moves %+v: %v", at, s, moves)
			} else if moves {
				met++
			}
		}
		if met == 0 {
			t.Errorf("unknown %d moves nothing", at)
		}
	}
}

// No more than 40 places have an error of their own, the first of those read twice; those to come have.
func TestPlacesAreLimited(t *testing.T) {
	log := &readings.Log{}
	place := func(i int) readings.State {
		return readings.State{Core: "rod", To: 0.2 + 0.01*float64(i), Hand: math.Inf(1)}
	}
	for i := range 45 {
		for range 2 {
			log.Readings = append(log.Readings, readings.Reading{State: place(i), Use: true, Frequency: 1e6, Uncertainty: 100})
		}
	}
	for _, further := range [][]readings.State{nil, {place(50)}, {place(44), place(51)}} {
		u := newUnknowns(log, &resonator.Line{}, false, nil, Earlier{}, further)
		if len(u.Places) != 40+len(further) {
			t.Errorf("%d places with %d to come", len(u.Places), len(further))
		}
		for i := range 40 {
			if s := place(i); u.Place(&s) != u.Places[i].At {
				t.Errorf("place %d stands at %d, want %d", i, u.Place(&s), u.Places[i].At)
			}
		}
	}
}

// A share at either end of what is possible is moved inwards only: differences by it are those of v within.
func TestDifferencesByAShareAtItsEnds(t *testing.T) {
	f, x := modelOf(false)
	for _, share := range []float64{0, 0.5, 1} {
		x[f.Share] = share
		got := f.difference(x, f.Share, func(x []float64) float64 {
			if s := x[f.Share]; s >= 0 && s <= 1 {
				return s * s
			}
			return math.NaN()
		})
		near.To(t, "slope", got, 2*share, 2e-5)
		if x[f.Share] != share {
			t.Errorf("left at %v, was %v", x[f.Share], share)
		}
	}
}
