package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// section is a table of quantities with its story.
type section struct {
	ID, Title string
	Core      string
	Story     string
	Rows      []row
}

// row is one quantity. Bar is where its variance comes from.
type row struct {
	Label, Value, Uncertainty, Unit, Interval, RestsOn string
	Determined                                         bool
	Bar                                                []share
}

// share is a piece of a bar, in percent.
type share struct {
	Kind  string
	Width string
}

func sections(r *model.Result) (list []section) {
	for i, g := range report.Groups(r) {
		s := section{ID: fmt.Sprintf("quantities-%d", i+1), Title: g.Title, Core: g.Core, Story: strings.Join(g.Words, " ")}
		if g.Core != "" {
			s.Story = coreStory(r, g.Core, s.Story)
		}
		for k, cells := range g.Table().Rows {
			e := &g.Estimates[k]
			s.Rows = append(s.Rows, row{cells[0], cells[1], cells[2], cells[3], cells[4], cells[5], e.Determined, bar(e)})
		}
		list = append(list, s)
	}
	return list
}

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
	for _, s := range []struct {
		kind  string
		share float64
	}{{"readings", e.Budget.Readings}, {"tolerance", e.Budget.Tolerance}, {"known", e.Budget.Known}, {"assumed", e.Budget.Assumed}, {"model", e.Budget.Model}} {
		if s.share >= 0.005 {
			list = append(list, share{s.kind, quantity.Decimals(100*s.share, 1)})
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

// assumed parts what the fit takes as given into a table and a list of what matters less
// than 1 % of the variance of the effective inductance each.
func assumed(r *model.Result) (t *report.Table, minor []string) {
	all := report.Assumed(r)
	few := *all
	few.Rows = nil
	sources := r.Sources(r.Find(quantities.Key{Name: quantities.EffectiveInductance}))
	for i, row := range all.Rows {
		share := shareOf(&r.Assumed[i], sources)
		if share < 0.01 {
			minor = append(minor, row[0]+": "+row[1])
			continue
		}
		row = slices.Clone(row)
		if row[2] = "-"; !math.IsNaN(share) {
			row[2] = quantity.Decimals(100*share, 0) + " %"
		}
		few.Rows = append(few.Rows, row)
	}
	return &few, minor
}

// shareOf is what a brings of the variance that sources share.
func shareOf(a *estimation.Assumption, sources []estimation.Source) (sum float64) {
	if a.Kind == estimation.AssumedDigits || sources == nil { // no source of their own
		return a.Share
	}
	for _, s := range sources {
		own := s.Kind == estimation.AssumptionSource || s.Kind == estimation.CommonSource
		if own && s.Assumption.Kind == a.Kind && slices.Equal(s.Assumption.Names, a.Names) ||
			s.Kind == estimation.PartSource && a.Kind == estimation.AssumedTolerance && slices.Contains(a.Names, s.Part) {
			sum += s.Share
		}
	}
	return sum
}
