package benchlog

import (
	"maps"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// names keeps the cores, as they were written first.
type names struct {
	byText map[string]string // every spelling seen, to the first one
	first  map[string]string // by key
	lines  map[string][]int  // by key: the first two lines it stands on
	order  []string          // keys
	closed bool              // no further core may be named
}

func newNames() *names {
	return &names{byText: map[string]string{}, first: map[string]string{}, lines: map[string][]int{}}
}

// read returns the name of the core that text means, "" for air.
func (n *names) read(text string, line int) (string, error) {
	if nothing(text) {
		return "", nil
	}
	if name, ok := n.byText[text]; ok {
		if key := nameKey(name); len(n.lines[key]) == 1 {
			n.lines[key] = append(n.lines[key], line)
		}
		return name, nil
	}
	key := nameKey(text)
	if key == "air" {
		return "", nil
	}
	if quantity.IsMarker(text) {
		return "", &quantity.Error{Read: text, Expected: "the name of a core", Do: "leave the cell empty when there is none"}
	}
	if strings.ContainsAny(text, "\n\x00") {
		return "", &quantity.Error{Read: text, Expected: "a name in one line"}
	}
	if _, ok := n.first[key]; !ok {
		if n.closed {
			return "", unknownName(text, "core", n.all())
		}
		n.first[key] = strings.Join(strings.Fields(text), " ")
		n.order = append(n.order, key)
	}
	if len(n.lines[key]) < 2 {
		n.lines[key] = append(n.lines[key], line)
	}
	n.byText[strings.Clone(text)] = n.first[key]
	return n.first[key], nil
}

// all returns the names of the cores, in the order of first mention.
func (n *names) all() []string {
	var all []string
	for _, key := range n.order {
		all = append(all, n.first[key])
	}
	return all
}

// close returns a copy of n that takes no further core in.
func (n *names) close() *names {
	return &names{byText: maps.Clone(n.byText), first: n.first, lines: maps.Clone(n.lines), order: slices.Clone(n.order), closed: true}
}

// unknownName is the error for a name that no reading shows.
func unknownName(name, what string, names []string) error {
	names = slices.DeleteFunc(names, func(s string) bool { return nameKey(s) == nameKey(name) })
	e := &quantity.Error{Read: name, Expected: "a " + what + " that the log has readings of"}
	if len(names) > 0 {
		e.Expected += " (" + strings.Join(names, ", ") + ")"
	}
	if near, ok := suggest.Nearest(name, names); ok {
		e.Do = "did you mean " + quantity.Quote(near) + "?"
	} else if what == "part" {
		e.Do = "give its value in the coil sheet, or take a reading with it"
	}
	return e
}
