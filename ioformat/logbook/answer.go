package logbook

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

var nan = math.NaN()

// standing is what a Book knows before a reading: what it should give, and what the
// goals are known to.
type standing struct {
	expected quantities.Estimate // Determined: it is a prediction
	goals    []goal
	p        float64 // of the fit; NaN without one
	again    bool    // the state has been read again already, since it surprised
}

// goal is a quantity to be found out, as far as it is known.
type goal struct {
	label string
	quantities.Estimate
}

// standing takes stock before a reading in a state.
func (b *Book) standing(words []string) (s standing) {
	s.goals, s.p, s.again = b.known(), nan, b.again != ""
	if b.result != nil {
		s.p = b.result.Quality.PValue
	}
	s.expected, _ = b.expect(words)
	return s
}

// expect predicts a reading in the state that words say; ok is false where the readings don't tell.
func (b *Book) expect(words []string) (e quantities.Estimate, ok bool) {
	if b.result == nil {
		return e, false
	}
	s := b.log.States()
	state, err := s.Parse(words)
	if err != nil {
		return e, false
	}
	e = b.result.Frequency(state, s.Parts()[len(b.result.Parts()):])
	return e, e.Determined
}

// known lists the goals with what the fit says of them.
func (b *Book) known() (list []goal) {
	if b.result == nil {
		return nil
	}
	s := b.log.States()
	for _, g := range b.wanted() {
		measurand, err := known.ParseMeasurand(g, b.result, s)
		if err != nil {
			continue
		}
		if measurand.Name == "frequency" {
			e := b.result.Frequency(measurand.State, s.Parts()[len(b.result.Parts()):])
			list = append(list, goal{"frequency with " + wording.State(measurand.State, s.Parts()), e})
			continue
		}
		if e := b.result.Find(measurand.Key); e != nil {
			list = append(list, goal{label(g, e), *e})
		}
	}
	return list
}

// label is what a goal is called in an answer.
func label(g string, e *quantities.Estimate) string {
	switch {
	case e.Name == quantities.EffectiveInductance:
		return "L"
	case e.Name == quantities.EffectiveCapacitance:
		return "C"
	case e.Name == quantities.CoreGain:
		return "gain of " + e.Core
	}
	return g
}

// wanted lists the goals: those given, or the pair L and C and each core's gain.
func (b *Book) wanted() []string {
	if len(b.goals) > 0 {
		return b.goals
	}
	list := []string{"L"}
	for _, c := range b.knownCores() {
		list = append(list, "gain:"+c)
	}
	return list
}

// answer says what a reading is, how far it lies from what was expected, and what moved.
func (b *Book) answer(before standing, row benchlog.Row, digits string) string {
	var t strings.Builder
	r := b.log.Readings[len(b.log.Readings)-1]
	fmt.Fprintf(&t, "line %d: %s\n", r.Line, b.said(r))
	if e := before.expected; e.Determined && r.Use {
		text, surprised := surprise(e, row, digits)
		t.WriteString("  " + text + "\n")
		if surprised && !before.again { // what it would move is told when it has come again
			b.again = wording.Words(r.State, b.log.Parts)
			b.next = b.propose()
			return t.String()
		}
	}
	b.settle()
	if b.failed != nil {
		fmt.Fprintf(&t, "  written, but the readings can't be fitted: %s\n", b.failed)
		return t.String()
	}
	if b.result == nil { // nothing is used yet
		return t.String()
	}
	for _, line := range moved(before.goals, b.known()) {
		t.WriteString("  " + line + "\n")
	}
	if q := b.result.Quality; q.PValue < contradicted && !(before.p < contradicted) {
		t.WriteString("  the readings now" + contradictEachOther)
	}
	return t.String()
}

// said says a reading back.
func (b *Book) said(r readings.Reading) string {
	return quantity.Format(r.Frequency, r.Uncertainty, "Hz").String() + ", " + wording.State(r.State, b.log.Parts)
}

