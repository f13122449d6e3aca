package benchlog

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"fitcoil/ioformat/quantity"
	"fitcoil/model"
)

// boundToStandard turns a tolerance, taken as the bound that 95 % of the parts
// keep, into a standard uncertainty: the quantile of the normal distribution
// (JCGM 100:2008, 4.3.4).
const boundToStandard = 1 / 1.96

// part is what is known of one thing put on the top.
type part struct {
	model.Part
	key           string
	line          int // where it was named first
	stated        bool
	tolerance     float64 // F, bound, when stated
	toleranceLine int     // where it was stated
	toleranceText string  // and how
	fixed         bool    // the value and its uncertainty come from elsewhere
}

// parts is all that has been put on the top, in the order of first mention.
type parts struct {
	list []part
	at   map[string]int
	// known are values from elsewhere, by key.
	known     map[string]PartValue
	tolerance float64 // relative bound where none is stated
	// seen are cells of a table read before, with the tolerance beside them.
	seen    map[[2]string][]int
	notices *notices
	// inherited parts are those of a log that is complete: their tolerance
	// stands. A further part then needs a value. -1 while the log is read.
	inherited int
}

func newParts(opt Options, n *notices) *parts {
	p := &parts{at: map[string]int{}, known: map[string]PartValue{}, seen: map[[2]string][]int{}, tolerance: opt.Tolerance, notices: n, inherited: -1}
	if p.tolerance == 0 {
		p.tolerance = DefaultTolerance
	}
	if opt.Exact {
		p.tolerance = 0
	}
	for name, value := range opt.Parts {
		key := nameKey(name)
		if q, err := (quantity.Form{Dimension: quantity.Capacitance}).Parse(name); err == nil {
			key = valueKey(q.Value, 1)
		}
		p.known[key] = value
	}
	return p
}

// valueKey identifies the nth part of one nominal value.
func valueKey(farad float64, n int) string {
	return strconv.FormatFloat(farad, 'g', -1, 64) + "#" + strconv.Itoa(n)
}

// nameKey identifies a named part or core: case and white space don't matter.
func nameKey(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(name)), "")
}

// nothing says whether text stands for "nothing there".
func nothing(text string) bool {
	switch strings.ToLower(text) {
	case "", "-", "–", "—", "0", "none", "no", "nothing":
		return true
	}
	return false
}

// addedCell is one cell of the column "added" with what belongs to it.
type addedCell struct {
	text      string
	form      quantity.Form
	tolerance *quantity.Quantity // nil when none is stated
	line      int
	hasValue  bool // one of its terms is a value without a ± of its own
	// mark returns the decimal mark for a number, as cells.Table.Number does.
	mark func(text string) (quantity.Mark, error)
}

// toleranceError is a fault of the tolerance beside an added cell.
type toleranceError struct{ error }

func (e toleranceError) Unwrap() error { return e.error }

// token is one term of a sum of parts.
type token struct {
	name  string // of a part without a value in the cell
	value quantity.Uncertain
}

// needsTolerance says whether the tolerance beside the cell is meant for t.
func (t token) needsTolerance() bool { return t.name == "" && !t.value.Stated }

// read finds the parts that c names, entering those not seen before.
func (p *parts) read(c addedCell) ([]int, error) {
	if nothing(c.text) {
		return nil, nil
	}
	tokens, err := c.tokens()
	if err != nil {
		return nil, err
	}
	c.hasValue = slices.ContainsFunc(tokens, token.needsTolerance)
	if err := c.checkTolerance(tokens); err != nil {
		return nil, toleranceError{err}
	}
	var indexes []int
	before := len(p.list)
	for _, t := range tokens {
		i, err := p.enter(c, t, indexes)
		if err != nil {
			p.forget(before)
			return nil, err
		}
		if i >= 0 {
			indexes = append(indexes, i)
		}
	}
	return indexes, nil
}

// tokens splits a cell at its + signs and reads the terms.
func (c addedCell) tokens() ([]token, error) {
	text := strings.ReplaceAll(c.text, "+/-", "±")
	var tokens []token
	for _, term := range splitSum(text) {
		if term == "" {
			return nil, &quantity.Error{Read: c.text, Expected: "values and names joined by +, such as 4.7+10", Do: "there is a + too many"}
		}
		if nothing(term) {
			continue
		}
		t, err := c.token(term)
		if err != nil {
			return nil, err
		}
		tokens = append(tokens, t)
	}
	return tokens, nil
}

