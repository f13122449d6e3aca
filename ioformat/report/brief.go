package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// FitText writes r for people to read: the answer in brief, or all of it. plan is
// what to do next for the inductance; parts are those that it refers to.
func FitText(w io.Writer, r *model.Result, plan decisions.Planned, parts []readings.Part, src Source, v View) error {
	if v.Full {
		return fitFull(r, src, v).to(w)
	}
	return shortest(func(terse int) *text { return fitBrief(r, plan, parts, src, v, terse) }).to(w)
}

// mostTerse is the last draft of an answer in brief.
const mostTerse = 4

// shortest returns the first of the drafts 0 to mostTerse, each terser than the one
// before, that is brief enough.
func shortest(draft func(terse int) *text) *text {
	for terse := range mostTerse {
		if t := draft(terse); t.lines() <= briefLines {
			return t
		}
	}
	return draft(mostTerse)
}

// fitBrief is the answer: what makes it doubtful, the coil, each core, hand and
// parts, then what limits it, what is open, and what to do next.
func fitBrief(r *model.Result, plan decisions.Planned, parts []readings.Part, src Source, v View, terse int) *text {
	t := newText(v)
	t.heading(fmt.Sprintf("%s: %s%s", src.Log, howMany(r.Log()), used(r)), Verdict(r))
	t.warnings(r, src, terse)
	t.summary(r, plan, parts, terse)
	t.blank()
	t.line("± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.")
	return t
}

// summary is what Brief tells.
func (t *text) summary(r *model.Result, plan decisions.Planned, parts []readings.Part, terse int) {
	t.coil(r)
	t.cores(r, terse)
	t.couplings(r)
	t.losses(r)
	t.hand(r, terse)
	t.parts(r, terse)
	t.blank()
	t.limits(r)
	t.drawing(r, terse)
	t.open(r, terse)
	t.next(r, plan, parts)
}

// used says how many readings were fitted, if not all.
func used(r *model.Result) string {
	if r.Quality.Readings == len(r.Readings) {
		return ""
	}
	return fmt.Sprintf(" (%d used)", r.Quality.Readings)
}

// heading writes the first line: what was read and how it fits, on two lines where one
// is too short.
func (t *text) heading(read, verdict string) {
	read = strings.Replace(read, " readings", noBreak+"readings", 1)
	if utf8.RuneCountInString(read)+2+utf8.RuneCountInString(verdict) <= t.width {
		t.put(read + ", " + verdict)
		return
	}
	t.line(read + ",")
	t.hang("  ", verdict)
}

// Verdict says in a few words whether the readings are consistent with the model.
func Verdict(r *model.Result) string {
	q := r.Quality
	if q.DegreesOfFreedom == 0 {
		return "as many parameters as readings: the model can't be tested"
	}
	test := fmt.Sprintf(" (χ²/ν = %s, %s)", reduced(q), pText(q.PValue))
	switch {
	case math.IsNaN(q.PValue):
		return "the model can't be tested"
	case undermined(r):
		return "contradictory" + test
	case q.Scale >= 1.05 && q.PValue < leastAgreement:
		return "not consistent with the model" + test + "; ± multiplied by the Birge ratio " + scaleText(q.Scale)
	case q.PValue < leastAgreement:
		return "not consistent with the model and what is known beforehand" + test
	}
	return "consistent with the model" + test
}

// reduced writes χ² over its degrees of freedom.
func reduced(q estimation.Quality) string {
	v := q.ChiSquare / float64(q.DegreesOfFreedom)
	switch {
	case v < 0.005:
		return "0.00"
	case v < 10:
		return quantity.Decimals(v, 2)
	case v < 1e6:
		return quantity.Decimals(v, 0)
	}
	return quantity.Scientific(v, 1)
}

// undermined tells whether anything makes all numbers doubtful.
func undermined(r *model.Result) bool {
	for _, f := range r.Findings {
		if f.Undermines() {
			return true
		}
	}
	return false
}

// warnings tells, before any number, what changes them.
func (t *text) warnings(r *model.Result, src Source, terse int) {
	var doubts, warnings []string
	for _, f := range r.Findings {
		switch {
		case f.Undermines():
			doubts = append(doubts, Sentence(f))
		case f.Kind == findings.ScatterExceeds && f.Robust && terse != everything: // the verdict says the rest
			warnings = append(warnings, scatterRemedy)
		case f.Kind == findings.AtBound && terse != everything && isDetail(f.Name): // no number of it is below
		case Warns(f):
			warnings = append(warnings, Warning(r, f))
		}
	}
	warnings = append(warnings, src.Warnings...)
	t.doubts(doubts, warnings, terse)
}

// doubts writes what contradicts, and other warnings.
func (t *text) doubts(doubts, warnings []string, terse int) {
	if len(doubts) > 0 {
		t.section("Contradiction: no number below is to be trusted until it is resolved", "")
		if terse > 1 { // one list, doubts first
			doubts, warnings = append(doubts, warnings...), nil
		}
		t.bullets(doubts, terse)
	}
	if len(warnings) > 0 {
		t.section("Warnings", "")
		t.bullets(warnings, terse)
	}
}

