package logbook

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/ioformat/wording"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// after opens a new log and has it answer lines.
func after(t *testing.T, lines ...string) *Book {
	t.Helper()
	b := open(t, &kept{}, nil)
	say(t, b, lines...)
	b.settle()
	return b
}

// What is proposed first: a state read again, a core without a reading, the bare coil for its drift, what
// lowers ln u of the goals by more than 0.05 a reading, and a known capacitor where there is none. What
// a meter would do stands beside it.
func TestWhatIsProposed(t *testing.T) {
	poor := []string{"±0.8kHz", "2.519", "1.613 added=4.7pF±20%"}
	drifted := slices.Concat(poor, slices.Repeat([]string{"1.613 added=4.7pF±20%"}, 7), []string{"goal L", "have 4.7pF±1%"})
	const meter, little, name = "4.7 pF measured to ± 1 %: L from ± ", "further readings change little; . ends", "a known capacitor on the top tells inductance from capacitance: name those at hand, as have 4.7pF,22pF"
	for what, c := range map[string]struct {
		lines              []string
		words, why, beside string // as they begin
	}{
		"nothing is read":                           {nil, "bare", "", ""},
		"drift and a meter":                         {drifted, "bare", "shows drift", meter},
		"a core comes before drift":                 {append(slices.Clone(drifted), "have core=rod"), "core=rod", "no reading has this core yet", ""},
		"little and a meter":                        {append(slices.Clone(poor), "goal L", "have 4.7pF±1%"), "added=clip", little, meter},
		"a reading and a meter":                     {append(slices.Clone(poor), "1.785MHz±8kHz core=rod", "1.146 added=4.7pF core=rod", "goal gain:rod L", "have 4.7pF±1%"), "core=rod", "first of 4: gain of rod from ± ", meter},
		"a reading does more":                       {append(slices.Clone(poor), "1.785MHz±15kHz core=rod", "1.146 added=4.7pF core=rod", "goal gain:rod L", "have 4.7pF±1%"), "core=rod", "first of 4: gain of rod from ± ", ""},
		"no capacitor":                              {poor[:2], "bare", "", name},
		"none of a value":                           {append(slices.Clone(poor[:2]), "1.9 added=lantern roof"), "bare", "", name},
		"none, and a core":                          {append(slices.Clone(poor[:2]), "have core=rod"), "bare", "", name},
		"a goal of a core without a reading":        {slices.Concat(poor[:2], []string{"have 4.7pF core=rod", "goal gain:rod"}), "core=rod", "no reading has this core yet", ""},
		"a goal of a hand without a reading":        {append(slices.Clone(poor), "goal hand"), "hand=10cm", "no reading has a hand yet", ""},
		"a goal of a core that isn't there":         {append(slices.Clone(poor), "have core=rod", "goal gain:beads", "1.785 core=rod"), "bare", "", ""},
		"a capacitor at hand, and no goal needs it": {slices.Concat(poor[:1], slices.Repeat([]string{"2.519 bare"}, 14), []string{"have 4.7pF", "goal frequency"}), "bare", little, ""},
		"the core's reading is out":                 {append(slices.Clone(poor), "1.785 core=rod use=no", "have core=rod"), "core=rod", "no reading has this core yet", ""},
		"the core under its own way":                {append(slices.Clone(poor), "have core=rod", "1.785 core=Rod", "goal L"), "added=clip", little, meter},
	} {
		b := after(t, c.lines...)
		if p := b.next; p.words != c.words || !strings.HasPrefix(p.why, c.why) || !strings.HasPrefix(p.beside, c.beside) || (c.why == "") != (p.why == "") || (c.beside == "") != (p.beside == "") {
			t.Errorf("%s: %+v, want %+v", what, p, c)
		}
		// It is told with what it should give, but for the first reading, and the first with a core.
		e, ok := b.expect(benchlog.Words(b.next.words))
		told := b.proposal()
		if strings.Contains(told, ": expect ") != ok || ok && !strings.Contains(told, ": expect "+quantity.Format(e.Value, e.Uncertainty, "Hz").String()) || ok != (len(c.lines) > 0 && c.words != "core=rod" && c.words != "hand=10cm" || c.why == "first of 4: gain of rod from ± ") || strings.Contains(told, "\n  "+b.next.beside+"\n") != (b.next.beside != "") {
			t.Errorf("%s: %q", what, told)
		}
	}
	// What surprised comes once more, without what to expect; of the states proposed otherwise none does.
	b := after(t, poor...)
	if got := say(t, b, "1.163 added=4.7pF"); !strings.HasSuffix(got, "next: 4.7 pF (once more, since it surprised)\n") {
		t.Errorf("%q", got)
	}
	if n := b.Next(); n.Words != "added=4.7pF" || !b.pending {
		t.Errorf("%+v, fitted for it: %v", n, !b.pending)
	}
	// Where an inductance that is known tells L from C, no capacitor is asked for.
	read := Reader("x.csv", benchlog.Options{}, []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1e-3, Uncertainty: 1e-5}}, nil, estimation.Session{})
	b, _, err := Open(&Memory{[]byte("frequency [MHz],frequency ± [kHz]\n2.519,0.8\n2.519,0.8\n")}, Bench{Name: "x.csv", Read: read, Now: time.Now})
	if err != nil || b.next.why != little || b.next.beside != "" {
		t.Errorf("%v: %+v", err, b.next)
	}
}

