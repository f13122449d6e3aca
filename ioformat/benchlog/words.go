package benchlog

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

// States reads states of the coil that a log was taken of: those to predict.
// Parts that the log doesn't name join the list of parts.
type States struct {
	bench   *bench
	notices []string
}

// States returns a reader of states. It leaves l as it is, so that several may
// be in use.
func (l *Log) States() *States {
	n := &notices{file: l.bench.notices.file}
	return &States{bench: &bench{parts: l.bench.parts.inherit(n), cores: l.bench.cores.close(), notices: n}}
}

// Parts returns the parts of the log, followed by those that only states name.
func (s *States) Parts() []readings.Part { return s.bench.parts.finish() }

// Notices returns what the maker should know of the states read so far.
func (s *States) Notices() []string {
	all, _ := s.bench.notices.lines()
	return append(all, s.notices...)
}

// WordError is a word of a state that can't be understood.
type WordError struct {
	Word string
	Err  error
}

func (e *WordError) Error() string { return quantity.Quote(e.Word) + ": " + e.Err.Error() }

// Unwrap returns what was wrong with the word.
func (e *WordError) Unwrap() error { return e.Err }

// Parse reads one state from words such as added=3.3pF, core=rod, covered=60%,
// hand=20cm, primary=shorted; what isn't named is as in the bare coil. Values carry their
// units; cores are those of the log, and a named part needs a value or a
// reading in the log. The error is a [*WordError].
func (s *States) Parse(words []string) (readings.State, error) {
	state := readings.Bare()
	cover, stretch := "", ""
	err := eachWord(words, cutWord, func(word, name, value string) (err error) {
		switch name {
		case "added":
			state.Parts, err = s.bench.parts.read(typed(value))
			state.Clip = err == nil && len(state.Parts) == 0 && !nothing(value)
		case "core":
			state.Core, err = s.bench.cores.read(value, 0)
		case "covered":
			cover, stretch = word, value
		case "hand":
			state.Hand, err = handAt(value)
		case "primary":
			state.Primary, err = parsePrimary(value, quantity.Point)
		}
		return err
	})
	if err != nil {
		return readings.State{}, err
	}
	if state.Core != "" {
		state.To = 1
	}
	if cover != "" {
		err := s.bench.setCover(&state, stretch, quantity.Form{Dimension: quantity.Fraction}, 0)
		if err != nil {
			return readings.State{}, &WordError{cover, err}
		}
		if state.Core == "" {
			state.From, state.To = 0, 0
		}
	}
	return state, nil
}

// eachWord cuts words in two and reads them one by one, each name once. The error is a
// [*WordError].
func eachWord(words []string, cut func(word string) (name, value string, err error), read func(word, name, value string) error) error {
	done := map[string]bool{}
	for _, word := range words {
		name, value, err := cut(word)
		if err == nil && done[name] {
			err = fmt.Errorf("%s is given twice", name)
		}
		if err == nil && name != "core" && name != "note" {
			err = quantity.DecimalComma(value)
		}
		if err == nil {
			done[name] = true
			err = read(word, name, value)
		}
		if err != nil {
			return &WordError{word, err}
		}
	}
	return nil
}

// Have reads a part at hand, as 2.2pF or 2.2pF±1%, which joins the list of parts. Where
// the log has it and a better tolerance is given here, known is true and m says that it can
// be known so well.
func (s *States) Have(text string) (m decisions.Measure, known bool, err error) {
	q, err := quantity.Form{Dimension: quantity.Capacitance}.ParseUncertain(text)
	if err == nil && q.Stated && q.Value > 0 && q.PlusMinus > 0 {
		i := s.bench.parts.index(valueKey(q.Value, 1))
		if i >= 0 && i < s.bench.parts.inherited {
			part := s.Parts()[i]
			m = decisions.Measure{Part: i, Relative: q.PlusMinus / q.Value * BoundToStandard}
			if m.Relative >= part.Uncertainty/part.Capacitance {
				return m, false, &quantity.Error{Read: text, Expected: "a smaller tolerance than the log has for " + part.Name,
					Do: "leave the tolerance out: the part counts as the log has it"}
			}
			return m, true, nil
		}
	}
	_, err = s.Parse([]string{"added=" + text})
	if word := (*WordError)(nil); errors.As(err, &word) {
		err = word.Err
	}
	return m, false, err
}

