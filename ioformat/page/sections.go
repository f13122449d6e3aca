package page

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"fitcoil/fit"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/quantities"
)

// section is a table of quantities with its story.
type section struct {
	ID, Title string
	Core      string
	About     about
	Story     string
	Rows      []row
}

// row is one quantity. Bar is where its variance comes from.
type row struct {
	Label, Value, Uncertainty, Unit, Interval, RestsOn string
	Coverage, Degrees                                  string // k and ν
	Determined                                         bool
	Bar                                                []share
}

// share is a piece of a bar, in percent.
type share struct {
	Kind  string
	Width string
}

// about is what a block of its own is about; most sections are about none.
type about int

const (
	aboutQuantities about = iota
	aboutCoupling
	aboutLosses
)

func aboutOf(g *report.Group) about {
	switch name := g.Estimates[0].Name; {
	case quantities.OfCoupling(name):
		return aboutCoupling
	case quantities.OfLoss(name):
		return aboutLosses
	}
	return aboutQuantities
}

func sections(r *model.Result) (list []section) {
	for i, g := range report.Groups(r) {
		s := section{ID: fmt.Sprintf("quantities-%d", i+1), Title: g.Title, Core: g.Core, About: aboutOf(&g), Story: strings.Join(g.Words, " ")}
		if g.Core != "" {
			s.Story = coreStory(r, g.Core, s.Story)
		}
		for k, cells := range g.Table().Rows {
			e := &g.Estimates[k]
			k, degrees := coverage(e)
			s.Rows = append(s.Rows, row{cells[0], cells[1], cells[2], cells[3], cells[4], cells[5], k, degrees, e.Determined, bar(e)})
		}
		list = append(list, s)
	}
	return list
}

// coverage is the coverage factor of an interval, and the effective degrees of freedom that it
// comes from.
func coverage(e *quantities.Estimate) (k, degrees string) {
	if !e.Determined || e.Bound != fit.Free {
		return "", ""
	}
	degrees = "∞"
	if e.Degrees < manyDegrees {
		degrees = quantity.Decimals(e.Degrees, 0)
	}
	return quantity.Decimals(e.Coverage, 2), degrees
}

// manyDegrees are as good as infinite.
const manyDegrees = 1000

// coreStory puts what a core does before, and what that means after, why its
// gain isn't what the frequencies alone suggest.
func coreStory(r *model.Result, core, why string) string {
	drop, ratio := r.Find(quantities.Key{Name: quantities.CoreFrequencyDrop, Core: core}), r.Find(quantities.Key{Name: quantities.FrequencyRatio, Core: core})
	gain, impedance := r.Find(quantities.Key{Name: quantities.CoreGain, Core: core}), r.Find(quantities.Key{Name: quantities.ImpedanceRatio, Core: core})
	var story []string
	if drop.Determined && ratio.Determined {
		story = append(story, fmt.Sprintf("As far in as it was read, it lowers the bare frequency by %s, to %s of it.", with(drop), with(ratio)))
	}
	if why != "" {
		story = append(story, why)
	}
	if gain.Determined {
		story = append(story, fmt.Sprintf("The fit finds a gain of inductance of %s.", with(gain)))
	}
	if impedance.Determined {
		story = append(story, fmt.Sprintf("The coil's characteristic impedance becomes %s times that of the bare coil.", with(impedance)))
	}
	return strings.Join(story, " ")
}

func bar(e *quantities.Estimate) (list []share) {
	if !e.Determined {
		return nil
	}
	for i, s := range report.Shares(e) {
		if s >= 0.005 {
			kind := [...]string{"readings", "tolerance", "known", "assumed", "model"}[i]
			list = append(list, share{kind, quantity.Decimals(100*s, 1)})
		}
	}
	return list
}

// readings is the table of all readings.
type readingsSection struct {
	Head  []string
	Rows  []line
	Left  int // readings that are too many to be listed
	Notes bool
}

type line struct {
	Cells   []string
	Note    string
	Suspect bool
	Unused  bool
}

func newReadings(r *model.Result) readingsSection {
	t := report.Readings(r)
	var out readingsSection
	for _, c := range t.Columns {
		out.Head = append(out.Head, c.Head)
	}
	var list []int
	list, out.Left = report.Listed(r)
	for k, cells := range t.Rows {
		o := &r.Readings[list[k]]
		out.Notes = out.Notes || o.Note != ""
		out.Rows = append(out.Rows, line{cells, o.Note, o.Flagged, !o.Use})
	}
	return out
}

// with writes an estimate with its ±.
func with(e *quantities.Estimate) string {
	return quantity.Format(e.Value, e.Uncertainty, quantity.BaseUnit(e.Unit)).String()
}

// sentence makes one of a clause.
func sentence(s string) string {
	if s[0] < utf8.RuneSelf { // but a symbol stays as it is
		s = strings.ToUpper(s[:1]) + s[1:]
	}
	return s + "."
}

// ended puts a full stop behind a clause that begins with the name of a file.
func ended(s string) string {
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
