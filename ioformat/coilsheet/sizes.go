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
	if !s.BeadCount.Known {
		rd.uncounted()
	}
	rd.primary()
	rd.pairs()
	rd.metal()
	if !s.CanPredict() || !s.BeadCount.Known || s.BeadCount.Value == 0 {
		return
	}
	var missing []string
	for _, name := range []string{"bead diameter", "bead length"} {
		if e, _ := find(name); !e.field(s).Known {
			missing = append(missing, quantity.Quote(name))
		}
	}
	if len(missing) > 0 {
		rd.table.ReportAt(s.BeadCount.Line, -1, fmt.Errorf("beads are counted here, but there is no row %s: add it, or take this one away", strings.Join(missing, " and no row ")))
	}
	if s.BeadPermeability.Known {
		return
	}
	// Common practice: rods and beads for radio frequencies are of grades from
	// some hundred (nickel-zinc for short waves) to some thousands (manganese-zinc).
	s.BeadPermeability = Given{Known: true, Value: 450, Uncertainty: 350, Line: s.BeadCount.Line, Text: "450", Assumed: true}
	rd.notice(s.BeadCount.Line, "there is no row \"bead permeability\": 450 is taken, from 100 to 2000 as one standard uncertainty, as ferrite grades for rods and beads have it")
}

// primary reports rows that a primary lacks, and says that its rows aren't used where
// nothing counts its turns.
func (rd *reader) primary() {
	s := rd.sheet
	turns := s.PrimaryTurns
	var missing []string
	for _, name := range []string{"primary diameter", "primary height", primaryWire, "primary spacing"} {
		e, _ := find(name)
		v := e.field(s)
		switch {
		case !turns.Known && v.Known:
			rd.notice(v.Line, "not used: a primary is computed from rows \"primary turns\", \"primary diameter\", \"primary height\" and \"primary wire diameter\"")
		case turns.Known && !v.Known && (name != "primary spacing" || turns.Value > 1):
			missing = append(missing, quantity.Quote(name))
		}
	}
	if len(missing) > 0 {
		rd.table.ReportAt(turns.Line, -1, fmt.Errorf("a primary is counted here, but there is no row %s: add it, or take this one away", strings.Join(missing, " and no row ")))
	}
}

// pairs reports a permittivity that a former or a coating lacks, a thickness that a coating
// does, and a frequency that a loss tangent does.
func (rd *reader) pairs() {
	s := rd.sheet
	for _, list := range [][]string{{"former permittivity", "former inner diameter"}, {"coating permittivity", "coating thickness"}, {"bead loss tangent", "bead loss frequency"}} {
		a, _ := find(list[0])
		b, _ := find(list[1])
		for _, pair := range [][2]entry{{a, b}, {b, a}} {
			if v := pair[0].field(s); v.Known && !pair[1].field(s).Known {
				rd.table.ReportAt(v.Line, -1, fmt.Errorf("there is no row %s to go with %s: add it, or take this one away", quantity.Quote(pair[1].name), quantity.Quote(pair[0].name)))
			}
		}
	}
	if s.FormerOuter.Known && !s.FormerPermittivity.Known {
		rd.notice(s.FormerOuter.Line, "not used: a former is computed from rows \"former inner diameter\" and \"former permittivity\"")
	}
}

// uncounted makes one bead, a rod, of the rows on beads where none counts them, and
// says that they aren't used where they are too few for that.
func (rd *reader) uncounted() {
	s := rd.sheet
	if s.BeadDiameter.Known && s.BeadLength.Known {
		if s.BeadSpacing.Known {
			rd.table.ReportAt(s.BeadSpacing.Line, -1, errors.New("beads stand apart here, but there is no row \"bead count\": add it, or take this one away"))
			return
		}
		s.BeadCount = Given{Known: true, Value: 1, Line: s.BeadLength.Line, Text: "1"}
		rd.notice(s.BeadLength.Line, "there is no row \"bead count\": one is taken, a rod")
		return
	}
	for _, v := range []Given{s.BeadDiameter, s.BeadLength, s.BeadSpacing, s.BeadStart, s.BeadPermeability} {
		if v.Known {
			rd.notice(v.Line, "not used: a core is computed from rows \"bead diameter\" and \"bead length\"")
		}
	}
}

// sizes reports the dimensions that don't go with the others: one slip of a unit
// would be computed for hours.
func (rd *reader) sizes() {
	if len(rd.table.Faults.List) > 0 {
		return
	}
	rest := *rd.sheet
	for range entries() {
		var size *field.SizeError
		if !errors.As(rest.Coil().CheckSizes(), &size) {
			return
		}
		e, ok := find(size.Quantity)
		if !ok {
			return
		}
		if e.name == boxDiameter && !rest.BoxDiameter.Known {
			e, _ = find(boxWidth)
		}
		v := e.field(&rest)
		rd.table.ReportAt(v.Line, rd.value, &quantity.Error{Read: v.Text, Expected: wanted(size), Do: rd.otherUnit(&rest, e)})
		*v = Given{}
	}
}

// otherUnit says in which unit the value of e would fit into s: in that of most
// other lengths first.
func (rd *reader) otherUnit(s *Sheet, e entry) string {
	v := e.field(s)
	q, err := quantity.Form{Dimension: e.dimension, Mark: rd.table.Mark}.Parse(v.Text)
	if err != nil || e.dimension != quantity.Length {
		return "check the number"
	}
	best, most := "", -1
	for _, unit := range []string{"mm", "cm", "m", "µm", "in"} {
		u, err := quantity.ParseUnit(unit, quantity.Length)
		changed := *s
		e.field(&changed).Value = u.ToSI(q.Unit.FromSI(q.Value))
		if err != nil || u == q.Unit || changed.Coil().CheckSizes() != nil {
			continue
		}
		uses := 0
		for _, other := range entries() {
			if w := other.field(s); other.name != e.name && strings.HasSuffix(w.Text, " "+unit) {
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
	return "is the unit right? " + strings.TrimSpace(strings.TrimSuffix(v.Text, q.Unit.Symbol)) + " " + best + " would fit"
}