// Words splits text such as "added=lantern roof, core=rod" into the words that
// Parse takes, each up to the next name=. The word bare stands for none.
func Words(text string) (words []string) {
	for _, piece := range Joined(pieces(text)) {
		if last := len(words) - 1; last >= 0 && !strings.Contains(piece, "=") {
			words[last] += " " + piece
			continue
		}
		words = append(words, piece)
	}
	return slices.DeleteFunc(words, func(w string) bool { return strings.EqualFold(w, "bare") })
}

// pieces splits text at white space and commas, but for a comma between digits, or before
// the first of a value: it is a slip, and shown as such.
func pieces(text string) []string {
	runes := []rune(text)
	for i, r := range runes {
		begins := i == 0 || runes[i-1] == '=' || unicode.IsDigit(runes[i-1])
		if mark := begins && i+1 < len(runes) && unicode.IsDigit(runes[i+1]); r == ',' && !mark {
			runes[i] = ' '
		}
	}
	return strings.Fields(string(runes))
}

// Joined joins words that white space around a = has taken apart, as in added =
// 3.3pF.
func Joined(words []string) (list []string) {
	for i, w := range words {
		last := len(list) - 1
		if last >= 0 && (strings.HasPrefix(w, "=") || strings.HasSuffix(words[i-1], "=")) {
			list[last] += w
			continue
		}
		list = append(list, w)
	}
	return list
}

// cutWord splits name=value.
func cutWord(word string) (name, value string, err error) {
	name, value, ok := strings.Cut(word, "=")
	names := []string{"added", "core", "covered", "hand", "primary"}
	name = strings.ToLower(quantity.Trim(name))
	if !ok {
		return "", "", &quantity.Error{Read: word, Expected: "name=value, such as added=3.3pF"}
	}
	if !slices.Contains(names, name) {
		return "", "", &quantity.Error{Read: name, Expected: "added, core, covered, hand or primary", Do: suggest.Meant(name, names, "")}
	}
	return name, quantity.Trim(value), nil
}

// typed is the sum of parts in a word.
func typed(value string) addedCell {
	return addedCell{text: value, form: quantity.Form{Dimension: quantity.Capacitance}, mark: func(string) (quantity.Mark, error) { return quantity.Point, nil }}
}

// handAt reads the distance of a hand [m], infinite for nobody.
func handAt(value string) (float64, error) {
	if nothing(value) {
		return readings.Bare().Hand, nil
	}
	q, err := quantity.Form{Dimension: quantity.Length}.Parse(value)
	if err == nil {
		err = checkHand(q)
	}
	return q.Value, err
}

// Read reads a table of states, one a row, with the columns of a log but the
// frequency. The error is a [cells.Faults] when the table is at fault.
func (s *States) Read(r io.Reader, name string) ([]readings.State, error) {
	t, err := cells.NewTable(r, name)
	if err != nil {
		return nil, err
	}
	c := findColumns(t)
	c.place()
	if c.at[added] < 0 && c.at[core] < 0 && c.at[hand] < 0 && len(t.Faults.List) == 0 {
		t.RefuseHeader(-1, "at least one of the columns added [pF], core, covered [%], hand [cm]", "")
	}
	s.bench.cores.mark = c.coreMark
	b := &bench{parts: s.bench.parts, cores: s.bench.cores, notices: &notices{file: name}}
	b.parts.seen = map[[2]string][]int{} // the table may have another unit
	var states []readings.State
	b.rows(c, func() {
		if state, ok := b.state(c); ok {
			states = append(states, state)
		}
	})
	if len(states) == 0 && len(t.Faults.List) == 0 {
		t.Faults.Add(cells.Fault{File: name, Problem: "there is no state below the header", Expected: "one row for each state"})
	}
	b.notices.tellColumns(t.HeaderLine(), c)
	all, _ := b.notices.lines()
	s.notices = append(s.notices, all...)
	return states, t.Err()
}