// Warning is the sentence of a finding, and what leaving its reading out would do.
func Warning(r *model.Result, f findings.Finding) string {
	s := Sentence(f)
	if w := Without(r, f.Line); w != "" {
		s += "; " + w
	}
	return s
}

// isDetail tells whether a quantity stands in the answer in full alone.
func isDetail(name string) bool {
	switch name {
	case quantities.WindingCapacitance, quantities.TopCapacitance, quantities.HandStrength, quantities.HandOffset, quantities.HandExponent, quantities.Drift:
		return true
	}
	return false
}

// Warns tells whether a finding, beside those that undermine all, changes how the
// numbers are to be read.
func Warns(f findings.Finding) bool {
	switch f.Kind {
	case findings.ReadingSuspect, findings.ReadingDecisive, findings.AtBound, findings.NeighboursAlike, findings.RunOrderTrend,
		findings.ReadingApart, findings.ReadingsWander, findings.Drifts:
		return true
	case findings.ScatterExceeds: // else the first line says it all
		return f.Robust
	}
	return false
}

// bullets writes the first of list, the fewer and the shorter the terser.
func (t *text) bullets(list []string, terse int) {
	most := max(1, mostTerse-terse)
	for i, s := range list {
		switch {
		case terse == everything:
			t.bullet(s)
		case i == most:
			t.under(fmt.Sprintf("and %d more: --full", len(list)-most))
			return
		default:
			t.cut("  - ", s, most+1)
		}
	}
}

// row writes one quantity in a block.
func (t *text) row(label, s string) {
	t.answer.row(label, s)
	t.hang(fmt.Sprintf("  %-13s", label), s)
}

// point writes one of the labelled lines at the end.
func (t *text) point(label, s string) { t.cutPoint(label, s, 0) }

// cutPoint is point with at most so many lines, or all of them if most is below one.
func (t *text) cutPoint(label, s string, most int) {
	t.answer.point(label, s)
	t.cut(pointLabel(label), s, most)
}

func pointLabel(label string) string { return fmt.Sprintf("%-15s ", label) }

// known writes an estimate.
func known(e *quantities.Estimate) string {
	switch {
	case e == nil || !e.Determined:
		return notDetermined
	case e.Bound != fit.Free:
		return "at its limit, 95 % interval " + quantity.FormatInterval(e.Interval[0], e.Interval[1], baseUnit(e.Unit)).String()
	}
	text := units{picofarads: true}.of(e.Value, e.Uncertainty, e.Unit).Format(e.Value, e.Uncertainty).String()
	if rest, negative := strings.CutPrefix(text, "-"); negative {
		return "−" + rest // as beside other words
	}
	return text
}

const notDetermined = "not determined by these readings"

// coil writes the coil without anything: the pair of L and C that gives its frequency.
func (t *text) coil(r *model.Result) {
	find := func(name string) *quantities.Estimate { return r.Find(quantities.Key{Name: name}) }
	t.blank()
	t.block("Coil, bare, seen from the top")
	t.row("frequency", known(find(quantities.BareFrequency)))
	l, c, air := find(quantities.EffectiveInductance), find(quantities.EffectiveCapacitance), find(quantities.Inductance)
	if product := find(quantities.LCProduct); !l.Determined && product.Determined {
		t.row("L × C", known(product))
	}
	text := known(l)
	if l.Determined && air.Determined && l.Bound == fit.Free && air.Bound == fit.Free {
		u := quantity.UnitFor(air.Value, air.Uncertainty, "H")
		text = remark(u.Format(l.Value, l.Uncertainty).String(), "at low frequency "+u.Format(air.Value, air.Uncertainty).String())
	}
	t.row("inductance", text)
	t.row("capacitance", known(c))
	if z := find(quantities.Impedance); z.Determined {
		t.row("impedance", known(z))
	}
	if e := find(quantities.StrayCapacitance); e != nil && e.Determined {
		t.row("stray", known(e)+", at the top beyond the drawing")
	}
}

// remark sets a remark beside a value.
func remark(value, s string) string {
	return nobreak(fmt.Sprintf("%-24s ", value)) + " " + nobreak(s)
}

// signed writes an estimate as what it adds to another: its sign apart.
func signed(e *quantities.Estimate, direction float64) string {
	if !e.Determined || e.Bound != fit.Free {
		return known(e)
	}
	v := direction * e.Value
	sign := "+ "
	if v < 0 {
		sign = "− "
	}
	abs := *e
	abs.Value = math.Abs(v)
	return sign + known(&abs)
}

