package benchlog

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// names keeps the cores, as they were written first.
type names struct {
	byText map[string]*name // by every spelling seen
	byKey  map[string]*name
	order  []*name
	closed bool   // no further core may be named
	mark   string // the core that a mark such as x speaks of
	marked string // what the cores so far are marked by, "" when they are named
}

// name is one core.
type name struct {
	text string
	key  string
	line int // where it was named first
	uses int // rows that name it
}

func newNames() *names {
	return &names{byText: map[string]*name{}, byKey: map[string]*name{}, mark: core.name()}
}

// read returns the name of the core that text means, "" for air.
func (n *names) read(text string, line int) (string, error) {
	if text == "" { // most cells are
		return "", nil
	}
	if c, ok := n.byText[text]; ok {
		c.uses++
		return c.text, nil
	}
	if noCore(text) || n.mark != core.name() && strings.EqualFold(text, "false") {
		return "", nil
	}
	written := text
	if isMark(text) && (n.mark != core.name() || !isTrue(text)) {
		text = n.mark
	}
	if err := checkCore(text); err != nil {
		return "", err
	}
	key := nameKey(text)
	c, ok := n.byKey[key]
	if !ok && n.closed {
		return "", unknownName(text, "core", n.all())
	}
	if err := n.both(written, text); err != nil && !n.closed {
		return "", err
	}
	if !ok {
		if len(n.order) == mostCores {
			return "", &quantity.Error{Read: text, Expected: fmt.Sprintf("no more than %d cores", mostCores), Do: "one core keeps one name; text belongs into the note"}
		}
		c = &name{text: quantity.Visible(strings.Join(strings.Fields(text), " ")), key: key, line: line}
		n.byKey[key] = c
		n.order = append(n.order, c)
	}
	c.uses++
	n.byText[strings.Clone(written)] = c
	return c.text, nil
}

// mostCores bounds the cores of a log: each brings two unknowns or more.
const mostCores = 30

// both refuses a column that names cores in some rows and ticks one in others.
func (n *names) both(written, text string) error {
	marked := ""
	if written != text {
		marked = n.mark
		if marked == core.name() { // which core is x, and which y?
			marked = nameKey(written)
		}
	}
	if len(n.order) > 0 && marked != n.marked {
		return &quantity.Error{Read: written, Expected: "the name of a core in each row that has one, or a mark such as x in each", Do: "write the name"}
	}
	n.marked = marked
	return nil
}

// noCore says whether text means that no core is in.
func noCore(text string) bool {
	if nothing(text) || text == "0" {
		return true
	}
	switch nameKey(text) {
	case "air", "aircore", "nocore", "without", "withoutcore", "empty", "out", "bare", "luft", "ohne", "kein", "keiner", "sans", "aucun", "sin", "ninguno", "aire", "nein", "non":
		return true
	}
	return false
}

// isTrue says whether text is how spreadsheets and programs write yes: under a
// header that names no core it says nothing.
func isTrue(text string) bool { return strings.EqualFold(text, "true") }

// longestName bounds the names of cores and parts.
const longestName = 80

// checkCore refuses what is more likely a value of another column than the name of
// a core.
func checkCore(text string) error {
	refuse := func(do string) error {
		return &quantity.Error{Read: text, Expected: "the name of a core", Do: do}
	}
	first, _ := utf8.DecodeRuneInString(text)
	switch {
	case quantity.IsMarker(text):
		return refuse("leave the cell empty when there is none")
	case strings.ContainsAny(text, "\n\x00"):
		return &quantity.Error{Read: text, Expected: "a name in one line"}
	case len([]rune(text)) > longestName:
		return &quantity.Error{Read: text, Expected: fmt.Sprintf("a name of at most %d characters", longestName), Do: "text belongs into the note"}
	case isTrue(text) || strings.EqualFold(text, "false"):
		return refuse("write which core is in, and nothing where none is")
	case isValue(text):
		return refuse("this is a number: has a cell slipped into another column? A name has a letter, as rod or #2")
	case !unicode.IsLetter(first) && !unicode.IsDigit(first) && !strings.ContainsRune("#(\"'", first) || !strings.ContainsFunc(text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }):
		return refuse("a name begins with a letter, a digit or #")
	}
	return nil
}

// isValue says whether text is a number, with a unit or without, or a range of
// numbers.
func isValue(text string) bool {
	if first, _ := utf8.DecodeRuneInString(text); unicode.IsLetter(first) {
		return false
	}
	return !slices.ContainsFunc(strings.Split(strings.ReplaceAll(text, "±", ".."), ".."), func(part string) bool { return !isNumber(strings.TrimSpace(part)) })
}

func isNumber(text string) bool {
	for d := quantity.Pure; d <= quantity.Time; d++ {
		if _, ok := inEitherMark(text, quantity.Form{Dimension: d}); ok {
			return true
		}
	}
	// 4p7, the marking of IEC 60062
	whole := strings.TrimLeft(text, "0123456789")
	rest := strings.TrimLeft(whole, "pnuµmkMRE")
	return whole != text && len([]rune(whole))-len(rest) == 1 && rest != "" && strings.Trim(rest, "0123456789") == ""
}

// Core returns the name of the core that is written so in the log, be it in another
// case; text itself when the log has none.
func (l *Log) Core(text string) string {
	if c, ok := l.bench.cores.byKey[nameKey(text)]; ok {
		return c.text
	}
	return text
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
	c := *n
	c.closed, c.byText = true, map[string]*name{}
	return &c
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
