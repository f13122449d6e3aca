package benchlog

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// part is what is known of one thing put on the top.
type part struct {
	readings.Part
	key           string
	line          int // where it was named first
	stated        bool
	tolerance     float64 // F, bound, when stated
	toleranceLine int     // where it was stated
	toleranceText string  // and how
	fixed         bool    // the value and its uncertainty come from elsewhere
	absolute      bool    // the tolerance is stated in F
	adopted       bool    // it is as an earlier session stated it
	share         Share
}

// parts is all that has been put on the top, in the order of first mention.
type parts struct {
	list []part
	at   map[string]int
	// known are values from elsewhere, by key.
	known     map[string]PartValue
	unstated  float64 // relative standard uncertainty of parts without a tolerance
	byDefault bool    // and nobody chose it
	share     Share   // of tolerances, where no word stands with them
	// seen are cells of a table read before, with the tolerance beside them.
	seen    map[[2]string][]int
	unknown int // parts without a value
	notices *notices
	// inherited parts are those of a log that is complete: their tolerance
	// stands. A further part then needs a value. -1 while the log is read.
	inherited int
}

func newParts(opt Options, n *notices) *parts {
	p := &parts{at: map[string]int{}, known: map[string]PartValue{}, seen: map[[2]string][]int{},
		unstated: opt.StandardUncertainty(), byDefault: opt.Tolerance == 0 && !opt.Exact, share: opt.Share, notices: n, inherited: -1}
	for _, name := range opt.names() { // of two spellings, the same one always wins
		p.known[PartKey(name)] = opt.Parts[name]
	}
	return p
}

// mostUnknown bounds the parts without a value: each is an unknown of the fit.
const mostUnknown = 30

// valueKey identifies the nth part of one nominal value.
func valueKey(farad float64, n int) string {
	return strconv.FormatFloat(farad, 'g', -1, 64) + "#" + strconv.Itoa(n)
}

// nameKey identifies a named part or core: case and white space don't matter.
func nameKey(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(name)), "")
}

// SameName says whether two names are those of one part or core.
func SameName(a, b string) bool { return a != "" && nameKey(a) == nameKey(b) }

// read finds the parts that c names, entering those not seen before.
func (p *parts) read(c addedCell) ([]int, error) {
	if nothing(c.text) {
		return nil, nil
	}
	tokens, err := c.tokens()
	if err != nil {
		return nil, err
	}
	for _, t := range tokens {
		if t.name == "" && !t.value.Stated {
			c.valued++
		}
	}
	if err := c.checkTolerance(); err != nil {
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
		i = p.add(part{Part: readings.Part{Name: name, Capacitance: t.value.Value, Known: true}, key: valueKey(t.value.Value, n), line: c.line})
	}
	return i, p.state(i, c, t)
}

// valueName names a part after its value as it was written first.
func (p *parts) valueName(q quantity.Quantity, n int) string {
	if n > 1 {
		return p.list[p.index(valueKey(q.Value, 1))].Name + " (" + strconv.Itoa(n) + ")"
	}
	number, _, _ := strings.Cut(strings.ReplaceAll(q.Text, ",", "."), "±")
	return strings.TrimRightFunc(number, func(r rune) bool { return !unicode.IsDigit(r) && r != '.' }) + " " + q.Unit.Symbol
}

func (p *parts) enterName(c addedCell, name string, already []int) (int, error) {
	key := nameKey(name)
	i := p.index(key)
	if i >= 0 && slices.Contains(already, i) {
		return 0, &quantity.Error{Read: c.text, Expected: "each named part once",
			Do: "if there are two, give them two names"}
	}
	if i < 0 {
		i = p.add(part{Part: readings.Part{Name: name}, key: key, line: c.line})
		if !p.list[i].Known {
			p.unknown++
		}
		if p.unknown > mostUnknown && !p.list[i].Known {
			return 0, &quantity.Error{Read: name, Expected: fmt.Sprintf("no more than %d parts without a value", mostUnknown),
				Do: "write values, or leave out what isn't put on the top; text belongs into the note"}
		}
		if p.inherited >= 0 && !p.list[i].Known {
			return 0, unknownName(name, "part", readings.Names(p.finish()))
		}
	}
	if c.tolerance != nil && c.valued == 0 {
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
		x.share = v.Share
	}
	p.at[x.key] = len(p.list)
	p.list = append(p.list, x)
	return len(p.list) - 1
}

// state notes the tolerance that the cell states for part i.
func (p *parts) state(i int, c addedCell, t token) error {
	x := &p.list[i]
	if c.share != Unsaid {
		if x.share != Unsaid && x.share != c.share {
			return toleranceError{&quantity.Error{Read: c.share.String(), Expected: x.share.String() + ", as said before of " + x.Name,
				Do: "one part has one word"}}
		}
		x.share = c.share
	}
	var bound float64
	var text string
	absolute := true
	switch {
	case t.value.Stated:
		bound, text, absolute = t.value.PlusMinus, t.value.Text, !t.value.Relative
	case c.tolerance == nil:
		return nil
	case c.tolerance.Unit.Dimension == quantity.Fraction:
		bound, text, absolute = c.tolerance.Value*t.value.Value, c.tolerance.Text+c.percent(), false
	default:
		bound, text = c.tolerance.Value, c.tolerance.Text
	}
	switch {
	case x.fixed:
		p.notices.once("± "+x.key, c.line, fmt.Sprintf("the ± beside %s is not used: its uncertainty comes with its value", quantity.Quote(x.Name)))
		return nil
	case !x.stated && i >= p.inherited:
		x.absolute, x.stated, x.tolerance, x.toleranceLine, x.toleranceText = absolute, true, bound, c.line, strings.Clone(text)
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

// inherit returns a copy of p that takes further parts in, but leaves those of
// the log as they are.
func (p *parts) inherit(n *notices) *parts {
	c := *p
	c.list, c.at = slices.Clone(p.list), maps.Clone(p.at)
	c.seen, c.notices = map[[2]string][]int{}, n // cells seen were in units of the log
	c.inherited = len(p.list)
	return &c
}

// finish returns the parts with their standard uncertainties.
func (p *parts) finish() []readings.Part {
	out := make([]readings.Part, 0, len(p.list))
	for _, x := range p.list {
		if x.adopted {
			out = append(out, x.Part)
			continue
		}
		if x.Known && !x.fixed {
			x.Uncertainty, x.Default = p.unstated*x.Capacitance, p.byDefault
			if x.stated {
				x.Uncertainty, x.Default = x.share.or(p.share).Standard(x.tolerance), false
			}
		}
		x.Lot, x.Common = p.lot(&x)
		x.Rectangular = x.Known && x.share.or(p.share)&Rectangular != 0
		out = append(out, x.Part)
	}
	return out
}

// lot names what x is of: parts stated with the same tolerance, in per cent or in F, and
// said to have as much of their errors in common; and the share of the variance that this is.
func (p *parts) lot(x *part) (name string, common float64) {
	share := x.share.or(p.share) & shares
	if !x.Known || x.Uncertainty == 0 || share == Own {
		return "", 0
	}
	if x.absolute {
		return fmt.Sprintf("%s F %v", quantity.Digits(x.Uncertainty, 6), share), share.common()
	}
	return fmt.Sprintf("%s %v", quantity.Digits(x.Uncertainty/x.Capacitance, 6), share), share.common()
}
