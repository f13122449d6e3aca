package model

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// design is a plan of readings, and what a fit of it has to say.
type design struct {
	name  string
	steps []simulated.Step
	tube  []int // steps whose core is "tube" instead of "rod"

	open   []string // quantities that must have no number
	gap    findings.Gap
	advice findings.Advice
}

// unidentifiable lists designs that leave something open, each with the reading
// that is missing.
func unidentifiable() []design {
	coil := []string{quantities.Inductance, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.WindingCapacitance, quantities.TopCapacitance, quantities.Impedance}
	splits := func(name string, steps ...simulated.Step) design {
		return design{name: name, steps: steps, open: coil, gap: findings.GapSplit, advice: findings.AddKnownCapacitor}
	}
	spread := func(name string, steps ...simulated.Step) design {
		return design{name: name, steps: steps, open: coil, gap: findings.GapSpread, advice: findings.AddLargerCapacitor}
	}
	always := func(name string, open []string, steps ...simulated.Step) design {
		return design{name: name, steps: steps, open: open, gap: findings.GapCoreAlways, advice: findings.ReadWithoutCore}
	}
	noAir := []string{quantities.Inductance, quantities.CoreGain, quantities.BareFrequency, quantities.EffectiveInductance, quantities.FrequencyRatio, quantities.CoreFrequencyDrop}
	return []design{
		splits("one reading", simulated.Added()),
		splits("frequencies alone", simulated.Added(), simulated.Added(), simulated.Added()),
		splits("frequencies alone, many", slices.Repeat([]simulated.Step{simulated.Added()}, 40)...),
		splits("one capacitor in every row", simulated.Added(4.7), simulated.Added(4.7), simulated.Added(4.7), simulated.Added(4.7)),
		spread("parts within 0.02 pF", simulated.Added(4.70), simulated.Added(4.71), simulated.Added(4.72), simulated.Added(4.70)),
		spread("a crumb on the top", simulated.Added(), simulated.Added(0.0001), simulated.Added(), simulated.Added(0.0001)),
		splits("core in and out, nothing added", simulated.Added(), simulated.Added().Rod(1), simulated.Added(), simulated.Added().Rod(1)),
		splits("core in and half in, nothing added", simulated.Added(), simulated.Added().Rod(1), simulated.Added().Rod(0.5)),
		splits("hands alone", simulated.Added(), simulated.Added().Near(0.1), simulated.Added().Near(0.2), simulated.Added().Near(0.4)),
		splits("core and hands, nothing added", simulated.Added(), simulated.Added().Rod(1), simulated.Added().Near(0.1), simulated.Added().Rod(1).Near(0.1)),
		splits("an unknown part alone", simulated.Added(), simulated.Added(simulated.Spike), simulated.Added(simulated.Spike)),
		splits("an unknown part, core in and out", simulated.Added(), simulated.Added(simulated.Spike), simulated.Added().Rod(1), simulated.Added(simulated.Spike).Rod(1)),
		splits("a known part, but only with a hand", simulated.Added(), simulated.Added(4.7).Near(0.1), simulated.Added(), simulated.Added(4.7).Near(0.1)),
		splits("a known part, but only with the unknown one", simulated.Added(), simulated.Added(simulated.Spike, 4.7), simulated.Added(), simulated.Added(simulated.Spike, 4.7)),
		always("core in every row", noAir, simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added(22).Rod(1)),
		always("core all along in every row, hands too", noAir, simulated.Added().Rod(1), simulated.Added(4.7).Rod(1), simulated.Added(10).Rod(1), simulated.Added().Rod(1).Near(0.1), simulated.Added().Rod(1).Near(0.2)),
		{name: "unknown part in every row", steps: []simulated.Step{simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7), simulated.Added(simulated.Spike, 10), simulated.Added(simulated.Spike, 22)},
			open: []string{quantities.PartCapacitance, quantities.TopCapacitance, quantities.BareFrequency}, gap: findings.GapNeverPlain, advice: findings.ReadPlain},
		{name: "unknown part in every row, core in and out", steps: []simulated.Step{simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7), simulated.Added(simulated.Spike, 10), simulated.Added(simulated.Spike).Rod(1), simulated.Added(simulated.Spike, 10).Rod(1)},
			open: []string{quantities.PartCapacitance, quantities.TopCapacitance, quantities.BareFrequency}, gap: findings.GapNeverPlain, advice: findings.ReadPlain},
		{name: "hand in every row", steps: []simulated.Step{simulated.Added().Near(0.1), simulated.Added(4.7).Near(0.1), simulated.Added(10).Near(0.1), simulated.Added(22).Near(0.1)},
			open: []string{quantities.HandCapacitance, quantities.BareFrequency}, gap: findings.GapNeverPlain, advice: findings.ReadPlain},
		{name: "a hand only with a core, which was never read alone", steps: []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1).Near(0.1)},
			open: []string{quantities.HandCapacitance, quantities.CoreGain}, gap: findings.GapHandCore, advice: findings.ReadHandAlone},
		{name: "core only with the unknown part", steps: []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(simulated.Spike).Rod(1), simulated.Added(simulated.Spike).Rod(1)},
			open: []string{quantities.PartCapacitance, quantities.CoreGain}, gap: findings.GapCore, advice: findings.ReadCoreWithCapacitor},
		{name: "two cores only with the same unknown part", steps: []simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(simulated.Spike).Rod(1), simulated.Added(simulated.Spike).Rod(1), simulated.Added(simulated.Spike).Rod(1), simulated.Added(simulated.Spike).Rod(1)},
			tube: []int{6, 7}, open: []string{quantities.PartCapacitance, quantities.CoreGain}, gap: findings.GapCore, advice: findings.ReadCoreWithCapacitor},
	}
}