const (
	// contradicted is the p-value below which readings contradict each other.
	contradicted        = 1e-3
	contradictEachOther = " contradict each other (p < 0.001): fit says which\n"
	// surprising is how many standard uncertainties a reading may lie off what was
	// expected before a slip is asked about.
	surprising = 4.0
	// near is within how many of them what was meant instead has to lie.
	near = 2.0
)

// surprise says how far a reading lies from what was expected, and what may have been
// meant when that is far.
func surprise(e quantities.Estimate, row benchlog.Row, digits string) (text string, surprised bool) {
	u := math.Hypot(e.Uncertainty, row.Uncertainty)
	z := (row.Frequency - e.Value) / u
	side := "above"
	if z < 0 {
		side = "below"
	}
	text = fmt.Sprintf("%s σ %s the %s expected", quantity.Decimals(math.Abs(z), 1), side, quantity.Format(e.Value, u, "Hz"))
	if math.Abs(z) < surprising {
		return text, false
	}
	meant := slip(digits, func(ratio float64) float64 { return math.Abs(ratio*row.Frequency-e.Value) / u })
	if meant == "" {
		return text + ": another state than written, or a slip? < takes it back", true
	}
	return fmt.Sprintf("%s: read %s or %s? < takes it back", text, leading(digits), meant), true
}

// leading returns the number that text begins with.
func leading(text string) string {
	if i := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.", r) }); i > 0 {
		return text[:i]
	}
	return text
}

// slip returns the number that one slip of the pen makes of what was typed, and which fits: two
// neighbouring digits swapped, or else one digit another; of several the one that fits best. off
// says how many standard uncertainties a number lies off that is so many times the one typed.
func slip(typed string, off func(ratio float64) float64) string {
	digits := leading(typed)
	value := number(digits)
	var found string
	best := math.Inf(1)
	try := func(text string, cost float64) {
		if v := number(text); off(v/value) < near && cost+off(v/value) < best {
			found, best = text, cost+off(v/value)
		}
	}
	d := []byte(digits)
	for i := range d {
		if d[i] == '.' {
			continue
		}
		j := i + 1
		if j < len(d) && d[j] == '.' {
			j++
		}
		if j < len(d) {
			d[i], d[j] = d[j], d[i]
			try(string(d), 0)
			d[i], d[j] = d[j], d[i]
		}
		was := d[i]
		for c := byte('0'); c <= '9'; c++ {
			if d[i] = c; c != was {
				try(string(d), near)
			}
		}
		d[i] = was
	}
	return found
}

// moved tells what a reading changed of the goals.
func moved(before, after []goal) (lines []string) {
	was := map[string]goal{}
	for _, g := range before {
		was[g.label] = g
	}
	for _, g := range after {
		old := was[g.label]
		switch {
		case !g.Determined && old.Determined:
			lines = append(lines, g.label+" is no longer determined")
		case !g.Determined:
		case !old.Determined:
			lines = append(lines, g.label+" is "+quantity.Format(g.Value, g.Uncertainty, g.Unit).String())
		case math.Abs(g.Value-old.Value) > 0.2*g.Uncertainty, g.Uncertainty < 0.95*old.Uncertainty:
			u := quantity.UnitFor(g.Value, g.Uncertainty, g.Unit)
			from, to := u.Format(old.Value, old.Uncertainty), u.Format(g.Value, g.Uncertainty)
			lines = append(lines, fmt.Sprintf("%s %s ± %s → %s", g.label, from.Value, from.Uncertainty, to))
		}
	}
	return lines
}

// summary tells what is known of the goals.
func (b *Book) summary() string {
	if b.failed != nil {
		return "The readings can't be fitted: " + b.failed.Error() + "\n"
	}
	var t strings.Builder
	for _, g := range b.known() {
		if g.Determined {
			fmt.Fprintf(&t, "  %s is %s\n", g.label, quantity.Format(g.Value, g.Uncertainty, g.Unit))
		}
	}
	if b.result != nil && b.result.Quality.PValue < contradicted {
		t.WriteString("  the readings" + contradictEachOther)
	}
	return t.String()
}

func number(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nan
	}
	return v
}
