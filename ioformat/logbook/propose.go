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
	best, gain := options.best()
	switch {
	case b.sinceBare() >= apart:
		return proposal{words: "bare", why: "shows drift", beside: options.beside}
	case gain > worthwhile:
		return proposal{words: best, why: options.why(best), beside: options.beside}
	case !options.splits && !options.parts:
		return proposal{words: "bare", beside: "a known capacitor on the top tells inductance from capacitance: name those at hand, as have 4.7pF,22pF"}
	}
	return proposal{words: best, why: "further readings change little; . ends", beside: options.beside}
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

// options are the readings that could be taken, with what each does for the goals.
type options struct {
	gain   map[string]float64  // drop of the logarithms of the goals' uncertainties, summed
	does   map[string][]string // by goal, in words
	order  []string
	splits bool   // inductance and capacitance are told apart already
	parts  bool   // there is a capacitor to add
	beside string // what a measurement would do, where that is much more
}

// options works out what could be read.
func (b *Book) options() options {
	o := options{gain: map[string]float64{}, does: map[string][]string{}}
	s, bench := b.atHand()
	o.parts = slices.ContainsFunc(s.Parts(), func(p model.Part) bool { return p.Known })
	if e := b.result.Find(model.EffectiveInductance, "", "", 0); e != nil {
		o.splits = e.Determined
	}
	measured := 0.0
	for _, g := range b.wanted() {
		wish, err := known.ParseWish(g, b.result, s)
		if err != nil {
			continue
		}
		plan := b.result.Next(wish, b.result.Candidates(wish, bench), bench.Parts, 1)
		for _, c := range plan.Ranked {
			gain := drop(c)
			if c.Kind == model.MeasurePart && c.Helps() && gain > measured {
				measured, o.beside = gain, report.CandidateText(c.Candidate, s.Parts())+": "+o.text(g, c)
			}
			if c.Kind != model.ReadState {
				continue
			}
			words := wording.Words(c.State, s.Parts())
			if _, ok := o.gain[words]; !ok {
				o.order = append(o.order, words)
			}
			o.gain[words] += gain
			if gain > worthwhile {
				o.does[words] = append(o.does[words], o.text(g, c))
			}
		}
	}
	if _, best := o.best(); measured < 2*best || measured < 4*worthwhile {
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

// drop is how much a candidate lowers the logarithm of the uncertainty of its goal; what
// isn't determined counts as known to a factor.
func drop(c model.Suggestion) float64 {
	return math.Log(spread(c.Before) / spread(c.After))
}

func spread(e model.Estimate) float64 {
	if !e.Determined {
		return 1
	}
	return math.Min(1, e.Uncertainty/math.Abs(e.Value))
}

// text says what a candidate does for a goal.
func (o *options) text(g string, c model.Suggestion) string {
	before := "not known"
	if c.Before.Determined {
		before = percent(c.Before)
	}
	return fmt.Sprintf("%s ± %s → %s", label(g, &c.After), before, percent(c.After))
}

func percent(e model.Estimate) string {
	return quantity.FormatValue(100*e.Uncertainty/math.Abs(e.Value), 2, "").Value + " %"
}

// best returns the reading that does most.
func (o *options) best() (words string, gain float64) {
	words, gain = "bare", math.Inf(-1)
	for _, w := range o.order {
		if o.gain[w] > gain {
			words, gain = w, o.gain[w]
		}
	}
	return words, gain
}

// why says what a reading does.
func (o *options) why(words string) string { return strings.Join(o.does[words], ", ") }

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
