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
	"fitcoil/model"
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
	if b.result == nil {
		return proposal{words: "bare"}
	}
	options := b.options()
	if core := b.unread(); core != "" && options.splits {
		return proposal{words: "core=" + core, why: "no reading has this core yet"}
	}
	switch {
	case b.sinceBare() >= apart:
		return proposal{words: "bare", why: "shows drift", beside: options.beside}
	case options.drop > worthwhile:
		return proposal{words: options.words, why: options.why, beside: options.beside}
	case !options.splits && !options.parts:
		return proposal{words: "bare", beside: "a known capacitor on the top tells inductance from capacitance: name those at hand, as have 4.7pF,22pF"}
	}
	return proposal{words: options.words, why: "further readings change little; . ends", beside: options.beside}
}

// unread returns a core at hand that no reading has.
func (b *Book) unread() string {
	for _, c := range b.cores {
		if !slices.ContainsFunc(b.log.Readings, func(r model.Reading) bool { return r.Use && benchlog.SameName(r.Core, c) }) {
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
	words  string  // of the reading that is part of the plan that does most
	why    string  // what it is good for
	drop   float64 // of the logarithm of the uncertainty of that plan's goal
	splits bool    // inductance and capacitance are told apart already
	parts  bool    // there is a capacitor to add
	beside string  // what a measurement would do, where that is much more
}

// ahead is how many readings are planned together: what one alone does little for, such as
// another part beside one whose tolerance counts, shows in a set.
const ahead = 6

// options plans the readings to come for each goal, and keeps the plan that does most.
func (b *Book) options() (o options) {
	s, bench := b.atHand()
	o.parts = slices.ContainsFunc(s.Parts(), func(p model.Part) bool { return p.Known })
	if e := b.result.Find(model.EffectiveInductance, "", "", 0); e != nil {
		o.splits = e.Determined
	}
	goals, measured := b.wanted(), 0.0
	for _, g := range goals {
		wish, err := known.ParseWish(g, b.result, s)
		if err != nil {
			continue
		}
		candidates := b.result.Candidates(wish, bench)
		readings := slices.DeleteFunc(slices.Clone(candidates), func(c model.Candidate) bool { return c.Kind != model.ReadState })
		plan := b.result.Next(wish, readings, bench.Parts, (ahead+len(goals)-1)/len(goals))
		steps := plan.Greedy
		if len(plan.Better) > 0 {
			steps = plan.Better
		}
		if len(steps) > 0 {
			first, last := steps[0], steps[len(steps)-1]
			if drop := math.Log(spread(first.Before) / spread(last.After)); o.words == "" || drop > o.drop {
				o.words, o.drop, o.why = wording.Words(first.State, s.Parts()), drop, text(g, first.Before, last.After)
				if len(steps) > 1 {
					o.why += fmt.Sprintf(" in %d readings", len(steps))
				}
			}
		}
		for _, c := range b.result.Next(wish, candidates, bench.Parts, 1).Ranked {
			if drop := math.Log(spread(c.Before) / spread(c.After)); c.Kind == model.MeasurePart && c.Helps() && drop > measured {
				measured, o.beside = drop, report.CandidateText(c.Candidate, s.Parts())+": "+text(g, c.Before, c.After)
			}
		}
	}
	if measured < o.drop || measured < 4*worthwhile {
		o.beside = ""
	}
	return o
}

// atHand returns the parts of the log and those at hand.
func (b *Book) atHand() (*benchlog.States, model.Bench) {
	s, bench := b.log.States(), model.Bench{Tolerance: b.bench.Tolerance}
	for _, p := range b.parts {
		if m, better, err := s.Have(p); err == nil && better {
			bench.Measured = append(bench.Measured, m)
		}
	}
	bench.Parts = s.Parts()[len(b.result.Parts()):]
	return s, bench
}

// spread is how well a quantity is known, as a fraction; 1 where it isn't determined.
func spread(e model.Estimate) float64 {
	if !e.Determined {
		return 1
	}
	return math.Min(1, e.Uncertainty/math.Abs(e.Value))
}

// text says what is done for a goal.
func text(g string, before, after model.Estimate) string {
	was := "not known"
	if before.Determined {
		was = percent(before)
	}
	if !after.Determined {
		return label(g, &after) + " still not known"
	}
	return fmt.Sprintf("%s ± %s → %s", label(g, &after), was, percent(after))
}

func percent(e model.Estimate) string {
	return quantity.FormatValue(100*e.Uncertainty/math.Abs(e.Value), 2, "").Value + " %"
}

// proposal says what to read next, and what that should give.
func (b *Book) proposal() string {
	if b.failed != nil {
		return ""
	}
	text := "next: " + b.setUp(benchlog.Words(b.next.words))
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
	text := strings.Join(words, " ")
	if len(words) == 0 {
		text = "bare"
	} else if b.log != nil {
		s := b.log.States()
		if state, err := s.Parse(words); err == nil {
			text = wording.State(state, s.Parts())
		}
	}
	if e, ok := b.expect(words); ok {
		text += ": expect " + quantity.Format(e.Value, e.Uncertainty, "Hz").String()
	}
	return text
}
