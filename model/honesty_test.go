package model

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// design is a plan of readings, and what a fit of it has to say.
type design struct {
	name  string
	steps []step
	tube  []int // steps whose core is "tube" instead of "rod"

	open   []string // quantities that must have no number
	gap    Gap
	advice Advice
}

// unidentifiable lists designs that leave something open, each with the reading
// that is missing.
func unidentifiable() []design {
	coil := []string{Inductance, EffectiveInductance, EffectiveCapacitance, WindingCapacitance, TopCapacitance, Impedance}
	splits := func(name string, steps ...step) design {
		return design{name: name, steps: steps, open: coil, gap: GapSplit, advice: AddKnownCapacitor}
	}
	spread := func(name string, steps ...step) design {
		return design{name: name, steps: steps, open: coil, gap: GapSpread, advice: AddLargerCapacitor}
	}
	always := func(name string, open []string, steps ...step) design {
		return design{name: name, steps: steps, open: open, gap: GapCoreAlways, advice: ReadWithoutCore}
	}
	noAir := []string{Inductance, CoreGain, BareFrequency, EffectiveInductance, FrequencyRatio, CoreFrequencyDrop}
	return []design{
		splits("one reading", added()),
		splits("frequencies alone", added(), added(), added()),
		splits("frequencies alone, many", slices.Repeat([]step{added()}, 40)...),
		splits("one capacitor in every row", added(4.7), added(4.7), added(4.7), added(4.7)),
		spread("parts within 0.02 pF", added(4.70), added(4.71), added(4.72), added(4.70)),
		spread("a crumb on the top", added(), added(0.0001), added(), added(0.0001)),
		splits("core in and out, nothing added", added(), added().rod(1), added(), added().rod(1)),
		splits("core in and half in, nothing added", added(), added().rod(1), added().rod(0.5)),
		splits("hands alone", added(), added().near(0.1), added().near(0.2), added().near(0.4)),
		splits("core and hands, nothing added", added(), added().rod(1), added().near(0.1), added().rod(1).near(0.1)),
		splits("an unknown part alone", added(), added(spike), added(spike)),
		splits("an unknown part, core in and out", added(), added(spike), added().rod(1), added(spike).rod(1)),
		splits("a known part, but only with a hand", added(), added(4.7).near(0.1), added(), added(4.7).near(0.1)),
		splits("a known part, but only with the unknown one", added(), added(spike, 4.7), added(), added(spike, 4.7)),
		always("core in every row", noAir, added().rod(1), added(4.7).rod(1), added(10).rod(1), added(22).rod(1)),
		always("core all along in every row, hands too", noAir, added().rod(1), added(4.7).rod(1), added(10).rod(1), added().rod(1).near(0.1), added().rod(1).near(0.2)),
		{name: "unknown part in every row", steps: []step{added(spike), added(spike, 4.7), added(spike, 10), added(spike, 22)},
			open: []string{PartCapacitance, TopCapacitance, BareFrequency}, gap: GapNeverPlain, advice: ReadPlain},
		{name: "unknown part in every row, core in and out", steps: []step{added(spike), added(spike, 4.7), added(spike, 10), added(spike).rod(1), added(spike, 10).rod(1)},
			open: []string{PartCapacitance, TopCapacitance, BareFrequency}, gap: GapNeverPlain, advice: ReadPlain},
		{name: "hand in every row", steps: []step{added().near(0.1), added(4.7).near(0.1), added(10).near(0.1), added(22).near(0.1)},
			open: []string{HandCapacitance, BareFrequency}, gap: GapNeverPlain, advice: ReadPlain},
		{name: "a hand only with a core, which was never read alone", steps: []step{added(), added(4.7), added(10), added(22), added().rod(1).near(0.1)},
			open: []string{HandCapacitance, CoreGain}, gap: GapHandCore, advice: ReadHandAlone},
		{name: "core only with the unknown part", steps: []step{added(), added(4.7), added(10), added(22), added(spike).rod(1), added(spike).rod(1)},
			open: []string{PartCapacitance, CoreGain}, gap: GapCore, advice: ReadCoreWithCapacitor},
		{name: "two cores only with the same unknown part", steps: []step{added(), added(4.7), added(10), added(22), added(spike).rod(1), added(spike).rod(1), added(spike).rod(1), added(spike).rod(1)},
			tube: []int{6, 7}, open: []string{PartCapacitance, CoreGain}, gap: GapCore, advice: ReadCoreWithCapacitor},
	}
}

