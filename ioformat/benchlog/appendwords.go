package benchlog

import (
	"fmt"
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// words writes the state, the use and the note.
func (w *writer) words(words []string) error {
	done := map[string]bool{}
	for _, word := range words {
		name, value, ok := strings.Cut(word, "=")
		name, value = strings.ToLower(quantity.Trim(name)), quantity.Trim(value)
		err := error(nil)
		switch {
		case !ok:
			err = &quantity.Error{Read: word, Expected: "name=value, such as core=rod"}
		case strings.ContainsFunc(word, quantity.Hidden):
			err = &quantity.Error{Read: word, Expected: "text without control characters"}
		case done[name]:
			err = fmt.Errorf("%s is given twice", name)
		default:
			done[name] = true
			if name != "core" && name != "note" {
				err = quantity.DecimalComma(value)
			}
			if err == nil {
				err = w.word(name, value)
			}
		}
		if err != nil {
			return &WordError{word, err}
		}
	}
	return nil
}

func (w *writer) word(name, value string) error {
	switch name {
	case "added":
		return w.added(value)
	case "covered":
		return w.covered(value)
	case "hand":
		d, err := handAt(value)
		if err != nil || math.IsInf(d, 0) {
			return err
		}
		u, suffix := w.unit(hand, "cm")
		w.set(hand, w.number(u.Format(d, 0).Value)+suffix)
	case "core", "drive", "time", "primary", "use", "note":
		col, _ := columnNamed(name)
		w.set(col, value)
	default:
		names := []string{"added", "core", "covered", "hand", "primary", "drive", "time", "use", "note"}
		return &quantity.Error{Read: name, Expected: "added, core, covered, hand, primary, use or note", Do: suggest.Meant(name, names, "")}
	}
	return nil
}

// added writes the parts, each value in the unit of the column.
func (w *writer) added(value string) error {
	if nothing(value) {
		return nil
	}
	if emptyClip(value) {
		w.set(added, "clip")
		return nil
	}
	tokens, err := typed(value).tokens()
	if err != nil {
		return err
	}
	u, suffix := w.unit(added, "pF")
	var terms []string
	for _, t := range tokens {
		term := t.name
		if term == "" {
			term = w.number(u.Format(t.value.Value, 0).Value) + suffix
			if t.value.Stated {
				term += "±" + w.number(u.Format(t.value.PlusMinus, 0).Value) + suffix
			}
		}
		terms = append(terms, term)
	}
	w.set(added, strings.Join(terms, "+"))
	return nil
}

func (w *writer) covered(value string) error {
	from, to, err := quantity.Form{Dimension: quantity.Fraction}.ParseStretch(value)
	if err != nil {
		return err
	}
	u, suffix := w.unit(covered, "%")
	text := w.number(u.Format(to, 0).Value)
	if from > 0 {
		text = w.number(u.Format(from, 0).Value) + ".." + text
	}
	w.set(covered, text+suffix)
	return nil
}
