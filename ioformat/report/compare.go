package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// CompareText writes what moved between two sessions, for people to read.
func CompareText(w io.Writer, c decisions.Comparison, r [2]*model.Result, src [2]Source, v View) error {
	return written(w, v, func(t *text, terse int) {
		sides := []string{"A", "B"}
		for i, side := range sides {
			t.heading(fmt.Sprintf("%s: %s: %s", side, src[i].Log, howMany(r[i].Log())), Verdict(r[i]))
		}
		doubtful, any := t.warningsOf(sides, r[:], src[:], terse)
		compared := comparedWords(c, terse)
		if any && len(compared) > 0 {
			t.blank()
		}
		for _, words := range compared {
			t.line(words)
		}
		changes := slices.Clone(c.Changes)
		if terse >= 0 {
			changes = slices.DeleteFunc(changes, func(d decisions.Change) bool { return !headline(&d.A, c.SplitA && c.SplitB) })
		}
		stable.Sort(changes, func(a, b decisions.Change) int { return place(&a.A) - place(&b.A) })
		t.section("Moved", "Holm's test of all differences together, at 5 %")
		t.changes(changes, func(c *decisions.Change) bool { return c.Moved }, terse)
		if slices.ContainsFunc(changes, mayHaveMoved) {
			t.section("May have moved", "outside its own 95 % interval, as about one in twenty is by chance")
			t.changes(changes, func(c *decisions.Change) bool { return mayHaveMoved(*c) }, terse)
		}
		if s := partsMoved(c, r[0]); s != "" {
			t.blank()
			t.hang("Parts           ", s)
		}
		rest := func(c *decisions.Change) bool { return !c.Moved && !c.Alone }
		if terse == everything {
			t.section("Not moved, as far as the readings show", "")
			t.changes(changes, rest, terse)
			return
		}
		t.blank()
		t.unmoved(changes, rest, terse)
		t.hang("Next            ", compareNext(c, doubtful))
		t.line("± is one standard uncertainty. More: --full.")
	})
}

// partsMoved says what it means when parts of one name and stated value differ.
func partsMoved(c decisions.Comparison, r *model.Result) string {
	var moved []string
	for i := range c.Changes {
		if d := &c.Changes[i]; d.Moved && d.A.Name == quantities.PartCapacitance && stated(r, d.A.Part) {
			moved = append(moved, d.A.Part)
		}
	}
	if len(moved) == 0 {
		return ""
	}
	return strings.Join(moved, ", ") + ": parts stay what they are, so that either other parts were used, or the readings scatter more than their ±, and all differences are less certain than told"
}

// stated tells whether a part has a value in the log.
func stated(r *model.Result, name string) bool {
	return slices.ContainsFunc(r.Parts(), func(p readings.Part) bool { return p.Name == name && p.Known })
}

// compareNext says what makes a comparison sharper.
func compareNext(c decisions.Comparison, doubtful bool) string {
	switch {
	case doubtful:
		return "resolve the contradiction first: fitcoil fit of that log says what contradicts"
	case !c.SplitA && !c.SplitB:
		return "read in both sessions the bare coil and a known capacitor on the top: inductance and capacitance can then be compared"
	case !c.SplitA || !c.SplitB:
		side := "A"
		if c.SplitA {
			side = "B"
		}
		return "read in session " + side + " the bare coil and a known capacitor on the top: inductance and capacitance can then be compared"
	}
	return "fitcoil next LOG --for L, C or gain, for each log: what makes its side better known shows smaller differences"
}

// unmoved names what did not move, with the differences of the coil itself.
func (t *text) unmoved(changes []decisions.Change, belongs func(*decisions.Change) bool, terse int) {
	var same, open []string
	for _, c := range changes {
		if !belongs(&c) {
			continue
		}
		name := changeLabel(&c)
		if !c.Difference.Determined {
			open = append(open, name)
			continue
		}
		if place(&c.A) < math.MaxInt32 { // of the coil itself
			name += " " + nobreak("(to ± "+quantity.FormatValue(c.Difference.Uncertainty/math.Abs(c.A.Value), 2, "%").String()+")")
		}
		same = append(same, name)
	}
	if len(same) > 0 {
		t.some("Not moved", same, 8-2*terse)
	}
	if len(open) > 0 {
		t.some("Not determined", open, 5-terse)
	}
}

