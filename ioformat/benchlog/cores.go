package benchlog

import (
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// names keeps the cores, as they were written first.
type names struct {
	byText map[string]*name // by every spelling seen
	byKey  map[string]*name
	order  []*name
	closed bool // no further core may be named
}

// name is one core.
type name struct {
	text string
	key  string
	line int // where it was named first
	uses int // rows that name it
}

func newNames() *names { return &names{byText: map[string]*name{}, byKey: map[string]*name{}} }

// read returns the name of the core that text means, "" for air.
func (n *names) read(text string, line int) (string, error) {
	if nothing(text) {
		return "", nil
	}
	if c, ok := n.byText[text]; ok {
		c.uses++
		return c.text, nil
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
	c, ok := n.byKey[key]
	if !ok {
		if n.closed {
			return "", unknownName(text, "core", n.all())
		}
		c = &name{text: strings.Join(strings.Fields(text), " "), key: key, line: line}
		n.byKey[key] = c
		n.order = append(n.order, c)
	}
	c.uses++
	n.byText[strings.Clone(text)] = c
	return c.text, nil
}

// all returns the names of the cores, in the order of first mention.
func (n *names) all() []string {
	var all []string
	for _, c := range n.order {
		all = append(all, c.text)
	}
	return all
}

// close returns a copy of n that takes no further core in.
func (n *names) close() *names {
	c := newNames()
	c.closed = true
	for _, old := range n.order {
		copied := *old
		c.byKey[old.key], c.order = &copied, append(c.order, &copied)
	}
	return c
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
