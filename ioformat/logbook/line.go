package logbook

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// typed is a line that is no command: a frequency or the name of a capture, and words
// of a state.
type typed struct {
	what  string   // "" without a frequency
	state []string // words such as core=rod
	bare  bool     // the state is named as the bare one
	more  []string // words that say no state, as note=…
}

// split reads the words of a line.
func split(text string) (t typed) {
	for _, w := range benchlog.Words(text) {
		name, _, ok := strings.Cut(w, "=")
		switch name = strings.ToLower(strings.TrimSpace(name)); {
		case !ok && t.what == "":
			fields := strings.Fields(w)
			if last := len(fields) - 1; strings.EqualFold(fields[last], "bare") {
				t.bare, fields = true, fields[:last]
			}
			t.what = strings.Join(fields, " ")
		case name == "note" || name == "use" || name == "time" || name == "drive":
			t.more = append(t.more, w)
		default:
			t.state = append(t.state, w)
		}
	}
	t.bare = t.bare || t.what == "" && len(t.state) == 0 && len(t.more) == 0
	return t
}

// reading takes a line that is no command.
func (b *Book) reading(text string) Reply {
	t := split(text)
	switch {
	case t.what == "" && len(t.more) > 0:
		return refusef("%s goes with a frequency, as 1.613MHz %s", quantity.Quote(t.more[0]), t.more[0])
	case t.what == "":
		return b.set(t.state)
	case strings.HasPrefix(t.what, "±") || strings.HasPrefix(t.what, "+"):
		return b.spread(t.what)
	}
	first := []rune(t.what)[0]
	if !unicode.IsDigit(first) && !strings.ContainsRune(".,(-", first) {
		return b.capture(t)
	}
	q, err := b.frequency(t.what)
	if err != nil {
		if b.bench.Capture != nil && strings.Contains(strings.ToLower(t.what), ".csv") {
			return b.capture(t)
		}
		if _, other := (quantity.Form{Dimension: quantity.Capacitance}).ParseUncertain(t.what); other == nil {
			return refusef("%s is a capacitance, not a frequency; a state is written added=%s", quantity.Quote(t.what), t.what)
		}
		return refuse(err)
	}
	row := benchlog.Row{Frequency: q.Value, Uncertainty: q.PlusMinus, LastDigit: q.LastDigit, Amplitude: nan, Quality: nan}
	if !q.Stated {
		row.Uncertainty, row.Unclaimed = q.DigitUncertainty(), true
	} else { // 2 ± 0.001 is 2.000
		row.LastDigit = math.Min(row.LastDigit, math.Pow10(int(math.Ceil(math.Log10(row.Uncertainty)))))
	}
	return b.add(row, t, q.Text)
}

// signs are what stands between a value and its uncertainty.
var signs = []string{"±", "+/-", "+-"}

// frequency reads a frequency and its ±, the one given for all when it has none.
func (b *Book) frequency(text string) (q quantity.Uncertain, err error) {
	form := quantity.Form{Dimension: quantity.Frequency}
	value, pm := text, ""
	for _, sign := range signs {
		if left, right, ok := strings.Cut(text, sign); ok {
			value, pm = strings.TrimSpace(left), strings.TrimSpace(right)
			break
		}
	}
	if strings.Trim(value, "0123456789.,-") == "" {
		if strings.ContainsFunc(pm, unicode.IsLetter) {
			return q, fmt.Errorf("%s: which unit is %s in? write it, as %s %s ± %s", quantity.Quote(text), value, value, b.unit(), pm)
		}
		value += " " + b.unit()
	}
	if pm == "" {
		pm = b.pm
	}
	if pm != "" {
		value += " ± " + pm
	}
	if q, err = form.ParseUncertain(value); err != nil {
		return q, err
	}
	switch {
	case q.Value <= 0:
		err = &quantity.Error{Read: text, Expected: "a frequency above 0"}
	case q.Stated && !(q.PlusMinus > 0 && q.PlusMinus < q.Value/10):
		err = &quantity.Error{Read: text, Expected: "a ± above 0 and below a tenth of the frequency", Do: "it is one standard uncertainty"}
	case !q.Stated && !(q.DigitUncertainty() < q.Value/10):
		err = &quantity.Error{Read: text, Expected: "a frequency of two digits or more", Do: "its digits tell how well it is known"}
	}
	return q, err
}

// unit is that of a frequency typed without one.
func (b *Book) unit() string {
	if b.log == nil {
		return "MHz"
	}
	return b.log.Unit()
}

// spread takes the ± of the readings to come.
func (b *Book) spread(text string) Reply {
	pm := text
	for _, sign := range signs {
		pm = strings.TrimPrefix(pm, sign)
	}
	pm = strings.TrimSpace(pm)
	if pm == "" {
		b.pm = ""
		return Reply{Text: "readings without a ± are as certain as their digits.\n"}
	}
	q, err := (quantity.Form{Dimension: quantity.Frequency, Relative: true}).Parse(pm)
	switch {
	case err != nil:
		return refuse(err)
	case !(q.Value > 0):
		return refuse(&quantity.Error{Read: text, Expected: "a ± above 0"})
	}
	b.pm = pm
	return Reply{Text: "readings without a ± have ± " + pm + " from now on, one standard uncertainty; ± alone ends that.\n"}
}