func mayHaveMoved(c decisions.Change) bool { return c.Alone && !c.Moved }

// comparedWords says how much is compared, and what is not.
func comparedWords(c decisions.Comparison, terse int) (words []string) {
	without := ""
	switch {
	case !c.SplitA && !c.SplitB:
		without = "neither session separates"
	case !c.SplitA:
		without = "A does not separate"
	case !c.SplitB:
		without = "B does not separate"
	}
	if without != "" {
		words = append(words, without+" inductance and capacitance: of the coil itself, only L × C and what follows from frequencies is compared")
	}
	if c.Tested > 0 && terse == everything {
		words = append(words, fmt.Sprintf("%s tested; at 95 %% each, about %s would seem to move by chance", quantity.Count(c.Tested, "difference"), quantity.Digits(float64(c.Tested)/20, 2)))
	}
	return words
}

// place sorts the coil first, as fit does.
func place(e *quantities.Estimate) int {
	if e.Core != "" || e.Part != "" || e.Hand > 0 {
		return math.MaxInt32
	}
	return rank(e.Name)
}

// changeLabel names a quantity, and the core it is of.
func changeLabel(c *decisions.Change) string {
	if c.A.Core != "" {
		return "core " + c.A.Core + ", " + wording.Quantity(&c.A)
	}
	return wording.Quantity(&c.A)
}

// changes writes a table of those that belong, the first of them if it has to be terse.
func (t *text) changes(changes []decisions.Change, belongs func(*decisions.Change) bool, terse int) {
	tab := newTable(left(""), right("A"), right("B"), left(""), right("B − A"), left("±"), right("sigmas"))
	most, left := 10-2*terse, 0
	for _, c := range changes {
		switch {
		case !belongs(&c):
		case terse >= 0 && len(tab.Rows) >= most:
			left++
		default:
			tab.row(changeCells(&c)...)
		}
	}
	if len(tab.Rows) == 0 {
		t.under("nothing")
		return
	}
	t.table(tab)
	if slices.ContainsFunc(tab.Rows, func(r []string) bool { return r[1] == open || r[2] == open }) {
		t.under(open + " " + notDetermined)
	}
	t.more(left)
}

func changeCells(c *decisions.Change) []string {
	d, name := &c.Difference, changeLabel(c)
	if !d.Determined {
		unit := changeUnit(c)
		return []string{name, changeSide(&c.A, unit), changeSide(&c.B, unit), unit.Symbol, "", "", ""}
	}
	u := units{picofarads: true}.of(c.A.Value, d.Uncertainty, d.Unit)
	diff := plainly(u, d.Value, d.Uncertainty)
	return []string{name, plainly(u, c.A.Value, d.Uncertainty).Value, plainly(u, c.B.Value, d.Uncertainty).Value, u.Symbol,
		diff.Value, diff.Uncertainty, sigmas(c.Sigmas)}
}

// plainly is Unit.Format without powers of ten, as a column of numbers reads best.
func plainly(u quantity.Unit, value, uncertainty float64) quantity.Text {
	v, s := u.FromSI(value), u.FromSI(uncertainty)
	if !(s > 1e-9 && s < 0.1 && math.Abs(v) < 1e9) {
		return u.Format(value, uncertainty)
	}
	places := 1 - int(math.Floor(math.Log10(s)))
	if math.Round(s*math.Pow10(places)) >= 100 { // 0.0996 is 0.10
		places--
	}
	write := func(x float64) string { return strings.TrimPrefix(fmt.Sprintf("%+.*f", places, x), "+") }
	out := quantity.Text{Value: write(v), Uncertainty: write(s), Unit: u.Symbol}
	if strings.Trim(out.Value, "-0.") == "" {
		out.Value = strings.TrimPrefix(out.Value, "-")
	}
	return out
}

