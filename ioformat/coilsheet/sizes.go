package coilsheet

import (
	"errors"
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/field"
)

// complete reports rows that a drawing lacks, takes a bead that isn't counted as
// one, and takes a prior for a permeability that isn't given.
func (rd *reader) complete() {
	s := rd.sheet
	if !s.knows("bead count") {
		rd.uncounted()
	}
	rd.primary()
	rd.pairs()
	rd.metal()
	if !s.CanPredict() || !s.knows("bead count") || s.Value("bead count") == 0 {
		return
	}
	line := s.given["bead count"].Line
	rd.together("beads are counted", line, "bead diameter", "bead length")
	if s.knows(permeability) {
		return
	}
	// Common practice: rods and beads for radio frequencies are of grades from
	// some hundred (nickel-zinc for short waves) to some thousands (manganese-zinc).
	s.given[permeability] = Given{Known: true, Value: 450, Uncertainty: 350, Line: line, Text: "450", Assumed: true}
	rd.notice(line, "there is no row \"bead permeability\": 450 is taken, from 100 to 2000 as one standard uncertainty, as ferrite grades for rods and beads have it")
}

// primary reports rows that a primary lacks, and says that its rows aren't used where
// nothing counts its turns.
func (rd *reader) primary() {
	s := rd.sheet
	names := []string{"primary diameter", "primary height", primaryWire, "primary spacing"}
	if turns := s.given["primary turns"]; turns.Known {
		if turns.Value <= 1 {
			names = names[:3]
		}
		rd.together("a primary is counted", turns.Line, names...)
		return
	}
	for _, name := range names {
		if s.knows(name) {
			rd.notice(s.given[name].Line, noPrimary)
		}
	}
}

// pairs reports a permittivity that a former or a coating lacks, a thickness that a coating
// does, and a frequency that a loss tangent does.
func (rd *reader) pairs() {
	s := rd.sheet
	for _, pair := range [][2]string{{"former permittivity", "former inner diameter"}, {"coating permittivity", "coating thickness"}, {"bead loss tangent", "bead loss frequency"}} {
		for i, name := range pair {
			if other := pair[1-i]; s.knows(name) && !s.knows(other) {
				rd.table.ReportAt(s.given[name].Line, -1, fmt.Errorf("there is no row %s to go with %s: add it, or take this one away", quantity.Quote(other), quantity.Quote(name)))
			}
		}
	}
	if s.knows("former outer diameter") && !s.knows("former permittivity") {
		rd.notice(s.given["former outer diameter"].Line, "not used: a former is computed from rows \"former inner diameter\" and \"former permittivity\"")
	}
}

// uncounted makes one bead, a rod, of the rows on beads where none counts them, and
// says that they aren't used where they are too few for that.
func (rd *reader) uncounted() {
	s := rd.sheet
	if s.knows("bead diameter", "bead length") {
		if s.knows("bead spacing") {
			rd.table.ReportAt(s.given["bead spacing"].Line, -1, errors.New("beads stand apart here, but there is no row \"bead count\": add it, or take this one away"))
			return
		}
		s.given["bead count"] = Given{Known: true, Value: 1, Line: s.given["bead length"].Line, Text: "1"}
		rd.notice(s.given["bead length"].Line, "there is no row \"bead count\": one is taken, a rod")
		return
	}
	for _, name := range []string{"bead diameter", "bead length", "bead spacing", "bead start", permeability} {
		if s.knows(name) {
			rd.notice(s.given[name].Line, "not used: a core is computed from rows \"bead diameter\" and \"bead length\"")
		}
	}
}

// sizes reports the dimensions that don't go with the others: one slip of a unit
// would be computed for hours.
func (rd *reader) sizes() {
	if len(rd.table.Faults.List) > 0 {
		return
	}
	rest := rd.sheet
	for range entries() {
		var size *field.SizeError
		if !errors.As(rest.Coil().CheckSizes(), &size) {
			return
		}
		e, ok := find(size.Quantity)
		if !ok {
			return
		}
		if e.name == boxDiameter && !rest.knows(boxDiameter) {
			e, _ = find(boxWidth)
		}
		v := rest.given[e.name]
		rd.table.ReportAt(v.Line, rd.value, &quantity.Error{Read: v.Text, Expected: wanted(size), Do: rd.otherUnit(rest, e)})
		rest = rest.with(e.name, Given{})
	}
}

// otherUnit says in which unit the value of e would fit into s: in that of most
// other lengths first.
func (rd *reader) otherUnit(s *Sheet, e entry) string {
	text := s.given[e.name].Text
	q, err := quantity.Form{Dimension: e.dimension, Mark: rd.table.Mark}.Parse(text)
	if err != nil || e.dimension != quantity.Length {
		return "check the number"
	}
	best, most := "", -1
	for _, unit := range []string{"mm", "cm", "m", "µm", "in"} {
		u, err := quantity.ParseUnit(unit, quantity.Length)
		changed := s.with(e.name, Given{Known: true, Value: u.ToSI(q.Unit.FromSI(q.Value))})
		if err != nil || u == q.Unit || changed.Coil().CheckSizes() != nil {
			continue
		}
		uses := 0
		for _, other := range changed.given {
			if strings.HasSuffix(other.Text, " "+unit) {
				uses++
			}
		}
		if uses > most {
			best, most = unit, uses
		}
	}
	if best == "" {
		return "check the number and its unit"
	}
	return "is the unit right? " + strings.TrimSpace(strings.TrimSuffix(text, q.Unit.Symbol)) + " " + best + " would fit"
}
