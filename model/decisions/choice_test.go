package decisions

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/estimation"
	"fitcoil/model/internal/simulated"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// In each condition there is each candidate once: pairs of parts of known value, whoever has them; a new capacitor
// where nobody is near and a core, if any, all in. A hand is near where the measurand is of one.
func TestEachCandidateOnce(t *testing.T) {
	r := tried(t, 91)
	log := r.Parts()
	bench := Bench{Parts: []readings.Part{{Name: "bought", Capacitance: 3e-12, Uncertainty: 3e-14, Known: true}, {Name: "unknown"}}, Buy: true, Tolerance: 0.025}
	known := 1
	for _, p := range log {
		if p.Known {
			known++
		}
	}
	of := func(name string, change func(s *readings.State)) Measurand {
		return Measurand{Key: quantities.Key{Name: name}, State: stateOf(change)}
	}
	for i, c := range []struct {
		want  Measurand
		hands bool
	}{
		{of(quantities.EffectiveInductance, func(*readings.State) {}), false}, {of("frequency", func(*readings.State) {}), false}, {of("frequency", func(s *readings.State) { s.Hand = 0.3 }), true},
		{of("frequency", func(s *readings.State) { s.Core, s.To = "rod", 0.5 }), false}, {of(quantities.HandFrequencyDrop, func(*readings.State) {}), true},
	} {
		seen := map[string]bool{}
		kinds := map[readings.Condition][4]int{} // one part or none, pairs, clips, new
		for _, o := range Candidates(r, c.want, bench) {
			if o.Kind.measures() {
				continue
			}
			if text := fmt.Sprint(o); seen[text] {
				t.Errorf("%d: twice %s", i, text)
			} else {
				seen[text] = true
			}
			at := kinds[o.State.Condition()]
			switch {
			case o.Kind == ReadNew:
				at[3]++
			case o.State.Clip:
				at[2]++
			case len(o.State.Parts) == 2:
				at[1]++
				for _, p := range o.State.Parts {
					if !append(slices.Clone(log), bench.Parts...)[p].Known {
						t.Errorf("%d: part %d in a pair", i, p)
					}
				}
			default:
				at[0]++
			}
			kinds[o.State.Condition()] = at
		}
		hands := 0
		for at, n := range kinds {
			if !math.IsInf(at.Hand, 1) {
				hands++
			}
			fresh := 0
			if math.IsInf(at.Hand, 1) && (at.Core == "" || at.From == 0 && at.To == 1) {
				fresh = n[3]
			}
			if n != [4]int{len(log) + len(bench.Parts) + 1, known * (known - 1) / 2, 1, fresh} || fresh == 0 && math.IsInf(at.Hand, 1) && at.Core == "" {
				t.Errorf("%d: %+v: %v", i, at, n)
			}
		}
		if want := map[bool]int{true: 3}[c.hands]; hands != want { // 10, 20 and 40 cm
			t.Errorf("%d: hands at %d distances, want %d", i, hands, want)
		}
	}
}

// The steps of a plan are those ranked, a range of capacitors one of them, and the first does as much as any. The
// candidate for several measurands makes the product of their variances least, and does to each what it does alone.
func TestPlanOfWhatIsRanked(t *testing.T) {
	r := tried(t, 92)
	l := Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()}
	gain := Measurand{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, State: readings.Bare()}
	bench := Bench{Buy: true, Tolerance: 0.025}
	for _, want := range []Measurand{l, gain} {
		out := Next(r, want, Candidates(r, want, bench), nil, 4)
		text := func(s *Suggestion) string { return fmt.Sprint(s.Candidate) }
		least, ranked := math.Inf(1), map[string]bool{}
		for i := range out.Ranked {
			s := &out.Ranked[i]
			least, ranked[text(s)] = math.Min(least, s.After.Uncertainty), true
		}
		near.Times(t, "the first step", out.Greedy[0].After.Uncertainty, least, 1e-6)
		for i, s := range slices.Concat(out.Greedy, out.Better) {
			if !ranked[text(&s)] {
				t.Errorf("step %d is %s", i, text(&s))
			}
		}
		if len(out.Greedy) != 4 {
			t.Errorf("%d steps", len(out.Greedy))
		}
	}
	list := Candidates(r, l, Bench{})
	best, least := 0, math.Inf(1)
	var after [2]float64
	for i := range list {
		a, b := Next(r, l, list[i:i+1], nil, 1).Ranked[0].After.Uncertainty, Next(r, gain, list[i:i+1], nil, 1).Ranked[0].After.Uncertainty
		if a*b < least {
			best, least, after = i, a*b, [2]float64{a, b}
		}
	}
	joint, ok := PlanJointly(r, []Measurand{l, gain}, list, nil, 1)
	if !ok || len(joint.Steps) != 1 || fmt.Sprint(joint.Steps[0]) != fmt.Sprint(list[best]) || len(joint.Now) != 2 || len(joint.After) != 2 {
		t.Fatalf("%+v, want %+v", joint, list[best])
	}
	for i, want := range []Measurand{l, gain} {
		near.Times(t, "after the step", joint.After[i].Uncertainty, after[i], 1e-2)
		if now := Next(r, want, nil, nil, 1).Now; joint.Now[i] != now || joint.Now[i].Key != want.Key {
			t.Errorf("now %+v, want %+v", joint.Now[i], now)
		}
	}
	weight := Measurand{Key: quantities.Key{Name: "weight"}}
	for i, wants := range [][]Measurand{{l, weight}, {weight, l}, {}} {
		if _, ok := PlanJointly(r, wants, list, nil, 1); ok {
			t.Errorf("a plan for measurands %d", i)
		}
	}
	if _, ok := PlanJointly(r, []Measurand{l}, nil, nil, 1); ok {
		t.Error("a plan of no candidate")
	}
	if _, ok := PlanJointly(r, []Measurand{l}, list, nil, 0); ok {
		t.Error("a plan of no step")
	}
}