// log simulates the design: the second core has a gain of its own.
func (d design) log(rng *rand.Rand, c truth, noise float64) Log {
	log := c.session(rng, noise, 0.025, d.steps...)
	for _, i := range d.tube {
		log.Readings[i].Core = "tube"
		log.Readings[i].Frequency *= 0.93
	}
	return log
}

// What a design can't tell has no number, and the reading that is missing is
// named.
func TestUnidentifiableDesignsAreRefused(t *testing.T) {
	c := lighthouse()
	for _, d := range unidentifiable() {
		for _, noise := range []float64{1e-5, 1e-4, 1e-3} {
			t.Run(fmt.Sprintf("%s/%g", d.name, noise), func(t *testing.T) {
				r := mustFit(t, Session{Log: d.log(rand.New(rand.NewPCG(91, 1)), c, noise)})
				for _, list := range [][]Estimate{r.Parameters, r.Derived} {
					for _, e := range list {
						if slices.Contains(d.open, e.Name) && (e.Part == "" || e.Part == "spike") && (e.Determined || !math.IsNaN(e.Value)) {
							t.Errorf("%s %s%s = %v ± %v", e.Name, e.Core, e.Part, e.Value, e.Uncertainty)
						}
					}
				}
				if !slices.ContainsFunc(r.Undetermined, func(u Undetermined) bool { return u.What == d.gap && u.Advice == d.advice }) {
					t.Errorf("gaps %+v, want %v with advice %v", r.Undetermined, d.gap, d.advice)
				}
				if slices.ContainsFunc(r.Undetermined, func(u Undetermined) bool { return u.What == GapOther }) {
					t.Errorf("a gap that nothing explains: %+v", r.Undetermined)
				}
			})
		}
	}
}

// identifiable returns a random design that fixes inductance, capacitance and all
// that it says.
func identifiable(rng *rand.Rand) (steps []step, want []string) {
	want = []string{Inductance, EffectiveInductance, EffectiveCapacitance, BareFrequency, LCProduct, Impedance}
	parts := []float64{2.2, 4.7, 10, 22}
	rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	steps = []step{added(), added(parts[0])}
	base := added()
	if rng.IntN(4) == 0 { // no bare reading
		steps = []step{added(parts[0]), added(parts[1]), added(parts[2])}
		base = added(parts[0])
	}
	for range rng.IntN(4) {
		steps = append(steps, added(parts[rng.IntN(len(parts))]))
	}
	if rng.IntN(2) == 0 {
		want = append(want, FrequencyRatio, RatioGain, CoreFrequencyDrop)
		covered := []float64{1, 1, 0.8, 0.5}[rng.IntN(4)]
		steps = append(steps, added().rod(covered))
		if rng.IntN(2) == 0 {
			want = append(want, CoreGain, InductanceWithCore)
			steps = append(steps, added(parts[0]).rod(covered))
		}
	}
	if rng.IntN(2) == 0 {
		want = append(want, HandCapacitance, HandFrequencyDrop)
		steps = append(steps, base.near(0.05), base.near(0.1))
	}
	if rng.IntN(2) == 0 {
		want = append(want, PartCapacitance)
		steps = append(steps, []step{added(spike), added(spike, parts[0])}[rng.IntN(2)])
	}
	rng.Shuffle(len(steps), func(i, j int) { steps[i], steps[j] = steps[j], steps[i] })
	return steps, want
}

