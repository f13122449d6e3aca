package logbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/wording"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// proposal is what to read next.
type proposal struct {
	words  string // of the state
	why    string // "" where it needs no reason
	beside string // what else would help, "" for nothing
}

const (
	// worthwhile is the drop of the logarithm of a goal's uncertainty that is worth a
	// reading.
	worthwhile = 0.05
	// apart is after how many readings of other states the bare coil is read again, which
	// shows drift (common practice).
	apart = 8
)

// propose finds what to read next.
func (b *Book) propose() proposal {
	if b.again != "" {
		return proposal{words: b.again, why: "once more, since it surprised"}
	}
	if b.result == nil {
		return proposal{words: "bare"}
	}
	options := b.options()
	open := options.words == "" // nothing is known of any goal that could be planned for
	if core := b.unread(); core != "" && (options.splits || open) {
		return proposal{words: "core=" + core, why: "no reading has this core yet"}
	}
	if open && slices.Contains(b.goals, "hand") {
		return proposal{words: "hand=10cm", why: "no reading has a hand yet"}
	}
	switch {
	case b.sinceBare() >= apart:
		return proposal{words: "bare", why: "shows drift", beside: options.beside}
	case options.drop > worthwhile:
		return proposal{words: options.words, why: options.why, beside: options.beside}
	case !options.splits && !options.parts:
		return proposal{words: "bare", beside: "a known capacitor on the top tells inductance from capacitance: name those at hand, as have 4.7pF,22pF"}
	case open:
		return proposal{words: "bare"}
	}
	return proposal{words: options.words, why: "further readings change little; . ends", beside: options.beside}
}

// unread returns a core at hand that no reading has.
func (b *Book) unread() string {
	for _, c := range b.cores {
		if !slices.ContainsFunc(b.log.Readings, func(r readings.Reading) bool { return r.Use && benchlog.SameName(r.Core, c) }) {
			return c
		}
	}
	return ""
}

// sinceBare counts the readings since the last of the bare coil.
func (b *Book) sinceBare() int {
	n := 0
	for _, r := range slices.Backward(b.log.Readings) {
		if s := r.State; len(s.Parts) == 0 && !s.Clip && s.Core == "" && math.IsInf(s.Hand, 1) && r.Use {
			return n
		}
		n++
	}
	return n
}

// options is what could be done for the goals.
type options struct {
	words  string  // of the reading that does most of those planned
	why    string  // what the plan is good for
	drop   float64 // of the logarithms of the goals' uncertainties by it, for each reading
	splits bool    // inductance and capacitance are told apart already
	parts  bool    // there is a capacitor to add
	beside string  // what a measurement would do, where that is much more
}

const (
	// evening is how many readings are planned together: what one alone does little for,
	// such as another part beside one whose tolerance counts, shows in a set.
	evening = 8
	// fewest is how many are planned at least.
	fewest = 2
	// heavy is how many times the coil's own capacitance may be on the top in the readings
	// of an evening: of few readings a plan promises more of heavy ones than they keep,
	// since how the capacitance is spread is open.
	heavy = 3.0
)

// options plans the readings to come for all goals together.
func (b *Book) options() (o options) {
	s, bench := b.atHand()
	o.parts = slices.ContainsFunc(s.Parts(), func(p readings.Part) bool { return p.Known })
	if e := b.result.Find(quantities.Key{Name: quantities.EffectiveInductance}); e != nil {
		o.splits = e.Determined
	}
	var measurands []decisions.Measurand
	var named []string
	var candidates []decisions.Candidate
	for _, g := range b.wanted() {
		measurand, err := known.ParseMeasurand(g, b.result, s)
		if err != nil {
			continue
		}
		measurands, named = append(measurands, measurand), append(named, g)
		for _, c := range decisions.Candidates(b.result.Result, measurand, bench) {
			same := func(o decisions.Candidate) bool {
				return wording.Words(o.State, s.Parts()) == wording.Words(c.State, s.Parts())
			}
			if c.Kind == decisions.ReadState && !b.tooHeavy(c.State, s.Parts()) && !slices.ContainsFunc(candidates, same) {
				candidates = append(candidates, c)
			}
		}
	}
	plan, ok := decisions.PlanJointly(b.result.Result, measurands, candidates, bench.Parts, max(fewest, evening-b.readings()))
	if !ok {
		return o
	}
	o.words = wording.Words(plan.Steps[0].State, s.Parts())
	var why []string
	most, foremost := 0.0, "" // for where several goals together are worth it, and none alone
	for i, g := range named {
		drop, said := math.Log(spread(plan.Now[i])/spread(plan.After[i])), text(g, plan.Now[i], plan.After[i])
		if o.drop += drop; drop > worthwhile {
			why = append(why, said)
		}
		if drop > most {
			most, foremost = drop, said
		}
	}
	if len(why) == 0 {
		why = []string{foremost}
	}
	o.why = fmt.Sprintf("first of %d: %s", len(plan.Steps), strings.Join(why, ", "))
	o.beside = b.measuring(s, bench, measurands, named, o.drop)
	o.drop /= float64(len(plan.Steps))
	return o
}