// log simulates the design: the second core has a gain of its own.
func (d design) log(rng *rand.Rand, c simulated.Truth, noise float64) readings.Log {
	log := c.Session(rng, noise, 0.025, d.steps...)
	for _, i := range d.tube {
		log.Readings[i].Core = "tube"
		log.Readings[i].Frequency *= 0.93
	}
	return log
}

// What a design can't tell has no number, and the reading that is missing is
// named.
func TestUnidentifiableDesignsAreRefused(t *testing.T) {
	c := simulated.Lighthouse()
	for _, d := range unidentifiable() {
		for _, noise := range []float64{1e-5, 1e-4, 1e-3} {
			t.Run(fmt.Sprintf("%s/%g", d.name, noise), func(t *testing.T) {
				r := mustFit(t, estimation.Session{Log: d.log(rand.New(rand.NewPCG(91, 1)), c, noise)})
				for e := range r.All() {
					if slices.Contains(d.open, e.Name) && (e.Part == "" || e.Part == "spike") && (e.Determined || !math.IsNaN(e.Value)) {
						t.Errorf("%s %s%s = %v ± %v", e.Name, e.Core, e.Part, e.Value, e.Uncertainty)
					}
				}
				if !slices.ContainsFunc(r.Undetermined, func(u findings.Undetermined) bool { return u.What == d.gap && u.Advice == d.advice }) {
					t.Errorf("gaps %+v, want %v with advice %v", r.Undetermined, d.gap, d.advice)
				}
				if slices.ContainsFunc(r.Undetermined, func(u findings.Undetermined) bool { return u.What == findings.GapOther }) {
					t.Errorf("a gap that nothing explains: %+v", r.Undetermined)
				}
			})
		}
	}
}