// The bare coil has nothing on its top, no clip, core or hand, and its reading counts.
func TestReadingsSinceTheBareCoil(t *testing.T) {
	for row, want := range map[string]int{",,,,": 0, "4.7,,,,": 2, "clip,,,,": 2, ",rod,,,": 2, ",,20,,": 2, ",,,no,": 2} {
		b := must.Get(openNamed("frequency [MHz],added [pF],core,hand [cm],use,note\n2.519,,,,,\n1.613,4.7,,,,\n2.5," + row + "\n")).In(t)
		if n := b.sinceBare(); n != want {
			t.Errorf("%q: %d, want %d", row, n, want)
		}
	}
}

// All that is on the top together may be three times the coil's own capacitance, for eight readings.
func TestTooHeavyForFewReadings(t *testing.T) {
	b := after(t, "±0.8kHz", "2.519", "1.613 added=4.7pF", "1.23 added=10pF")
	own := b.result.Find(quantities.Key{Name: quantities.EffectiveCapacitance}).Value
	heavy := func(times ...float64) bool {
		var parts []readings.Part
		state := readings.Bare()
		for i, x := range times {
			parts = append(parts, readings.Part{Capacitance: x * own, Known: true})
			state.Parts = append(state.Parts, i)
		}
		return b.tooHeavy(state, parts)
	}
	for _, c := range []struct {
		times []float64
		want  bool
	}{{nil, false}, {[]float64{2.95}, false}, {[]float64{3.05}, true}, {[]float64{1.6, 1.5}, true}, {[]float64{1.5, 1.4}, false}, {[]float64{2.5, 0.6}, true}, {[]float64{0.6, 2.5}, true}, {[]float64{1, 1, 1.1}, true}} {
		if got := heavy(c.times...); got != c.want {
			t.Errorf("%v: %v", c.times, got)
		}
	}
	for b.readings() < 8 {
		if !heavy(4) {
			t.Errorf("%d readings are enough", b.readings())
		}
		say(t, b, "2.519 bare")
	}
	if heavy(4) {
		t.Error("eight readings are too few")
	}
	if b = after(t, "2.519"); b.tooHeavy(readings.Bare(), nil) || heavy(4) {
		t.Error("heavy beside what isn't known")
	}
}