// tooHeavy tells whether a state has more on the top than a plan of few readings can judge.
func (b *Book) tooHeavy(state readings.State, parts []readings.Part) bool {
	own := b.result.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	if b.readings() >= evening || own == nil || !own.Determined {
		return false
	}
	sum := 0.0
	for _, p := range state.Parts {
		sum += parts[p].Capacitance
	}
	return sum > heavy*own.Value
}

// measuring says what a part measured at a meter does, where that is more than what the
// readings planned do, drop; "" else.
func (b *Book) measuring(s *benchlog.States, bench decisions.Bench, measurands []decisions.Measurand, named []string, drop float64) (best string) {
	most := math.Max(drop, 4*worthwhile)
	for i, w := range measurands {
		var meter []decisions.Candidate
		for _, c := range decisions.Candidates(b.result.Result, w, bench) {
			if c.Kind == decisions.MeasurePart {
				meter = append(meter, c)
			}
		}
		for _, c := range decisions.Next(b.result.Result, w, meter, bench.Parts, 1).Ranked {
			if drop := math.Log(spread(c.Before) / spread(c.After)); drop > most {
				most, best = drop, report.CandidateText(c.Candidate, s.Parts())+": "+text(named[i], c.Before, c.After)
			}
		}
	}
	return best
}

// atHand returns the parts of the log and those at hand.
func (b *Book) atHand() (*benchlog.States, decisions.Bench) {
	s, bench := b.log.States(), decisions.Bench{Tolerance: b.bench.Tolerance}
	for _, p := range b.parts {
		if m, better, err := s.Have(p); err == nil && better {
			bench.Measured = append(bench.Measured, m)
		}
	}
	bench.Parts = s.Parts()[len(b.result.Parts()):]
	return s, bench
}

// spread is how well a quantity is known, as a fraction; 1 where it isn't determined.
func spread(e quantities.Estimate) float64 {
	if !e.Determined {
		return 1
	}
	return math.Min(1, e.Uncertainty/math.Abs(e.Value))
}

// text says what is done for a goal.
func text(g string, before, after quantities.Estimate) string {
	switch name := label(g, &after); {
	case !after.Determined:
		return name + " still not determined"
	case !before.Determined:
		return name + " to " + report.PlusMinus(after)
	default:
		return fmt.Sprintf("%s from %s to %s", name, report.PlusMinus(before), report.PlusMinus(after))
	}
}

// proposal says what to read next, and what that should give.
func (b *Book) proposal() string {
	if b.failed != nil {
		return ""
	}
	words := benchlog.Words(b.next.words)
	text := "next: " + b.setUp(words)
	if b.again != "" { // what surprised isn't to be expected
		text = "next: " + b.named(words)
	}
	if b.next.why != "" {
		text += " (" + b.next.why + ")"
	}
	text += "\n"
	if b.next.beside != "" {
		text += "  " + b.next.beside + "\n"
	}
	return text
}

// setUp says what to set up, and what it should give.
func (b *Book) setUp(words []string) string {
	text := b.named(words)
	if e, ok := b.expect(words); ok {
		text += ": expect " + quantity.Format(e.Value, e.Uncertainty, "Hz").String()
	}
	return text
}

// named names a state as the log does.
func (b *Book) named(words []string) string {
	if b.log != nil {
		s := b.log.States()
		if state, err := s.Parse(words); err == nil {
			return wording.State(state, s.Parts())
		}
	}
	if len(words) == 0 {
		return "bare"
	}
	return strings.Join(words, " ")
}
