package logbook

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// command is a word that a line may begin with.
type command struct {
	name, argument, about string
	do                    func(b *Book, argument string) Reply
}

// commands lists the words that are no reading.
func commands() []command {
	return []command{
		{"<", "", "take the last reading back", (*Book).takeBack},
		{"have", "22pF,47pF core=rod", "parts and cores at hand, for the proposals", (*Book).have},
		{"goal", "L", "what to find out: L, C, gain, hand, frequency@added=3.3pF", (*Book).goal},
		{"note", "TEXT", "write a remark into the log", (*Book).note},
		{"fit", "", "what the coil is, by the readings so far", asks((*Book).fit)},
		{"next", "", "what to read or measure next, ranked", asks((*Book).rank)},
		{"check", "", "how the log is understood", asks((*Book).check)},
		{"?", "", "this list", (*Book).help},
		{".", "", "end", (*Book).end},
	}
}

// help lists what can be typed.
func (b *Book) help(string) Reply {
	var t strings.Builder
	line := func(words, about string) {
		t.WriteString("  " + words + strings.Repeat(" ", max(1, 28-len([]rune(words)))) + about + "\n")
	}
	line("1.613MHz added=4.7pF", "a reading; in MHz when no unit is given")
	line("1.613", "a reading of the state proposed")
	line("1.613MHz±0.8kHz", "with its standard uncertainty")
	line("±0.8kHz", "that of the readings to come")
	line("added= core= covered= hand=", "the state of the next reading, or of this one")
	line("drive= time= use= note=", "what else the log has columns for")
	line("(empty line)", "the state proposed")
	line("ring.csv", "the file of a capture instead of a frequency")
	for _, c := range commands() {
		line(strings.TrimSpace(c.name+" "+c.argument), c.about)
	}
	return Reply{Text: t.String()}
}

func (b *Book) end(string) Reply {
	return Reply{Text: quantity.Visible(b.bench.Name) + " holds " + quantity.Count(b.readings(), "reading") + ".\n", Done: true}
}

func (b *Book) readings() int {
	if b.log == nil {
		return 0
	}
	return len(b.log.Readings)
}

// asks answers with what a command prints of the log.
func asks(what func(b *Book, w io.Writer, src report.Source) error) func(*Book, string) Reply {
	return func(b *Book, argument string) Reply {
		switch {
		case b.readings() == 0:
			return refusef("there is no reading yet: read the bare coil first")
		case argument != "":
			return refusef("%s: nothing follows this word", quantity.Quote(argument))
		}
		var t strings.Builder
		src := report.Source{Log: quantity.Visible(b.bench.Name), SHA256: b.log.SHA256, Warnings: b.log.Warnings}
		if err := what(b, &t, src); err != nil {
			return refuse(err)
		}
		return Reply{Text: t.String()}
	}
}

func (b *Book) fit(w io.Writer, src report.Source) error { return b.told(w, src, b.bench.View) }

// Report returns all that the command fit prints of the log, "" while there is nothing to
// fit.
func (b *Book) Report() string {
	b.settle()
	if b.result == nil {
		return ""
	}
	return asks(func(b *Book, w io.Writer, src report.Source) error {
		return b.told(w, src, report.View{Full: true})
	})(b, "").Text
}

// told writes what the fit says.
func (b *Book) told(w io.Writer, src report.Source, v report.View) error {
	if b.result == nil {
		return b.failed
	}
	b.result.Judge()
	s, plan := b.plan(decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()})
	return report.FitText(w, b.result, plan, s.Parts(), src, v)
}

// plan is what could be done for a quantity, with parts at hand or bought.
func (b *Book) plan(m decisions.Measurand) (*benchlog.States, decisions.Planned) {
	s, bench := b.atHand()
	bench.Buy = true
	return s, decisions.Next(b.result.Result, m, decisions.Candidates(b.result.Result, m, bench), bench.Parts, 1)
}

func (b *Book) check(w io.Writer, src report.Source) error {
	return report.CheckText(w, b.log.Log, src, b.bench.View)
}

