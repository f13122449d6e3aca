package main

import (
	"slices"
	"strings"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// everyWay answers how a frequency can be reached by each control, by the parts at hand,
// and by a change of the drawing where there is one.
func (c *call) everyWay(r *model.Result, in input, s *benchlog.States, from readings.State, target float64, have string) error {
	for _, part := range strings.FieldsFunc(have, func(r rune) bool { return r == ',' }) {
		if _, _, err := s.Have(part); err != nil {
			return usagef("--have: %v", err)
		}
	}
	extra := s.Parts()[len(r.Parts()):]
	ways := report.Ways{Target: target, Parts: s.Parts(), From: decisions.Predict(r.Result, from, extra)}
	reach := func(state readings.State, by decisions.Control) {
		ways.Controls = append(ways.Controls, decisions.Reach(r.Result, target, state, extra, by, in.opt.StandardUncertainty()))
	}
	reach(from, decisions.ByAdded)
	var known []int
	for i, p := range s.Parts() {
		if p.Known {
			known = append(known, i)
		}
	}
	ways.AtHand = decisions.NearestAtHand(r.Result, target, from, extra, known, 3)
	for _, core := range r.Cores() {
		if from.Core == "" || from.Core == core {
			state := from
			state.Core = core
			reach(state, decisions.ByCovered)
		}
	}
	if r.Find(quantities.Key{Name: quantities.HandStrength}) != nil {
		reach(from, decisions.ByHand)
	}
	if err := c.redrawn(r, in, from, extra, &ways); err != nil {
		return err
	}
	switch {
	case c.opt.json:
		return report.WaysJSON(c.out, r, ways, in.src)
	case c.opt.csv:
		return report.WaysCSV(c.out, ways)
	}
	return report.WaysText(c.out, r, ways, in.src, c.view())
}

// redrawn adds the changes of the drawing that reach the frequency.
func (c *call) redrawn(r *model.Result, in input, from readings.State, extra []readings.Part, ways *report.Ways) error {
	if in.Drawn == nil {
		return nil
	}
	changes := in.sheet.Changeable(from.Core != "")
	step := c.progress("changes of the drawing tried", len(changes))
	for _, w := range changes {
		draw := func(v float64) (*drawing.Drawn, error) {
			d := w.At(in.sheet, v).Drawing()
			if err := d.Coil.Check(); err != nil {
				return nil, err
			}
			d.Variants = nil // what is uncertain now is so after the change
			return d.Predict()
		}
		way := report.Redrawn{Name: w.Name, Unit: w.Unit, Present: w.From}
		var err error
		way.Redrawn, err = decisions.ReachRedrawn(r.Result, ways.Target, in.Drawn, from, extra, w.From, w.Whole(), draw)
		if err != nil {
			way.Problem = coilsheet.Worded(err).Error()
		}
		ways.Redrawn = append(ways.Redrawn, way)
		step()
	}
	slices.SortStableFunc(ways.Redrawn, func(a, b report.Redrawn) int { return rank(a) - rank(b) })
	return nil
}

// rank puts what reaches the frequency first.
func rank(w report.Redrawn) int {
	if w.Reachable {
		return 0
	}
	return 1
}