// sigmas writes a difference in standard uncertainties; there is none to divide
// by where a session is compared with itself.
func sigmas(s float64) string {
	if !quantities.Finite(s) {
		return "-"
	}
	return wording.Moved(s)
}

// changeUnit is the unit of a row whose difference has no number.
func changeUnit(c *decisions.Change) quantity.Unit {
	for _, e := range []*quantities.Estimate{&c.A, &c.B} {
		if e.Determined {
			return units{picofarads: true}.of(e.Value, width(e), e.Unit)
		}
	}
	return quantity.Unit{}
}

// open stands for a value that the readings don't determine, beside one that they do.
const open = "—"

// changeSide writes one session's value in such a row.
func changeSide(e *quantities.Estimate, u quantity.Unit) string {
	if !e.Determined {
		return open
	}
	return u.Format(e.Value, width(e)).Value
}

// width is the standard uncertainty of an estimate, or what stands for it at a bound.
func width(e *quantities.Estimate) float64 {
	if e.Bound != fit.Free {
		return (e.Interval[1] - e.Interval[0]) / 4
	}
	return e.Uncertainty
}

type jsonComparison struct {
	jsonStart
	A       jsonSide     `json:"a"`
	B       jsonSide     `json:"b"`
	Changes []jsonChange `json:"changes"`
	Tested  int          `json:"tested"`
	SplitA  bool         `json:"a_inductance_apart"`
	SplitB  bool         `json:"b_inductance_apart"`

	jsonTold
}

type jsonSide struct {
	Log    string `json:"log"`
	SHA256 string `json:"log_sha256,omitempty"`
}

type jsonChange struct {
	Name       string       `json:"name"`
	A          jsonEstimate `json:"a"`
	B          jsonEstimate `json:"b"`
	Difference jsonEstimate `json:"difference"`
	Sigmas     *float64     `json:"sigmas,omitempty"`
	Chance     *float64     `json:"p_value,omitempty"`
	Moved      bool         `json:"moved"`
	Alone      bool         `json:"outside_interval"`
}

// CompareJSON writes the same as one JSON object, SI throughout.
func CompareJSON(w io.Writer, compared decisions.Comparison, r [2]*model.Result, a, b Source) error {
	out := jsonComparison{jsonStart: start(a, b), A: jsonSide{a.Log, a.SHA256}, B: jsonSide{b.Log, b.SHA256},
		Tested: compared.Tested, SplitA: compared.SplitA, SplitB: compared.SplitB,
		jsonTold: Source{}.told(nil),
		Changes: each(compared.Changes, func(c *decisions.Change) jsonChange {
			return jsonChange{c.A.Name, estimate(&c.A), estimate(&c.B), expected(&c.Difference), number(c.Sigmas), number(c.Chance), c.Moved, c.Alone}
		})}
	out.add("A: ", a.told(r[0]))
	out.add("B: ", b.told(r[1]))
	if s := partsMoved(compared, r[0]); s != "" {
		out.Warnings = append(out.Warnings, s)
	}
	return writeJSON(w, out)
}

// headline tells whether a quantity is one that the answer in brief speaks of; the
// others follow from these.
func headline(e *quantities.Estimate, split bool) bool {
	switch e.Name {
	case quantities.LCProduct:
		return !split
	case quantities.BareFrequency, quantities.EffectiveInductance, quantities.EffectiveCapacitance, quantities.Inductance, quantities.Impedance, quantities.StrayCapacitance,
		quantities.CoreGain, quantities.CoreCapacitance, quantities.CoreFrequencyDrop, quantities.HandFrequencyDrop, quantities.PartCapacitance, quantities.LeadCapacitance:
		return true
	}
	return false
}