// What a design fixes has a number, and no quantity that a log of its kind is
// kept for is refused.
func TestIdentifiableDesignsAreAnswered(t *testing.T) {
	const designs = 50
	for i := range designs {
		rng := rand.New(rand.NewPCG(92, uint64(i)))
		steps, want := identifiable(rng)
		c := lighthouse()
		c.l *= math.Exp(rng.NormFloat64())
		c.cw *= math.Exp(0.3 * rng.NormFloat64())
		c.ct *= math.Exp(0.5 * rng.NormFloat64())
		r := mustFit(t, Session{Log: c.session(rng, 1e-4, 0.025, steps...)})
		for _, name := range want {
			found := 0
			for _, list := range [][]Estimate{r.Parameters, r.Derived} {
				for _, e := range list {
					if e.Name != name {
						continue
					}
					found++
					if !e.Determined || !finite(e.Value, e.Uncertainty, e.Interval[0], e.Interval[1]) || e.Interval[0] > e.Value || e.Value > e.Interval[1] {
						t.Errorf("design %d, %+v: %s %s%s refused: gaps %+v", i, steps, e.Name, e.Core, e.Part, r.Undetermined)
					}
				}
			}
			if found == 0 {
				t.Errorf("design %d: no %s", i, name)
			}
		}
	}
}

// Every quantity that has no number is named once, and with a reason of its own.
func TestGapsNameEachQuantityOnce(t *testing.T) {
	c := lighthouse()
	for _, d := range unidentifiable() {
		r := mustFit(t, Session{Log: d.log(rand.New(rand.NewPCG(93, 1)), c, 1e-4)})
		open := map[string]bool{}
		for _, list := range [][]Estimate{r.Parameters, r.Derived} {
			for _, e := range list {
				if !e.Determined {
					open[e.Name] = true
				}
			}
		}
		for _, g := range r.Undetermined {
			for i, name := range g.Names {
				if !open[name] || slices.Contains(g.Names[:i], name) {
					t.Errorf("%s: gap %+v names %s, which has a number or is named before", d.name, g, name)
				}
			}
		}
		for name := range open {
			if !slices.ContainsFunc(r.Undetermined, func(g Undetermined) bool { return slices.Contains(g.Names, name) }) {
				t.Errorf("%s: no gap names %s", d.name, name)
			}
		}
	}
}

// Readings that contradict one another a thousand times worse than stated tell
// nothing, and it is said that they do.
func TestContradictingReadingsHaveNoNumber(t *testing.T) {
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(94, 1)), 1e-5, 0.01, added(), added(), added(2.2), added(4.7), added(10), added(22))
	log.Readings[1].Frequency *= 1.5
	log.Readings[3].Frequency /= 1.5
	r := mustFit(t, Session{Log: log})
	for _, list := range [][]Estimate{r.Parameters, r.Derived} {
		for _, e := range list {
			if e.Determined && (!finite(e.Interval[:]...) || e.Name != PartCapacitance && e.Uncertainty > vague*e.Value && e.Interval[0] > 0) {
				t.Errorf("%s %v ± %v, %v", e.Name, e.Value, e.Uncertainty, e.Interval)
			}
		}
	}
	if e := r.Find(Inductance, "", "", 0); e.Determined {
		t.Errorf("inductance %v ± %v", e.Value, e.Uncertainty)
	}
	if !slices.ContainsFunc(r.Undetermined, func(g Undetermined) bool { return g.What == GapScatter && g.Advice == FindMisread }) {
		t.Errorf("gaps %+v", r.Undetermined)
	}
}

// What can't be below nil has no interval that reaches there.
func TestIntervalsEndAtNil(t *testing.T) {
	c := lighthouse()
	c.ct, c.k = 0.1e-12, 1e-16
	ends := 0
	for seed := range uint64(30) {
		log := c.session(rand.New(rand.NewPCG(95, seed)), 1e-3, 0.025, added(), added(4.7), added(10), added(22), added().near(0.1), added().near(0.3))
		r := mustFit(t, Session{Log: log})
		for _, list := range [][]Estimate{r.Parameters, r.Derived} {
			for _, e := range list {
				switch e.Name {
				case WindingCapacitance, TopCapacitance, HandFrequencyDrop:
					if e.Determined && (e.Interval[0] < 0 || e.Interval[1] <= 0) {
						t.Errorf("seed %d: %s %v in %v", seed, e.Name, e.Value, e.Interval)
					}
					if e.Determined && e.Interval[0] == 0 {
						ends++
					}
				}
			}
		}
	}
	if ends < 10 {
		t.Errorf("%d intervals end at nil, which tests little", ends)
	}
}