// identifiable returns a random design that fixes inductance, capacitance and all
// that it says.
func identifiable(rng *rand.Rand) (steps []simulated.Step, want []string) {
	want = []string{quantities.Inductance, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.BareFrequency, quantities.LCProduct, quantities.Impedance}
	parts := []float64{2.2, 4.7, 10, 22}
	rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
	steps = []simulated.Step{simulated.Added(), simulated.Added(parts[0])}
	base := simulated.Added()
	if rng.IntN(4) == 0 { // no bare reading
		steps = []simulated.Step{simulated.Added(parts[0]), simulated.Added(parts[1]), simulated.Added(parts[2])}
		base = simulated.Added(parts[0])
	}
	for range rng.IntN(4) {
		steps = append(steps, simulated.Added(parts[rng.IntN(len(parts))]))
	}
	if rng.IntN(2) == 0 {
		want = append(want, quantities.FrequencyRatio, quantities.RatioGain, quantities.CoreFrequencyDrop)
		covered := []float64{1, 1, 0.8, 0.5}[rng.IntN(4)]
		steps = append(steps, simulated.Added().Rod(covered))
		if rng.IntN(2) == 0 {
			want = append(want, quantities.CoreGain, quantities.InductanceWithCore)
			steps = append(steps, simulated.Added(parts[0]).Rod(covered))
		}
	}
	if rng.IntN(2) == 0 {
		want = append(want, quantities.HandCapacitance, quantities.HandFrequencyDrop)
		steps = append(steps, base.Near(0.05), base.Near(0.1))
	}
	if rng.IntN(2) == 0 {
		want = append(want, quantities.PartCapacitance)
		steps = append(steps, []simulated.Step{simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, parts[0])}[rng.IntN(2)])
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
		c := simulated.Lighthouse()
		c.L *= math.Exp(rng.NormFloat64())
		c.Cw *= math.Exp(0.3 * rng.NormFloat64())
		c.Ct *= math.Exp(0.5 * rng.NormFloat64())
		r := mustFit(t, estimation.Session{Log: c.Session(rng, 1e-4, 0.025, steps...)})
		for _, name := range want {
			found := 0
			for e := range r.All() {
				if e.Name != name {
					continue
				}
				found++
				if !e.Determined || !quantities.Finite(e.Value, e.Uncertainty, e.Interval[0], e.Interval[1]) || e.Interval[0] > e.Value || e.Value > e.Interval[1] {
					t.Errorf("design %d, %+v: %s %s%s refused: gaps %+v", i, steps, e.Name, e.Core, e.Part, r.Undetermined)
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
	c := simulated.Lighthouse()
	for _, d := range unidentifiable() {
		r := mustFit(t, estimation.Session{Log: d.log(rand.New(rand.NewPCG(93, 1)), c, 1e-4)})
		open := map[string]bool{}
		for e := range r.All() {
			if !e.Determined {
				open[e.Name] = true
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
			if !slices.ContainsFunc(r.Undetermined, func(g findings.Undetermined) bool { return slices.Contains(g.Names, name) }) {
				t.Errorf("%s: no gap names %s", d.name, name)
			}
		}
	}
}

// The distances at which a hand's effect has no number are named, and no others are.
func TestOpenDistancesAreNamed(t *testing.T) {
	hand := func(s simulated.Step) (out []simulated.Step) {
		for _, d := range []float64{0.05, 0.1, 0.2, 0.4, 1} {
			out = append(out, s.Near(d))
		}
		return out
	}
	some := 0
	for _, step := range []simulated.Step{simulated.Added(), simulated.Added().Rod(1)} {
		for seed := range uint64(10) {
			steps := append([]simulated.Step{simulated.Added(), simulated.Added(4.7), simulated.Added(10)}, hand(step)...)
			r := mustFit(t, estimation.Session{Log: simulated.Lighthouse().Session(rand.New(rand.NewPCG(97, seed)), 2e-3, 0.01, steps...)})
			open, named := map[float64]bool{}, map[float64]bool{}
			for _, e := range r.Derived {
				if e.Name == quantities.HandFrequencyDrop && !e.Determined {
					open[e.Hand] = true
				}
			}
			for _, g := range r.Undetermined {
				for _, d := range g.Hands {
					named[d] = true
				}
			}
			if !maps.Equal(open, named) {
				t.Errorf("seed %d, %+v: open at %v, named %v", seed, step, open, named)
			}
			if len(open) > 0 && len(open) < 5 {
				some++
			}
		}
	}
	if some < 5 {
		t.Errorf("only %d sessions leave some distances open", some)
	}
}

// Readings that contradict one another a thousand times worse than stated tell
// nothing, and it is said that they do.
func TestContradictingReadingsHaveNoNumber(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(94, 1)), 1e-5, 0.01, simulated.Added(), simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22))
	log.Readings[1].Frequency *= 1.5
	log.Readings[3].Frequency /= 1.5
	r := mustFit(t, estimation.Session{Log: log})
	for e := range r.All() {
		if e.Determined && (!quantities.Finite(e.Interval[:]...) || e.Name != quantities.PartCapacitance && e.Uncertainty > estimation.Vague*e.Value && e.Interval[0] > 0) {
			t.Errorf("%s %v ± %v, %v", e.Name, e.Value, e.Uncertainty, e.Interval)
		}
	}
	if e := r.Find(quantities.Key{Name: quantities.Inductance}); e.Determined {
		t.Errorf("inductance %v ± %v", e.Value, e.Uncertainty)
	}
	if !slices.ContainsFunc(r.Undetermined, func(g findings.Undetermined) bool {
		return g.What == findings.GapScatter && g.Advice == findings.FindMisread
	}) {
		t.Errorf("gaps %+v", r.Undetermined)
	}
}

// What can't be below zero has no interval that reaches there.
func TestIntervalsEndAtNil(t *testing.T) {
	c := simulated.Lighthouse()
	c.Ct, c.K = 0.1e-12, 1e-16
	ends := 0
	for seed := range uint64(30) {
		log := c.Session(rand.New(rand.NewPCG(95, seed)), 1e-3, 0.025, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Near(0.1), simulated.Added().Near(0.3))
		r := mustFit(t, estimation.Session{Log: log})
		for e := range r.All() {
			switch e.Name {
			case quantities.WindingCapacitance, quantities.TopCapacitance, quantities.HandFrequencyDrop:
				if e.Determined && (e.Interval[0] < 0 || e.Interval[1] <= 0) {
					t.Errorf("seed %d: %s %v in %v", seed, e.Name, e.Value, e.Interval)
				}
				if e.Determined && e.Interval[0] == 0 {
					ends++
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
	c := simulated.Lighthouse()
	_, _, bare := c.Bare()
	r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(96, 1)), 3e-4, 0.025, simulated.Added(), simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22))})
	reach := decisions.Reach(r.Result, 0.9999*r.Find(quantities.Key{Name: quantities.BareFrequency}).Value, readings.Bare(), nil, decisions.ByAdded, 0.025)
	s := reach.Setting
	if !reach.Reachable || !s.Determined || s.Interval[0] != 0 || s.Interval[1] < s.Value || s.Interval[1] > 0.05e-12 {
		t.Errorf("for a ten-thousandth below %v: %+v", bare, s)
	}
}