// cores writes what each core does, all the way in.
func (t *text) cores(r *model.Result, terse int) {
	names := r.Cores()
	if len(names) == 1 {
		t.core(r, names[0])
		return
	}
	tab := newTable(left(""), left("inductance"), left("capacitance"), left("frequency"))
	most := 8 - terse
	for i, core := range names {
		if i == most {
			tab.row(fmt.Sprintf("and %d more: --full", len(names)-most), "", "", "")
			break
		}
		gain := r.Find(quantities.Key{Name: quantities.CoreGain, Core: core})
		times := "not determined"
		if gain.Determined {
			times = "× " + known(gain)
		}
		cells := []string{core, times}
		for _, q := range []struct {
			name      string
			direction float64
		}{{quantities.CoreCapacitance, 1}, {quantities.CoreFrequencyDrop, -1}} {
			e := r.Find(quantities.Key{Name: q.name, Core: core})
			if e == nil || !e.Determined {
				cells = append(cells, "not determined")
				continue
			}
			cells = append(cells, signed(e, q.direction))
		}
		tab.row(cells...)
	}
	if len(names) > 0 {
		t.block("Cores, all the way in")
		t.answer.table(tab)
		t.table(tab)
	}
}

// core writes what the only core does.
func (t *text) core(r *model.Result, core string) {
	t.block("Core " + core + ", all the way in")
	find := func(name string) *quantities.Estimate { return r.Find(quantities.Key{Name: name, Core: core}) }
	switch gain, with := find(quantities.CoreGain), find(quantities.InductanceWithCore); {
	case gain.Determined:
		t.row("inductance", "× "+known(gain))
	case with.Determined:
		t.row("inductance", known(with)+" with the core")
	default:
		t.row("inductance", known(gain))
	}
	t.row("capacitance", signed(find(quantities.CoreCapacitance), 1))
	drop, ratio, bare := find(quantities.CoreFrequencyDrop), find(quantities.FrequencyRatio), r.Find(quantities.Key{Name: quantities.BareFrequency})
	text := signed(drop, -1)
	if drop.Determined && ratio.Determined && bare.Determined {
		u := quantity.UnitFor(bare.Value, bare.Value/1e4, "Hz")
		text = remark(text, fmt.Sprintf("%s to %s %s", u.Format(bare.Value, bare.Value*1e-3).Value, u.Format(bare.Value*ratio.Value, bare.Value*1e-3).Value, u.Symbol))
	}
	t.row("frequency", text)
	for _, c := range r.Contrasts {
		label := "amplitude"
		if c.Quality {
			label = "Q factor"
		}
		if c.Core == core {
			t.row(label, "× "+contrast(c))
		}
	}
}

// contrast writes the ratio of an amplitude or a quality factor with a core over that
// without.
func contrast(c readings.Contrast) string {
	ratio := quantity.FormatValue(c.Ratio, 3, "").String()
	if c.Pairs > 1 {
		ratio = quantity.Format(c.Ratio, c.Uncertainty, "").String()
	}
	return fmt.Sprintf("%s (%s of readings)", ratio, count(c.Pairs, "pair"))
}

// hand writes how far a hand lowers the frequency, at some of the distances read.
func (t *text) hand(r *model.Result, terse int) {
	var list []string
	read := false
	for i := range r.Derived {
		e := &r.Derived[i]
		if e.Name != quantities.HandFrequencyDrop {
			continue
		}
		read = true
		if e.Determined {
			list = append(list, nobreak(fmt.Sprintf("at %s %s", Distance(e.Hand), signed(e, -1))))
		}
	}
	if read {
		t.some("Hand near", list, 5-terse)
	}
}

// parts writes what the fit found of parts without a value, and of clips and leads.
func (t *text) parts(r *model.Result, terse int) {
	var list []string
	for _, p := range r.Parts() {
		if e := r.Find(quantities.Key{Name: quantities.PartCapacitance, Part: p.Name}); e != nil && !p.Known {
			list = append(list, p.Name+" "+nobreak(known(e)))
		}
	}
	if len(list) > 0 {
		t.some("Parts", list, 6-terse)
	}
	if e := r.Find(quantities.Key{Name: quantities.LeadCapacitance}); e != nil && e.Determined && math.Abs(e.Value) > 2*e.Uncertainty {
		t.point("Clip and leads", known(e))
	}
}

// some writes the first of list on a labelled line.
func (t *text) some(label string, list []string, most int) {
	if len(list) == 0 {
		t.point(label, notDetermined)
		return
	}
	if more := len(list) - most; more > 1 {
		list = append(spread(list, most), nobreak(fmt.Sprintf("and %d more", more)))
	}
	t.point(label, strings.Join(list, "; "))
}

// spread picks n of list evenly, the first and the last among them.
func spread(list []string, n int) (out []string) {
	for i := range n {
		at := 0
		if n > 1 {
			at = i * (len(list) - 1) / (n - 1)
		}
		out = append(out, list[at])
	}
	return out
}

// nobreak keeps the words of s on one line.
func nobreak(s string) string { return strings.ReplaceAll(s, " ", noBreak) }
