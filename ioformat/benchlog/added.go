package benchlog

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"fitcoil/ioformat/quantity"
)

// addedCell is one cell of the column "added" with what belongs to it.
type addedCell struct {
	text      string
	form      quantity.Form
	tolerance *quantity.Quantity // nil when none is stated
	share     Share              // of it, as the word behind it says
	line      int
	valued    int // how many of its terms are values without a ± of their own: it is meant for them
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

// nothing says whether text stands for "nothing there".
func nothing(text string) bool {
	switch strings.ToLower(text) {
	case "", "-", "–", "—", "none", "no", "nothing":
		return true
	}
	return false
}

// emptyClip says whether text stands for a clip with nothing in it, as it holds the parts.
func emptyClip(text string) bool { return text == "0" || strings.EqualFold(text, "clip") }

// tokens splits a cell at its + signs and reads the terms.
func (c addedCell) tokens() ([]token, error) {
	text := strings.ReplaceAll(c.text, "+/-", "±")
	var tokens []token
	if n := strings.Count(text, "+"); n >= mostTerms {
		return nil, &quantity.Error{Read: c.text, Expected: fmt.Sprintf("no more than %d parts at a time", mostTerms), Do: "write the sum of what stays together as one part"}
	}
	for _, term := range splitSum(text) {
		if term == "" {
			return nil, &quantity.Error{Read: c.text, Expected: "values and names joined by +, such as 4.7+10", Do: "there is a + too many"}
		}
		if nothing(term) || emptyClip(term) { // a clip comes with parts anyway
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

// mostTerms bounds the parts of one cell.
const mostTerms = 30

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
	first, _ := utf8.DecodeRuneInString(term)
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
	if first, _ := utf8.DecodeRuneInString(rest); strings.ContainsRune("&;/|", first) || rest != number && unicode.IsDigit(first) || q.Do == "nothing but the unit may follow the number" {
		return &quantity.Error{Read: q.Read, Expected: q.Expected, Do: "parts are joined by +; a name begins with a letter"}
	}
	return err
}

// checkName refuses names that are more likely damaged or misplaced values.
func checkName(name string) error {
	refuse := func(do string) error {
		return &quantity.Error{Read: name, Expected: "a capacitance or the name of a part", Do: do}
	}
	if quantity.IsMarker(name) {
		return refuse("write - when nothing was added")
	}
	if len([]rune(name)) > longestName {
		return &quantity.Error{Read: name, Expected: fmt.Sprintf("a name of at most %d characters", longestName), Do: "text belongs into the note"}
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
func (c addedCell) checkTolerance() error {
	if c.tolerance == nil {
		return nil
	}
	t := c.tolerance
	refuse := func(expected, do string) error {
		return &quantity.Error{Read: t.Text, Expected: expected, Do: do}
	}
	absolute := t.Unit.Dimension != quantity.Fraction
	switch {
	case t.Value < 0:
		return refuse("a tolerance of 0 or more", "write it without a sign")
	case !absolute && t.Value >= 1:
		return refuse("a tolerance below 100 %", "check the unit")
	case absolute && c.valued > 1:
		return refuse("a tolerance in % for a sum", "a percentage holds for each of the parts; of an absolute ± nobody knows to which it belongs")
	}
	return nil
}

// percent is the sign to show behind a tolerance that was written without.
func (c addedCell) percent() string {
	if strings.HasSuffix(c.tolerance.Text, c.tolerance.Unit.Symbol) {
		return ""
	}
	return " " + c.tolerance.Unit.Symbol
}