// The plan for several goals: what it does for each by more than 0.05 in ln u is told, or for the foremost
// where none is; it is for what is left of eight readings, two at least, and its worth is the sum of all, for each reading. A meter is told where it does more for one goal.
func TestPlanForSeveralGoals(t *testing.T) {
	log := []string{"±0.8kHz", "2.519", "1.613 added=4.7pF±20%", "1.23 added=10pF±10%", "1.785MHz±8kHz core=rod", "1.146 added=4.7pF core=rod"}
	foremost, several, meters := 0, 0, 0
	for _, last := range [][]string{
		{"goal L"}, {"goal C L"}, {"goal L C"}, {"goal gain:rod L"}, {"goal L gain:rod"}, {"goal L C gain:rod", "have 2.2pF,22pF"}, {"goal gain:rod", "have 3.3pF"},
		{"goal L", "2.519 bare"}, {"goal L", "2.519 bare", "2.519 bare"}, {"goal L", "have 10pF±1% 4.7pF±1%"}, {"goal C gain:rod L", "have 4.7pF±1% 10pF±1%"}, {"goal L", "have 4.7pF±1%,6.8pF±20%"}, {"goal L C", "2.519 bare", "2.519 bare", "2.519 bare", "have 2.2pF±10%"},
	} {
		b := after(t, slices.Concat(log, last)...)
		s, bench := b.atHand()
		if bench.Tolerance != 0.05/1.96 {
			t.Errorf("tolerance %v", bench.Tolerance)
		}
		var goals []decisions.Measurand
		seen, list := map[string]bool{}, []decisions.Candidate(nil)
		most, beside := 0.2, ""
		var meter []decisions.Suggestion
		var of []string
		for _, g := range b.goals {
			m := must.Get(known.ParseMeasurand(g, b.result, s)).In(t)
			goals = append(goals, m)
			all := decisions.Candidates(b.result.Result, m, bench)
			for _, c := range all {
				if key := wording.Words(c.State, s.Parts()); c.Kind == decisions.ReadState && !seen[key] && !b.tooHeavy(c.State, s.Parts()) {
					seen[key] = true
					list = append(list, c)
				}
			}
			for _, c := range decisions.Next(b.result.Result, m, all, bench.Parts, 1).Ranked {
				if c.Kind == decisions.MeasurePart {
					meter, of = append(meter, c), append(of, g)
				}
			}
		}
		plan, _ := decisions.PlanJointly(b.result.Result, goals, list, bench.Parts, max(2, 8-b.readings()))
		sum, best, first := 0.0, 0.0, ""
		var why []string
		for i, g := range b.goals {
			now, then := plan.Now[i], plan.After[i]
			name := strings.Replace(g, "gain:", "gain of ", 1)
			said := fmt.Sprintf("%s from %s to %s", name, report.PlusMinus(now), report.PlusMinus(then))
			drop := math.Log(now.Uncertainty / now.Value * then.Value / then.Uncertainty)
			sum += drop
			if drop > best {
				best, first = drop, said
			}
			if drop > 0.05 {
				why = append(why, said)
			}
		}
		several += max(0, len(why)-1)
		if why == nil {
			why, foremost = []string{first}, foremost+len(b.goals)-1
		}
		most = math.Max(most, sum)
		for i, c := range meter {
			if drop := math.Log(c.Before.Uncertainty / c.Before.Value * c.After.Value / c.After.Uncertainty); drop > most {
				most, beside = drop, fmt.Sprintf("%s: %s from %s to %s", report.CandidateText(c.Candidate, s.Parts()), strings.Replace(of[i], "gain:", "gain of ", 1), report.PlusMinus(c.Before), report.PlusMinus(c.After))
				meters++
			}
		}
		want := options{wording.Words(plan.Steps[0].State, s.Parts()), fmt.Sprintf("first of %d: %s", len(plan.Steps), strings.Join(why, ", ")), sum / float64(len(plan.Steps)), true, true, beside}
		got := b.options()
		if math.Abs(got.drop-want.drop) > 1e-9 {
			t.Errorf("%q: worth %v, want %v", last, got.drop, want.drop)
		}
		if got.drop = want.drop; got != want {
			t.Errorf("%q:\n%+v, want\n%+v", last, got, want)
		}
	}
	if foremost == 0 || several == 0 || meters == 0 {
		t.Errorf("no example for %d, %d, %d", foremost, several, meters)
	}
}