// rank lists what could be done for the first goal; where that waits for readings to come, it is what to read for it.
func (b *Book) rank(w io.Writer, src report.Source) error {
	if b.result == nil {
		return b.failed
	}
	s, _ := b.atHand()
	goal := b.wanted()[0]
	measurand, err := known.ParseMeasurand(goal, b.result, s)
	switch {
	case err != nil && b.later(goal):
		_, err = io.WriteString(w, b.proposal())
		return err
	case err != nil:
		return err
	}
	b.result.Judge()
	s, plan := b.plan(measurand)
	return report.NextText(w, b.result, plan, s.Parts(), ranked, src, b.bench.View)
}

// ranked is how many proposals are listed.
const ranked = 10

// have takes in what is at hand.
func (b *Book) have(text string) Reply {
	if text == "" {
		return refusef("have needs what is at hand, as have 22pF,47pF or have core=rod")
	}
	var parts, cores []string
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' }) {
		if core, ok := strings.CutPrefix(word, "core="); ok {
			cores = append(cores, core)
			continue
		}
		q, err := (quantity.Form{Dimension: quantity.Capacitance}).ParseUncertain(word)
		switch {
		case err != nil:
			return refuse(err)
		case !(q.Value > 0 && q.Value < 1e-6):
			return refusef("%s: expected a capacitance between 0 and 1 µF", quantity.Quote(word))
		}
		parts = append(parts, word)
	}
	b.parts, b.cores = merged(b.parts, parts), merged(b.cores, cores)
	b.next = b.propose()
	return Reply{Text: b.proposal()}
}

// merged appends what list lacks.
func merged(list, more []string) []string {
	for _, m := range more {
		if !slices.ContainsFunc(list, func(have string) bool { return benchlog.PartKey(have) == benchlog.PartKey(m) }) {
			list = append(list, m)
		}
	}
	return list
}

// goal changes what is to be found out.
func (b *Book) goal(text string) Reply {
	if text == "" {
		return refusef("goal needs what is to be found out: L, C, gain, hand or frequency@added=3.3pF")
	}
	goals := []string{text}
	if !strings.Contains(text, "@") {
		goals = strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' })
	}
	if b.result != nil {
		for _, g := range goals {
			if _, err := known.ParseMeasurand(g, b.result, b.log.States()); err != nil && !b.later(g) {
				return refuse(err)
			}
		}
	}
	b.goals = goals
	b.next = b.propose()
	return Reply{Text: b.proposal()}
}

// later tells whether a goal is one that readings to come will know.
func (b *Book) later(goal string) bool {
	name, _, _ := strings.Cut(goal, ":")
	return name == "gain" && len(b.cores) > 0 || name == "hand"
}

// note writes a remark into the log.
func (b *Book) note(text string) Reply {
	switch {
	case text == "":
		return refusef("note needs a text, as note moved to the other bench")
	case b.readings() == 0:
		return refusef("the log begins with its first reading; a remark goes below one, or as note=TEXT into one")
	case strings.ContainsFunc(text, quantity.Hidden):
		return refusef("a remark is text without control characters")
	}
	if err := b.change(func(content []byte) ([]byte, error) { return benchlog.Remark(content, b.bench.Name, text) }); err != nil {
		return refuse(err)
	}
	return Reply{Text: "noted.\n"}
}

// takeBack takes the last reading that counts back.
func (b *Book) takeBack(rest string) Reply {
	if rest != "" {
		return refusef("< stands alone: it takes the last reading back")
	}
	if b.log == nil {
		return refusef("there is no reading to take back")
	}
	i := len(b.log.Readings) - 1
	for i >= 0 && !b.log.Readings[i].Use {
		i--
	}
	if i < 0 {
		return refusef("no reading is left that is used")
	}
	r := b.log.Readings[i]
	said := fmt.Sprintf("line %d, %s", r.Line, b.said(r))
	var removed bool
	err := b.change(func(content []byte) (changed []byte, err error) {
		if !bytes.Equal(content, b.content) {
			return nil, errChanged
		}
		changed, removed, err = benchlog.TakeBack(content, b.bench.Name, r.Line)
		return changed, err
	})
	switch {
	case errors.Is(err, errChanged):
		if content, read := b.store.Read(); read == nil && b.take(content) == nil {
			return refuse(err)
		}
		return refusef("another program has changed the log meanwhile, and it can't be read any more; put that right first")
	case err != nil:
		return refuse(err)
	}
	b.settle()
	if removed {
		return Reply{Text: "removed: " + said + "\n" + b.proposal()}
	}
	return Reply{Text: "no longer used: " + said + "\n" + b.proposal()}
}
