package report

import (
	"fmt"
	"io"
	"math"
	"slices"
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
	return written(w, v, func(t *text, terse int) {
		if terse == everything {
			t.full(r, src)
			return
		}
		t.heading(fmt.Sprintf("%s: %s%s", src.Log, howMany(r.Log()), used(r)), Verdict(r))
		t.proviso(r)
		t.warnings(r, src, terse)
		t.summary(r, plan, parts, terse)
		t.blank()
		t.line("± is one standard uncertainty. More: --full, --plots DIR, fitcoil report.")
	})
}

// mostTerse is the last draft of an answer in brief.
const mostTerse = 4

// written writes the draft that tells everything where v is full, else the first of the drafts
// 0 to mostTerse, each terser than the one before, that is brief enough.
func written(w io.Writer, v View, draft func(t *text, terse int)) error {
	terse, last := 0, mostTerse
	if v.Full {
		terse, last = everything, everything
	}
	for ; ; terse++ {
		t := newText(v)
		if draft(t, terse); terse == last || strings.Count(t.String(), "\n") <= briefLines {
			return t.to(w)
		}
	}
}

// summary is what Brief tells: the coil, each core, hand and parts, then what limits it, what
// is open, and what to do next.
func (t *text) summary(r *model.Result, plan decisions.Planned, parts []readings.Part, terse int) {
	t.contradicted = undermined(r)
	t.coil(r)
	t.cores(r, terse)
	t.couplings(r)
	t.losses(r)
	t.hand(r, terse)
	t.parts(r, terse)
	t.blank()
	t.limits(r, terse)
	t.drawing(r, terse)
	t.open(r, terse)
	t.next(r, plan, parts)
}

// used says how many readings were fitted, if not all, and how many of earlier sessions.
func used(r *model.Result) (s string) {
	if r.Quality.Readings != len(r.Readings) {
		s = fmt.Sprintf(" (%d used)", r.Quality.Readings)
	}
	return s + earlierCount(r)
}

// earlierCount says how many readings of earlier sessions were fitted too.
func earlierCount(r *model.Result) string {
	n := 0
	for i := range r.Session.Earlier {
		n += len(r.Session.Earlier[i].States)
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" and %d of earlier sessions", n)
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
		differ := ""
		if r.Problem.Alike > 0 { // repeats that agree to the last digit count as one
			differ = " that differ"
		}
		return "as many parameters as readings" + differ + ": the model can't be tested"
	}
	test := fmt.Sprintf(" (χ²/ν = %s, %s)", reduced(q), pText(q.PValue))
	switch {
	case math.IsNaN(q.PValue):
		return "the model can't be tested"
	case undermined(r):
		return "contradictory" + test
	case q.Scale >= 1.05 && q.PValue < leastAgreement:
		if s := scatterOfRepeats(r); s.Explain() {
			return fmt.Sprintf("consistent with the model (%s) but for ± that are too small: readings of one state scatter %s times as much; ± multiplied by the Birge ratio %s", pText(s.PValue), Times(s.Ratio), scaleText(q.Scale))
		}
		return consistency(q.PValue) + " with the model" + test + "; ± multiplied by the Birge ratio " + scaleText(q.Scale)
	case q.PValue < leastAgreement:
		return consistency(q.PValue) + " with the model and what is known beforehand" + test
	}
	if q.Redundancy < 1 {
		return "too few to test the model or their ±"
	}
	switch {
	case q.Scale >= byChance:
		test += fmt.Sprintf("; ± multiplied by the Birge ratio %s of the few readings that test them", scaleText(q.Scale))
	case q.Scale >= 1.05:
		test += "; ± multiplied by the Birge ratio " + scaleText(q.Scale)
	}
	return "consistent with the model" + test
}

// byChance is the scatter over what is stated from which on it would contradict the model, were it of
// more readings: a Birge ratio of 1.5 with ten degrees of freedom has p = 0.013.
const byChance = 1.5