// splitSum splits at + where that isn't the sign of an exponent.
func splitSum(s string) []string {
	var terms []string
	begin := 0
	for i := 0; i < len(s); i++ {
		exponent := i >= 2 && (s[i-1] == 'e' || s[i-1] == 'E') && isDigit(s[i-2]) && i+1 < len(s) && isDigit(s[i+1])
		if s[i] == '+' && !exponent {
			terms = append(terms, quantity.Trim(s[begin:i]))
			begin = i + 1
		}
	}
	return append(terms, quantity.Trim(s[begin:]))
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// token reads one term: what begins like a number must be a value.
func (c addedCell) token(term string) (token, error) {
	first, _ := firstRune(term)
	if !unicode.IsLetter(first) && !quantity.IsMarker(term) {
		f := c.form
		mark, err := c.mark(term)
		if err != nil {
			return token{}, err
		}
		f.Mark = mark
		q, err := f.ParseUncertain(term)
		switch {
		case err != nil:
			err = wrongJoint(term, err)
		case q.Value < 0:
			err = &quantity.Error{Read: term, Expected: "a capacitance above 0", Do: "what is put on the top adds capacitance"}
		case q.Stated && q.PlusMinus >= q.Value:
			err = &quantity.Error{Read: term, Expected: "a tolerance below 100 %", Do: "check its unit"}
		}
		return token{value: q}, err
	}
	return token{name: strings.Join(strings.Fields(term), " ")}, checkName(term)
}

// wrongJoint adds to err, met in term, that parts are joined by +, where that
// may have been missed.
func wrongJoint(term string, err error) error {
	number := strings.TrimLeft(term, "0123456789.")
	rest := quantity.Trim(number)
	var q *quantity.Error
	if !errors.As(err, &q) || rest == "" {
		return err
	}
	if first, _ := firstRune(rest); strings.ContainsRune("&;/|", first) || rest != number && unicode.IsDigit(first) || q.Do == "nothing but the unit may follow the number" {
		return &quantity.Error{Read: q.Read, Expected: q.Expected, Do: "parts are joined by +; a name begins with a letter"}
	}
	return err
}

func firstRune(s string) (rune, bool) {
	for _, r := range s {
		return r, true
	}
	return 0, false
}

// checkName refuses names that are more likely damaged or misplaced values.
func checkName(name string) error {
	refuse := func(do string) error {
		return &quantity.Error{Read: name, Expected: "a capacitance or the name of a part", Do: do}
	}
	if quantity.IsMarker(name) {
		return refuse("write - when nothing was added")
	}
	if quantity.LooksLikeUnit(name) {
		return refuse("the number is missing")
	}
	for _, word := range strings.Fields(name) {
		if _, err := (quantity.Form{Dimension: quantity.Capacitance}).Parse(word); err == nil {
			return refuse("write the value alone, " + word + ", or a name without a value")
		}
	}
	for _, r := range name {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" -_/'&()#", r) {
			return refuse(fmt.Sprintf("a name holds letters, digits and spaces, no %s; the value of a named part stands in the coil sheet", quantity.Quote(string(r))))
		}
	}
	return nil
}

// checkTolerance refuses a tolerance that could not be shared out.
func (c addedCell) checkTolerance(tokens []token) error {
	if c.tolerance == nil {
		return nil
	}
	t := c.tolerance
	refuse := func(expected, do string) error {
		return &quantity.Error{Read: t.Text, Expected: expected, Do: do}
	}
	valued := 0
	for _, token := range tokens {
		if token.needsTolerance() {
			valued++
		}
	}
	absolute := t.Unit.Dimension != quantity.Fraction
	switch {
	case t.Value < 0:
		return refuse("a tolerance of 0 or more", "write it without a sign")
	case !absolute && t.Value >= 1:
		return refuse("a tolerance below 100 %", "check the unit")
	case absolute && valued > 1:
		return refuse("a tolerance in % for a sum", "a percentage holds for each of the parts; of an absolute ± nobody knows to which it belongs")
	}
	return nil
}

// enter returns the index of the part that t names; already are those that
// the same cell has named before. It is -1 for a value of zero.
func (p *parts) enter(c addedCell, t token, already []int) (int, error) {
	if t.name != "" {
		return p.enterName(c, t.name, already)
	}
	if t.value.Value == 0 {
		return -1, nil
	}
	n := 1
	for slices.Contains(already, p.index(valueKey(t.value.Value, n))) {
		n++
	}
	i := p.index(valueKey(t.value.Value, n))
	if i < 0 {
		name := p.valueName(t.value.Quantity, n)
		i = p.add(part{Part: model.Part{Name: name, Capacitance: t.value.Value, Known: true}, key: valueKey(t.value.Value, n), line: c.line})
	}
	return i, p.state(i, c, t)
}

