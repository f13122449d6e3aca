package report

import (
	"math"
	"strings"

	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/readings"
)

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