// scatterOfRepeats returns what readings of one state say of their ±, where that was found too
// small.
func scatterOfRepeats(r *model.Result) *findings.Repeats {
	for _, f := range r.Findings {
		if f.Kind == findings.ScatterExceeds {
			return f.Repeats
		}
	}
	return nil
}

// consistency names a probability below leastAgreement: one in twenty good sessions has
// such a one, one in a hundred such that is called inconsistent.
func consistency(p float64) string {
	if p < leastAgreement/5 {
		return "not consistent"
	}
	return "hardly consistent"
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
	return slices.ContainsFunc(r.Findings, findings.Finding.Undermines)
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
	t.cut(fmt.Sprintf("%-15s ", label), s, most)
}

// known writes an estimate.
func known(e *quantities.Estimate) string {
	switch {
	case e == nil || !e.Determined:
		return notDetermined
	case e.Bound != fit.Free:
		return "at its limit, 95 % interval " + quantity.FormatInterval(e.Interval[0], e.Interval[1], quantity.BaseUnit(e.Unit)).String()
	}
	return minus(units{picofarads: true}.of(e.Value, e.Uncertainty, e.Unit).Format(e.Value, e.Uncertainty).String())
}

const notDetermined = "not determined by these readings"

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

// Answer is the answer in brief, ready to be laid out: what FitText prints first.
type Answer struct {
	Counted string // "20 readings"
	Verdict string // whether they are consistent with the model
	Proviso string // what no reading shows, and the uncertainties hang on; "" for nothing
	Blocks  []Block
	Points  []Point
}

// Block is what is known of the coil or of its cores: rows of cells, the first of which
// is a label. Head is nil where the cells need none.
type Block struct {
	Title string
	Head  []string
	Rows  [][]string
}

// Point is one labelled line, or several under one label.
type Point struct {
	Label string
	Text  []string
}

// Brief is the answer that FitText prints, but for its warnings. plan is what to do next
// for the inductance; parts are those that it refers to.
func Brief(r *model.Result, plan decisions.Planned, parts []readings.Part) Answer {
	t := &text{width: math.MaxInt32, answer: &Answer{Counted: howMany(r.Log()) + used(r), Verdict: Verdict(r), Proviso: Proviso(r)}}
	t.summary(r, plan, parts, everything)
	return *t.answer
}

// contradictedMark stands behind the title of numbers that follow from what contradicts itself.
const contradictedMark = " (contradicted)"

// block begins a block with a title of its own.
func (t *text) block(title string) {
	if t.contradicted {
		title += contradictedMark
	}
	if t.answer != nil {
		t.answer.Blocks = append(t.answer.Blocks, Block{Title: title})
	}
	t.cut("", title, 1)
}

// row adds one to the last block. A remark beside the value is a cell of its own.
func (a *Answer) row(label, s string) {
	if a == nil {
		return
	}
	cells := []string{label, spaced(s), ""}
	if value, remark, found := strings.Cut(s, noBreak+" "); found {
		cells = []string{label, spaced(value), spaced(remark)}
	}
	b := &a.Blocks[len(a.Blocks)-1]
	b.Rows = append(b.Rows, cells)
}

// table fills the last block.
func (a *Answer) table(tab *Table) {
	if a == nil {
		return
	}
	b := &a.Blocks[len(a.Blocks)-1]
	b.Rows = tab.Rows
	for _, c := range tab.Columns {
		b.Head = append(b.Head, c.Head)
	}
}

func (a *Answer) point(label, s string) {
	switch {
	case a == nil:
	case label == "and" && len(a.Points) > 0:
		last := &a.Points[len(a.Points)-1]
		last.Text = append(last.Text, spaced(s))
	default:
		a.Points = append(a.Points, Point{label, []string{spaced(s)}})
	}
}

// spaced writes plain spaces for those that keep a line together.
func spaced(s string) string { return strings.TrimSpace(strings.ReplaceAll(s, noBreak, " ")) }