// valueName names a part after its value as it was written first.
func (p *parts) valueName(q quantity.Quantity, n int) string {
	if first := p.index(valueKey(q.Value, 1)); n > 1 && first >= 0 {
		return p.list[first].Name + " (" + strconv.Itoa(n) + ")"
	}
	number := strings.TrimRightFunc(strings.ReplaceAll(q.Text, ",", "."), func(r rune) bool { return !unicode.IsDigit(r) && r != '.' })
	if cut := strings.IndexAny(number, "±"); cut >= 0 {
		number = quantity.Trim(number[:cut])
		number = strings.TrimRightFunc(number, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' })
	}
	return number + " " + q.Unit.Symbol
}

func (p *parts) enterName(c addedCell, name string, already []int) (int, error) {
	key := nameKey(name)
	i := p.index(key)
	if i >= 0 && slices.Contains(already, i) {
		return 0, &quantity.Error{Read: c.text, Expected: "each named part once",
			Do: "if there are two, give them two names"}
	}
	if i < 0 {
		i = p.add(part{Part: model.Part{Name: name}, key: key, line: c.line})
		if p.inherited >= 0 && !p.list[i].Known {
			return 0, unknownName(name, "part", p.names())
		}
	}
	if c.tolerance != nil && !c.hasValue {
		why := "it has no value"
		if p.list[i].fixed {
			why = "its uncertainty comes with its value"
		}
		p.notices.once("± "+key, c.line, fmt.Sprintf("the ± beside %s is not used: %s", quantity.Quote(name), why))
	}
	return i, nil
}

func (p *parts) index(key string) int {
	if i, ok := p.at[key]; ok {
		return i
	}
	return -1
}

// add appends a part; a value known from elsewhere overrules the nominal one.
func (p *parts) add(x part) int {
	if v, ok := p.known[x.key]; ok {
		x.Capacitance, x.Uncertainty, x.Known, x.fixed = v.Capacitance, v.Uncertainty, true, true
	}
	p.at[x.key] = len(p.list)
	p.list = append(p.list, x)
	return len(p.list) - 1
}

// state notes the tolerance that the cell states for part i.
func (p *parts) state(i int, c addedCell, t token) error {
	x := &p.list[i]
	var bound float64
	var text string
	switch {
	case t.value.Stated:
		bound, text = t.value.PlusMinus, t.value.Text
	case c.tolerance == nil:
		return nil
	case c.tolerance.Unit.Dimension == quantity.Fraction:
		bound, text = c.tolerance.Value*t.value.Value, c.tolerance.Text+c.percent()
	default:
		bound, text = c.tolerance.Value, c.tolerance.Text
	}
	switch {
	case x.fixed:
		p.notices.once("± "+x.key, c.line, fmt.Sprintf("the ± beside %s is not used: its uncertainty comes with its value", quantity.Quote(x.Name)))
		return nil
	case !x.stated && i >= p.inherited:
		x.stated, x.tolerance, x.toleranceLine, x.toleranceText = true, bound, c.line, strings.Clone(text)
		return nil
	case !x.stated:
		return toleranceError{&quantity.Error{Read: text, Expected: "the part as the log has it, without a tolerance",
			Do: "state the tolerance of " + x.Name + " in the log"}}
	}
	const rounding = 1e-9 // 5 % and 0.235 pF of 4.7 pF are the same
	if math.Abs(bound-x.tolerance) > rounding*math.Max(bound, x.tolerance) {
		return toleranceError{&quantity.Error{Read: text,
			Expected: fmt.Sprintf("the tolerance of %s stated before (%s%s)", x.Name, x.toleranceText, onLine(x.toleranceLine)),
			Do:       "one part has one tolerance; if these are two parts, give one of them a name, and the name a value in the coil sheet"}}
	}
	return nil
}

func onLine(line int) string {
	if line == 0 {
		return ""
	}
	return fmt.Sprintf(", line %d", line)
}

// forget takes back the parts entered since there were n.
func (p *parts) forget(n int) {
	for _, x := range p.list[n:] {
		delete(p.at, x.key)
	}
	p.list = p.list[:n]
}

func (p *parts) names() []string {
	var names []string
	for _, x := range p.list {
		names = append(names, x.Name)
	}
	return names
}

// inherit returns a copy of p that takes further parts in, but leaves those of
// the log as they are.
func (p *parts) inherit(n *notices) *parts {
	c := *p
	c.list, c.at = slices.Clone(p.list), maps.Clone(p.at)
	c.seen, c.notices = map[[2]string][]int{}, n // cells seen were in units of the log
	c.inherited = len(p.list)
	return &c
}

// percent is the sign to show behind a tolerance that was written without.
func (c addedCell) percent() string {
	if strings.HasSuffix(c.tolerance.Text, c.tolerance.Unit.Symbol) {
		return ""
	}
	return " " + c.tolerance.Unit.Symbol
}

// finish returns the parts with their standard uncertainties.
func (p *parts) finish() []model.Part {
	out := make([]model.Part, 0, len(p.list))
	for _, x := range p.list {
		if x.Known && !x.fixed {
			bound := p.tolerance * x.Capacitance
			if x.stated {
				bound = x.tolerance
			}
			x.Uncertainty = bound * boundToStandard
		}
		out = append(out, x.Part)
	}
	return out
}