// set makes words the state of the next reading.
func (b *Book) set(words []string) Reply {
	if err := b.sound(words); err != nil {
		return refuse(err)
	}
	b.typed, b.own = words, true
	return Reply{Text: "next: " + b.setUp(words) + "\n"}
}

// accept makes the state that is proposed that of the next reading.
func (b *Book) accept() Reply {
	b.own = false
	return Reply{Text: b.proposal()}
}

// state returns the words of the state that t is a reading of.
func (b *Book) state(t typed) []string {
	switch {
	case t.bare || len(t.state) > 0:
		return t.state
	case b.own:
		return b.typed
	}
	return benchlog.Words(b.next.words)
}

// sound refuses words that can't be meant, a core whose name is nearly that of another
// among them: it would be a second core.
func (b *Book) sound(words []string) error {
	_, _, err := benchlog.Append(nil, "the log", benchlog.Row{Frequency: 1e6, Uncertainty: 1, Amplitude: nan, Quality: nan, State: words})
	if err != nil {
		return err
	}
	for _, w := range words {
		name, value, _ := strings.Cut(w, "=")
		if !strings.EqualFold(strings.TrimSpace(name), "core") {
			continue
		}
		value = strings.TrimSpace(value)
		cores := b.knownCores()
		there := slices.ContainsFunc(cores, func(n string) bool { return benchlog.SameName(n, value) })
		if near, ok := suggest.Nearest(value, cores); ok && !there {
			return fmt.Errorf("there is no core %s so far, did you mean %s? for another core of that name: have core=%s", quantity.Quote(value), near, value)
		}
	}
	return nil
}

// knownCores lists the cores of the log and at hand.
func (b *Book) knownCores() []string {
	var cores []string
	if b.log != nil {
		for _, r := range b.log.Readings {
			if r.Core != "" {
				cores = merged(cores, []string{r.Core})
			}
		}
	}
	return merged(cores, b.cores)
}

// capture takes the reading of a capture's file.
func (b *Book) capture(t typed) Reply {
	if b.bench.Capture == nil || !strings.ContainsAny(t.what, "./\\") {
		var names []string
		for _, c := range commands() {
			names = append(names, c.name)
		}
		do := "; ? lists the words"
		if near, ok := suggest.Nearest(strings.Fields(t.what)[0], names); ok {
			do = ", did you mean " + near + "?"
		}
		return refusef("%s is no frequency%s", quantity.Quote(t.what), do)
	}
	row, err := b.bench.Capture(t.what, nil)
	if err != nil {
		return refuse(err)
	}
	return b.add(row, t, quantity.Format(row.Frequency, row.Uncertainty, "Hz").Value)
}

// add writes a reading into the log and answers it.
func (b *Book) add(row benchlog.Row, t typed, digits string) Reply {
	state := b.state(t)
	if err := b.sound(state); err != nil {
		return refuse(err)
	}
	row.State = append(append([]string{}, state...), t.more...)
	if at := b.clock(); at != "" && !hasWord(t.more, "time") {
		row.State = append(row.State, "time="+at)
	}
	before := b.standing(state)
	var unplaced []string
	err := b.change(func(content []byte) (longer []byte, err error) {
		longer, unplaced, err = benchlog.Append(content, b.bench.Name, row)
		return longer, err
	})
	if err != nil {
		return refuse(err)
	}
	b.typed, b.own = nil, false
	b.goOn(hasWord(t.more, "time"))
	text := b.answer(before, row, digits)
	if len(unplaced) > 0 {
		text += "  the log has no column for " + strings.Join(unplaced, ", ") + ": not written\n"
	}
	for _, c := range row.Cautions {
		text += "  " + c + "\n"
	}
	return Reply{Text: text + b.proposal()}
}

func hasWord(words []string, name string) bool {
	for _, w := range words {
		if n, _, _ := strings.Cut(w, "="); strings.EqualFold(strings.TrimSpace(n), name) {
			return true
		}
	}
	return false
}

// clock returns what goes into the column time now, "" where there is none. A new log
// has minutes since it was opened.
func (b *Book) clock() string {
	passed := b.bench.Now().Sub(b.opened)
	if b.log == nil {
		return strconv.Itoa(int(passed.Minutes()))
	}
	return b.began.Time(b.bench.Now(), passed)
}

// goOn has times go on from the reading just written, where its own was typed or it is the first of a
// new log. From others they don't: of each the part of a minute would be lost.
func (b *Book) goOn(typed bool) {
	now := b.bench.Now()
	switch {
	case typed:
		b.opened, b.began = now, b.log
	case b.began == nil:
		b.opened, b.began = b.opened.Add(now.Sub(b.opened).Truncate(time.Minute)), b.log
	}
}

var errChanged = errors.New("another program has changed the log meanwhile; it was read anew: look again")
