package logbook

import (
	"math"
	"slices"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model/estimation"
)

// View is a Book as a page shows it.
type View struct {
	Readings []ReadingView
	Parts    []string // capacitors of the log and at hand, as they are typed
	Cores    []string
	Unit     string // of a frequency typed without one
}

// ReadingView is a reading and how far it lies from the fit.
type ReadingView struct {
	Line             int
	Frequency, State string
	Used, Flagged    bool
	// Residual is measured − fitted, and Uncertainty what the fit gave the reading [Hz]; NaN
	// where there is no fit.
	Residual, Uncertainty float64
}

// NextView is what to read next.
type NextView struct {
	Words string // as typed
	Text  string // as proposed, with what to expect
}

// Log returns the file of the log.
func (b *Book) Log() []byte { return slices.Clone(b.content) }

// Next returns what to read next.
func (b *Book) Next() NextView {
	if b.again == "" {
		b.settle()
	}
	return NextView{b.next.words, b.proposal()}
}

// View shows b. It judges the fit, which takes longer than the answer to a line where
// readings contradict each other.
func (b *Book) View() View {
	b.settle()
	v := View{Cores: b.knownCores(), Parts: b.parts, Unit: b.unit()}
	if b.log == nil {
		return v
	}
	var named []string
	for _, p := range b.log.Parts {
		named = append(named, wording.Typed(p.Name))
	}
	v.Parts = merged(named, b.parts)
	if b.result != nil {
		b.result.Judge()
	}
	for i, r := range b.log.Readings {
		row := ReadingView{Line: r.Line, Frequency: quantity.Format(r.Frequency, r.Uncertainty, "Hz").String(),
			State: wording.State(r.State, b.log.Parts), Used: r.Use, Residual: nan, Uncertainty: nan}
		if b.result != nil {
			if k := slices.IndexFunc(b.result.Readings, func(o estimation.ReadingResult) bool { return o.Line == r.Line }); k >= 0 {
				o := &b.result.Readings[k]
				row.Residual, row.Uncertainty, row.Flagged = o.Residual, o.Weighed, o.Flagged
			}
		}
		if math.IsNaN(row.Residual) || i >= mostShown {
			row.Residual, row.Uncertainty = nan, nan
		}
		v.Readings = append(v.Readings, row)
	}
	return v
}

// mostShown is how many readings a figure of a page shows.
const mostShown = 1000
