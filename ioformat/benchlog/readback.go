package benchlog

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// saidReading is a reading with the parts on its top.
type saidReading struct {
	readings.Reading
	parts []readings.Part
}

// reading returns reading i and the parts on its top.
func (l *Log) reading(i int) saidReading {
	r := l.Readings[i]
	return saidReading{r, r.Of(l.Parts)}
}

// alone reads row by itself, in a log of its own: what it says wherever it
// stands. The error is a [*WordError] where that is the fault of a word.
func alone(row Row) (saidReading, error) {
	p, err := place([]byte(headerFor(row)), "the row", row)
	if err != nil {
		return saidReading{}, err
	}
	s, n, err := lastReading(p.content, "the row")
	var faults cells.Faults
	switch {
	case errors.As(err, &faults):
		return s, wordAtFault(row.State, faults.List[0])
	case err == nil && n != 1:
		err = errors.New("the row can't be read")
	}
	return s, err
}

// wordAtFault brings a fault in a row alone back to the word that it comes from.
func wordAtFault(words []string, f cells.Fault) error {
	f.File, f.Line = "", 0
	header, _ := cells.SplitUnit(f.Header)
	f.Column = 0
	err := errors.New(strings.TrimPrefix(f.Error(), ": "))
	for _, word := range words {
		if name, _, _ := strings.Cut(word, "="); strings.EqualFold(quantity.Trim(name), header) {
			return &WordError{word, err}
		}
	}
	return err
}

// lastReading returns the last reading of a log, and how many there are.
func lastReading(content []byte, name string) (saidReading, int, error) {
	l, err := Read(bytes.NewReader(content), name, Options{Each: true})
	if err != nil {
		return saidReading{}, 0, err
	}
	n := len(l.Readings)
	return l.reading(n - 1), n, nil
}

// readsBack checks that p has one reading more than before, and that it says
// what is meant.
func (p placed) readsBack(name string, meant saidReading) error {
	got, n, err := lastReading(p.content, name)
	switch {
	case strings.HasPrefix(p.first, "#"):
		return fmt.Errorf("%s: the new row would begin with %s, and so would be a comment: write that cell without the #, or let another column come first in the log",
			name, quantity.Quote(p.first))
	case err != nil:
		return fmt.Errorf("the new row would spoil the log: %w", err)
	case n != p.readings+1:
		return fmt.Errorf("%s: with the new row the log would have %d readings instead of %d", name, n, p.readings+1)
	}
	if what, is, want := got.differs(meant); what != "" {
		return fmt.Errorf("%s: the new row would be read with the %s %s instead of %s", name, what, is, want)
	}
	return nil
}

// differs names what of s isn't as in meant, "" for nothing.
func (s saidReading) differs(meant saidReading) (what, is, want string) {
	or := func(text string) string {
		if text == "" {
			return "none"
		}
		return quantity.Quote(text)
	}
	cover := func(r saidReading) string {
		return quantity.FormatValue(100*r.From, 4, "").Value + " to " + quantity.FormatValue(100*r.To, 4, "").Value + " %"
	}
	near := func(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-6*math.Abs(b) }
	switch {
	case math.Abs(s.Frequency-meant.Frequency) > 3*math.Max(s.Uncertainty, meant.Uncertainty):
		return "frequency", quantity.Format(s.Frequency, s.Uncertainty, "Hz").String(), quantity.Format(meant.Frequency, meant.Uncertainty, "Hz").String()
	case nameKey(s.Core) != nameKey(meant.Core):
		return "core", or(s.Core), or(meant.Core)
	case !near(s.From, meant.From) || !near(s.To, meant.To):
		return "cover", cover(s), cover(meant)
	case !near(s.Hand, meant.Hand):
		return "hand", quantity.FormatValue(s.Hand, 4, "m").String(), quantity.FormatValue(meant.Hand, 4, "m").String()
	case s.Primary != meant.Primary:
		return "primary", primaryWords()[s.Primary.Kind], primaryWords()[meant.Primary.Kind]
	case !slices.EqualFunc(s.parts, meant.parts, samePart):
		return "parts", or(partNames(s.parts)), or(partNames(meant.parts))
	case s.Use != meant.Use:
		return "use", yesNo(s.Use), yesNo(meant.Use)
	}
	return "", "", ""
}

// samePart tells whether two logs mean the same by a part: a name, or a value.
func samePart(a, b readings.Part) bool {
	if a.Known && b.Known {
		return math.Abs(a.Capacitance-b.Capacitance) <= 1e-6*b.Capacitance
	}
	return nameKey(a.Name) == nameKey(b.Name)
}

func partNames(parts []readings.Part) string { return strings.Join(readings.Names(parts), "+") }

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