// A stretch as long as those read is none beyond, however its length is rounded.
func TestStretchAsLongAsRead(t *testing.T) {
	for _, c := range []struct{ read, other, from, to float64 }{{0.5, 1, 0.2, 0.7}, {0.3, 0.2, 0.1, 0.4}} {
		r := tried(t, 93)
		for i, o := range r.Session.Log.Readings {
			if o.Core != "" {
				r.Session.Log.Readings[i].To = c.read
			}
		}
		last := len(r.Session.Log.Readings) - 1
		o := &r.Session.Log.Readings[last]
		o.Core, o.To = "rod", c.other
		if c.to-c.from == c.read {
			t.Fatalf("%v to %v is exactly %v", c.from, c.to, c.read)
		}
		if got := Beyond(r, stateOf(func(s *readings.State) { s.Core, s.From, s.To = "rod", c.from, c.to })); got != nil {
			t.Errorf("%v to %v: beyond in %+v", c.from, c.to, got)
		}
	}
}

// An empty clip that was read is read once more; with a part it is no clip alone.
func TestReasonOfAClip(t *testing.T) {
	with := tried(t, 94, simulated.EmptyClip())
	without := tried(t, 94)
	before := quantities.Estimate{Value: 1, Uncertainty: 0.1, Determined: true}
	after := before
	after.Uncertainty = 0.05
	clip := stateOf(func(s *readings.State) { s.Clip = true })
	part := stateOf(func(s *readings.State) { s.Clip, s.Parts, s.Core, s.To = true, []int{1}, "rod", 1 })
	for i, c := range []struct {
		r     *estimation.Result
		state readings.State
		want  Reason
	}{{with, clip, ReasonRepeat}, {without, clip, ReasonClip}, {without, part, ReasonCombination}} {
		p := must.Get(newPlan(c.r, Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}}, nil, nil)).In(t)
		if got := p.reason(&Candidate{State: c.state}, before, after); got != c.want {
			t.Errorf("%d: %v, want %v", i, got, c.want)
		}
	}
}

// What is lost where is told of the state predicted.
func TestHeatsOfAPrediction(t *testing.T) {
	log := simulated.Lighthouse().Session(rand.New(rand.NewPCG(95, 5)), 2e-4, 0.01, simulated.Added(), simulated.Added(4.7), simulated.Added(10), simulated.Added(22), simulated.Added().Rod(1), simulated.Added(10).Rod(1), simulated.Added())
	for i := range log.Readings {
		log.Readings[i].Quality = []float64{120, 95, 90, 75, 60, 70, 118}[i]
	}
	r := must.Get(estimation.Fit(estimation.Session{Log: log})).In(t)
	for _, s := range []readings.State{readings.Bare(), stateOf(func(s *readings.State) { s.Core, s.To = "rod", 1 })} {
		f, x := r.With(nil)
		want := r.Heats(f, x, s)
		if got := Predict(r, s, nil).Heats; len(got) == 0 || !slices.Equal(got, want) {
			t.Errorf("heats %+v, want %+v", got, want)
		}
	}
}

// Two readings together may do more than the best one and what then does most: of all pairs the best is told beside
// those, and is what a plan for several at once proposes. Where they are the best, nothing is told beside them.
func TestBestPairBesideTheGreedy(t *testing.T) {
	r := tried(t, 1)
	better, same := 0, 0
	for _, name := range []string{quantities.Inductance, quantities.BareFrequency, quantities.EffectiveCapacitance} {
		want := Measurand{Key: quantities.Key{Name: name}, State: readings.Bare()}
		list := Candidates(r, want, Bench{})
		out := Next(r, want, list, nil, 2)
		p := must.Get(newPlan(r, want, list, nil)).In(t)
		least := math.Inf(1)
		for i := range p.rows {
			for j := range i + 1 {
				if i != j || !list[i].Kind.measures() {
					least = math.Min(least, p.expect(p.rows[i], p.rows[j]).Uncertainty)
				}
			}
		}
		greedy := out.Greedy[1].After
		best := greedy
		if out.Better != nil {
			better++
			if best = out.Better[1].After; len(out.Better) != 2 || !(best.Stated < 0.999*greedy.Stated) || out.Better[0].Before != out.Now || out.Better[1].Before != out.Better[0].After {
				t.Errorf("%s: %+v is no better", name, out.Better)
			}
		} else {
			same++
		}
		near.Times(t, name+" after the best pair", best.Uncertainty, least, 1e-3)
		joint, ok := PlanJointly(r, []Measurand{want}, list, nil, 2)
		if !ok || len(joint.Steps) != 2 {
			t.Fatalf("%+v", joint)
		}
		near.Times(t, name+" planned", joint.After[0].Uncertainty, least, 1e-3)
	}
	if better == 0 || same == 0 {
		t.Errorf("%d pairs better, %d the same: the test needs both", better, same)
	}
}