// A setting close to none at all is known in picofarads, not in per cent of
// itself, and its interval stays where it can be set.
func TestReachNearBare(t *testing.T) {
	c := lighthouse()
	_, _, bare := c.bare()
	r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(96, 1)), 3e-4, 0.025, added(), added(), added(4.7), added(10), added(22))})
	reach := r.Reach(0.9999*r.Find(BareFrequency, "", "", 0).Value, Bare(), nil, ByAdded, 0.025)
	s := reach.Setting
	if !reach.Reachable || !s.Determined || s.Interval[0] != 0 || s.Interval[1] < s.Value || s.Interval[1] > 0.05e-12 {
		t.Errorf("for a ten-thousandth below %v: %+v", bare, s)
	}
}

// Readings that all have the same unknown part speak of coil and part together:
// what the coil alone would do is no better known than by belief.
func TestUnknownPartOfExactParts(t *testing.T) {
	c := lighthouse()
	for _, noise := range []float64{1e-5, 1e-4, 1e-3} {
		r := mustFit(t, Session{Log: c.session(rand.New(rand.NewPCG(97, 1)), noise, 0, added(spike), added(spike), added(spike, 2.2), added(spike, 10), added(spike, 22), added(spike, 47))})
		if e := r.Find(BareFrequency, "", "", 0); e.Determined {
			t.Errorf("bare frequency %v ± %v, %+v", e.Value, e.Uncertainty, e.Budget)
		}
		if p := r.Predict(Bare(), nil); p.Frequency.Determined {
			t.Errorf("predicted bare frequency %v ± %v", p.Frequency.Value, p.Frequency.Uncertainty)
		}
		if !slices.ContainsFunc(r.Undetermined, func(g Undetermined) bool { return g.What == GapNeverPlain }) {
			t.Errorf("gaps %+v", r.Undetermined)
		}
	}
}

// Where one more reading could be anything, nothing is predicted of it.
func TestNoPredictionFromReadingsThatContradict(t *testing.T) {
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(98, 1)), 1e-2, 0.025, added(), added(), added(2.2), added(4.7), added(10), added(22))
	log.Readings[1].Frequency *= 1000 // a slip of unit
	p := mustFit(t, Session{Log: log}).Predict(Bare(), nil)
	if p.Frequency.Determined || len(p.Missing) == 0 || len(p.Effects) > 0 {
		t.Errorf("%+v", p)
	}
}

// A part whose stated value the readings contradict is reported with what they
// say, not with the compromise; a contradicted belief is no scatter of readings.
func TestPartIsReportedAsTheReadingsHaveIt(t *testing.T) {
	c := lighthouse()
	log := c.session(rand.New(rand.NewPCG(99, 1)), 1e-3, 0, added(), added(), added(2.2), added(4.7), added(10), added(22), added(spike), added(spike, 4.7))
	for i := range log.Parts {
		p := &log.Parts[i]
		if p.Uncertainty = 0.01 * p.Capacitance; p.Name == "spike" {
			*p = Part{Name: p.Name, Capacitance: 3.5e-12, Uncertainty: 0.1e-12, Known: true}
		}
	}
	r := mustFit(t, Session{Log: log})
	i := slices.IndexFunc(r.Findings, func(f Finding) bool { return f.Kind == PartOffTolerance && f.Name == "spike" })
	if i < 0 || math.Abs(r.Findings[i].Value/c.spike-1) > 0.05 {
		t.Errorf("findings %+v, want spike near %v", r.Findings, c.spike)
	}
	if slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.Kind == ScatterExceeds && f.Value < 1.05 }) {
		t.Errorf("scatter of hardly more than stated is called too large: %+v", r.Findings)
	}
}