// Readings that all have the same unknown part speak of coil and part together:
// what the coil alone would do is no better known than by belief.
func TestUnknownPartOfExactParts(t *testing.T) {
	c := simulated.Lighthouse()
	for _, noise := range []float64{1e-5, 1e-4, 1e-3} {
		r := mustFit(t, estimation.Session{Log: c.Session(rand.New(rand.NewPCG(97, 1)), noise, 0, simulated.Added(simulated.Spike), simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 2.2), simulated.Added(simulated.Spike, 10), simulated.Added(simulated.Spike, 22), simulated.Added(simulated.Spike, 47))})
		if e := r.Find(quantities.Key{Name: quantities.BareFrequency}); e.Determined {
			t.Errorf("bare frequency %v ± %v, %+v", e.Value, e.Uncertainty, e.Budget)
		}
		if p := decisions.Predict(r.Result, readings.Bare(), nil); p.Frequency.Determined {
			t.Errorf("predicted bare frequency %v ± %v", p.Frequency.Value, p.Frequency.Uncertainty)
		}
		if !slices.ContainsFunc(r.Undetermined, func(g findings.Undetermined) bool { return g.What == findings.GapNeverPlain }) {
			t.Errorf("gaps %+v", r.Undetermined)
		}
	}
}

// Where one more reading could be anything, nothing is predicted of it.
func TestNoPredictionFromReadingsThatContradict(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(98, 1)), 1e-2, 0.025, simulated.Added(), simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22))
	log.Readings[1].Frequency *= 1000 // a slip of unit
	p := decisions.Predict(mustFit(t, estimation.Session{Log: log}).Result, readings.Bare(), nil)
	if p.Frequency.Determined || len(p.Missing) == 0 || len(p.Effects) > 0 {
		t.Errorf("%+v", p)
	}
}

// A part whose stated value the readings contradict is reported with what they
// say, not with the compromise; a contradicted belief is no scatter of readings.
func TestPartIsReportedAsTheReadingsHaveIt(t *testing.T) {
	c := simulated.Lighthouse()
	log := c.Session(rand.New(rand.NewPCG(99, 1)), 1e-3, 0, simulated.Added(), simulated.Added(), simulated.Added(2.2), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added(simulated.Spike), simulated.Added(simulated.Spike, 4.7))
	for i := range log.Parts {
		p := &log.Parts[i]
		if p.Uncertainty = 0.01 * p.Capacitance; p.Name == "spike" {
			*p = readings.Part{Name: p.Name, Capacitance: 3.5e-12, Uncertainty: 0.1e-12, Known: true}
		}
	}
	r := mustFit(t, estimation.Session{Log: log})
	i := slices.IndexFunc(r.Findings, func(f findings.Finding) bool { return f.Kind == findings.PartOffTolerance && f.Name == "spike" })
	if i < 0 || !(math.Abs(r.Findings[i].Value/c.Spike-1) <= 0.05) {
		t.Errorf("findings %+v, want spike near %v", r.Findings, c.Spike)
	}
	if slices.ContainsFunc(r.Findings, func(f findings.Finding) bool { return f.Kind == findings.ScatterExceeds && f.Value < 1.05 }) {
		t.Errorf("scatter of hardly more than stated is called too large: %+v", r.Findings)
	}
}
